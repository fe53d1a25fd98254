"""Rule 3: the cells of a block's column hold one formula, the same relative to the record.

Records stand below each other in most blocks and beside each other in some, and a formula of one kind may read the
other: what it refers to then moves down while the formula moves right. So the step of each reference is found first.
"""

from __future__ import annotations

import itertools
import re
from collections import Counter
from typing import TYPE_CHECKING, Final

import attrs

from sheetgen.check.place import cell_name, place
from sheetgen.check.syntax import relative_form
from sheetgen.findings import Finding, Severity
from sheetgen.reader.shared import COLUMNS

if TYPE_CHECKING:
    from collections.abc import Hashable, Iterable, Iterator, Sequence

    from sheetgen.reader.raw import RawBook

Place = tuple[int, int]
_MEND: Final = "copy the formula of a neighbour, or restore it from a fresh book"
# Quoted text and sheet names stay whole; a cell is caught with its parts.
_CELL: Final = re.compile(r"(\"[^\"]*\"|'[^']*')|(?<![\w.$])(\$?)([A-Za-z]{1,3})(\$?)([0-9]+)(?![\w(.!])")


@attrs.frozen
class Run:
    """Cells that must hold one formula: those of one field, a record each.

    Parameters
    ----------
    sheet : str
        Name of the sheet.
    first, last : tuple of (row, column)
        The first and the last cell, in one column or in one row [1-based row, 1-based column].
    name : str
        The field, for findings.
    """

    sheet: str
    first: Place
    last: Place
    name: str = ""

    def cells(self) -> list[Place]:
        """Return the (row, column) of its cells."""
        (top, left), (bottom, right) = self.first, self.last
        return [(row, column) for row in range(top, bottom + 1) for column in range(left, right + 1)]


@attrs.frozen
class _Taken:
    """A formula taken apart: its text without the cells, the row and column of each, and which of them have a $."""

    text: tuple[str, ...]
    cells: tuple[Place, ...]
    held: tuple[tuple[bool, bool], ...]

    def step_from(self, other: _Taken | None) -> tuple[Place, ...] | None:
        """Return how far each cell has moved from another formula, or None where the formulas differ in more."""
        if other is None or (other.text, other.held) != (self.text, self.held):
            return None
        pairs = zip(self.cells, other.cells, strict=True)
        steps = tuple((row - before, column - beside) for (row, column), (before, beside) in pairs)
        moved_held = any(
            (down and row_held) or (right and column_held)
            for (down, right), (row_held, column_held) in zip(steps, self.held, strict=True)
        )
        return None if moved_held else steps

    def back(self, step: tuple[Place, ...], times: int) -> Hashable:
        """Return a key: the formula with each cell moved back by its step, so many times."""
        if len(step) != len(self.cells):
            return self
        pairs = zip(self.cells, step, strict=True)
        return self.text, self.held, tuple((row - down * times, column - right * times) for (row, column), (down, right) in pairs)


def one_formula(book: RawBook, runs: Iterable[Run]) -> Iterator[Finding]:
    """Find the cells whose formula differs from that of most cells of their run.

    Parameters
    ----------
    book : RawBook
        The saved book.
    runs : iterable of Run
        Where one formula is repeated.

    Yields
    ------
    Finding
        An error for each cell that differs or has no formula.
    """
    for run in runs:
        sheet = book.sheet(run.sheet)
        formulas: dict[Place, str | None] = dict.fromkeys(run.cells())
        for at in formulas if sheet is not None else ():
            cell = sheet.cells.get(at) if sheet is not None else None
            formulas[at] = None if cell is None else cell.formula
        yield from _differing(book, run, formulas)


def _differing(book: RawBook, run: Run, formulas: dict[Place, str | None]) -> Iterator[Finding]:
    keys: Sequence[Hashable] = [
        None if formula is None else relative_form(formula, row) for (row, _), formula in formulas.items()
    ]
    if len(set(keys)) == 1 and keys[0] is not None:
        return
    keys = _keys(list(formulas.values()))
    usual = next((key for key, _ in Counter(keys).most_common() if key is not None), None)
    likeness = "" if usual is None else f" such as {cell_name(*run.cells()[keys.index(usual)])}"
    for at, key in zip(formulas, keys, strict=True):
        if key is None or key != usual:
            what = "has no formula" if key is None else "has another formula than the cells beside it"
            where = place(book.path, run.sheet, *at)
            yield Finding("rule-3-formula", Severity.ERROR, where, f"{run.name} {what}{likeness}".strip(), _MEND)


def _keys(formulas: Sequence[str | None]) -> list[Hashable]:
    """Return a key for each formula, the same where it is the same relative to the record."""
    taken = [None if formula is None else _take_apart(formula) for formula in formulas]
    steps = Counter(
        step
        for before, after in itertools.pairwise(taken)
        if after is not None and (step := after.step_from(before)) is not None
    )
    # One formula moves by the same steps from record to record: those of most pairs are its own.
    step = steps.most_common(1)[0][0] if steps else ()
    return [None if found is None else found.back(step, number) for number, found in enumerate(taken)]


def _take_apart(formula: str) -> _Taken:
    text, cells, held, end = [], [], [], 0
    for match in _CELL.finditer(formula):
        if match[1]:
            continue
        text.append(formula[end : match.start()])
        end = match.end()
        held.append((bool(match[4]), bool(match[2])))
        cells.append((int(match[5]), COLUMNS.get(match[3].upper(), 0)))
    return _Taken((*text, formula[end:]), tuple(cells), tuple(held))
