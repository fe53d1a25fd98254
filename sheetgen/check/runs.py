"""Rule 3: the cells of a block's column hold one formula, the same relative to the record."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING, Final

import attrs

from sheetgen.check.place import cell_name, place
from sheetgen.check.syntax import relative_form
from sheetgen.findings import Finding, Severity
from sheetgen.reader.shared import COLUMNS

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator

    from sheetgen.reader.raw import RawBook

Place = tuple[int, int]
Piece = str | int | None
_MEND: Final = "copy the formula of a neighbour, or restore it from a fresh book"
# Quoted text and sheet names stay whole; a column without $ is caught.
_COLUMN_RELATIVE: Final = re.compile(r"(\"[^\"]*\"|'[^']*')|(?<![\w.$])([A-Za-z]{1,3})(?=\$?[0-9]+(?![\w(.!]))")


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
        forms: dict[tuple[Piece, ...] | None, list[Place]] = {}
        for at in _cells(run):
            cell = None if sheet is None else sheet.cells.get(at)
            formula = None if cell is None else cell.formula
            if formula is None:
                form = None
            else:
                form = relative_form(formula, at[0]) if run.first[1] == run.last[1] else _along_row(formula, at[1])
            forms.setdefault(form, []).append(at)
        usual = max(forms, key=lambda form: len(forms[form]) if form is not None else 0)
        for form, cells in forms.items():
            if form == usual and form is not None:
                continue
            what = "has no formula" if form is None else "has another formula than the cells beside it"
            likeness = "" if usual is None else f" such as {cell_name(*forms[usual][0])}"
            for at in cells:
                where = place(book.path, run.sheet, *at)
                yield Finding("rule-3-formula", Severity.ERROR, where, f"{run.name} {what}{likeness}".strip(), _MEND)


def _cells(run: Run) -> Iterator[Place]:
    (top, left), (bottom, right) = run.first, run.last
    return ((row, column) for row in range(top, bottom + 1) for column in range(left, right + 1))


def _along_row(formula: str, column: int) -> tuple[Piece, ...]:
    """Return a key that is the same for the same formula in every column."""
    pieces: list[Piece] = list(_COLUMN_RELATIVE.split(formula))
    pieces[2::3] = [
        letters and COLUMNS.get(letters.upper(), 0) - column if isinstance(letters, str) else letters
        for letters in pieces[2::3]
    ]
    return tuple(pieces)
