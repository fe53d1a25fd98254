"""A copy of a workbook in which a formula that a column repeats is written once: IronCalc reads each text that it meets anew."""

from __future__ import annotations

import contextlib
import re
import tempfile
import zipfile
from pathlib import Path
from typing import TYPE_CHECKING, Final

import attrs

from sheetgen.check.syntax import relative_form

if TYPE_CHECKING:
    from collections.abc import Iterator

# A cell with a formula of its own, as most programs write it; what is written otherwise stays as it is.
_FORMULA: Final = re.compile(r'(<c r="([A-Z]{1,3})([0-9]+)"[^>]*>)<f(?: aca="false")?>([^<]+)</f>')
_SHARED: Final = re.compile(r'<f [^>]*t="shared"')
_SHEETS: Final = "xl/worksheets/"


@contextlib.contextmanager
def once(path: Path) -> Iterator[Path]:
    """Give a copy of a workbook that is quick to read, for as long as it is needed.

    Parameters
    ----------
    path : Path
        The workbook, its parts under their usual names; it is not written to.

    Yields
    ------
    Path
        A copy whose cells hold the same formulas: one is shared where, counted from the row, it is the same text.
        The file itself, if it is no zip.
    """
    if not zipfile.is_zipfile(path):
        yield path
        return
    with tempfile.TemporaryDirectory(prefix="sheetgen-once-") as folder:
        copy = Path(folder, "book.xlsx")
        with zipfile.ZipFile(path) as held, zipfile.ZipFile(copy, "w") as out:
            for name in held.namelist():
                data = held.read(name)
                out.writestr(name, _shared(data) if name.startswith(_SHEETS) and name.endswith(".xml") else data)
        yield copy


def _shared(data: bytes) -> bytes | str:
    """Return a sheet part with the formulas of each column shared; as it is where it shares some already."""
    try:
        text = data.decode()
    except UnicodeDecodeError:
        return data
    return data if _SHARED.search(text) else _FORMULA.sub(_Columns().cell, text)


@attrs.define(eq=False)
class _Columns:
    """What was last met in each column of a sheet, and how many formulas were written."""

    last: dict[str, _Repeated] = attrs.field(factory=dict)
    written: int = 0

    def cell(self, match: re.Match[str]) -> str:
        start, column, row, formula = match.group(1, 2, 3, 4)
        held = self.last.get(column)
        if held is not None and held.at(int(row)) == formula:
            return f'{start}<f t="shared" si="{held.number}"/>'
        if "&quot;" in formula or "&apos;" in formula or "&#" in formula:
            # Where a quoted text begins and ends is not seen, and what looks like a cell in it would move.
            return match[0]
        self.last[column] = _Repeated.of(formula, int(row), self.written)
        self.written += 1
        return f'{start}<f t="shared" ref="{column}{row}" si="{self.written - 1}">{formula}</f>'


@attrs.frozen(eq=False)
class _Repeated:
    """A formula as text with gaps for the rows that follow the row of the cell."""

    number: int
    gaps: str
    rows: tuple[int, ...]

    @classmethod
    def of(cls, formula: str, row: int, number: int) -> _Repeated:
        pieces = relative_form(formula.replace("%", "%%"), row)
        rows = tuple(piece for piece in pieces if isinstance(piece, int))
        return cls(number, "".join("%d" if isinstance(piece, int) else piece or "" for piece in pieces), rows)

    def at(self, row: int) -> str:
        return self.gaps % tuple([row + distance for distance in self.rows])
