"""One finding for many cells: what is wrong with a whole column is said once, at its first cell."""

from __future__ import annotations

from typing import TYPE_CHECKING

from sheetgen.check.place import place
from sheetgen.findings import Finding, Severity

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

Place = tuple[int, int]


class Gathered:
    """Findings about cells, one for each column and thing that is wrong.

    Parameters
    ----------
    path : Path
        The workbook.
    code : str
        Finding code, where an entry has none of its own.
    severity : Severity
        How much they weigh.
    """

    def __init__(self, path: Path, code: str = "", severity: Severity = Severity.ERROR) -> None:
        self._path = path
        self._code = code
        self._severity = severity
        self._rows: dict[tuple[str, int, str, str, str], list[int]] = {}

    def add(self, sheet: str, at: Place, what: str, mend: str, code: str = "") -> None:
        """Note that something is wrong at one cell.

        Parameters
        ----------
        sheet : str
            Name of the sheet.
        at : tuple of (row, column)
            The cell [1-based row, 1-based column].
        what, mend : str
            What is wrong and what to do.
        code : str
            Finding code, where it differs from that of the others.
        """
        row, column = at
        self._rows.setdefault((sheet, column, code or self._code, what, mend), []).append(row)

    def __iter__(self) -> Iterator[Finding]:
        """Yield the findings in the order in which they were met."""
        for (sheet, column, code, what, mend), rows in self._rows.items():
            more = f" (and {len(rows) - 1} more in this column)" if len(rows) > 1 else ""
            where = place(self._path, sheet, min(rows), column)
            yield Finding(code, self._severity, where, what + more, mend)
