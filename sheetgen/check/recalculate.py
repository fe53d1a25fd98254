"""Recalculate a saved workbook with a spreadsheet program that is not ours."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from typing import TYPE_CHECKING, Final, Literal

from sheetgen.check.values import CellError, Value, plain
from sheetgen.reader.raw import RawBook, RawCell, read_raw

if TYPE_CHECKING:
    from pathlib import Path

Program = Literal["ironcalc", "libreoffice"]
PROGRAMS: Final[tuple[Program, ...]] = ("ironcalc", "libreoffice")
Place = tuple[int, int]
Cells = Mapping[str, Iterable[Place]]


def formula_cells(book: RawBook) -> dict[str, list[Place]]:
    """Return the (row, column) of every formula cell by sheet [1-based row, 1-based column]."""
    return {
        sheet.name: [where for where, cell in sheet.cells.items() if cell.formula is not None] for sheet in book.sheets
    }


def recalculate(path: Path, program: Program = "ironcalc", cells: Cells | None = None) -> dict[str, dict[Place, Value]]:
    """Recalculate one workbook; see :func:`recalculate_all`.

    Parameters
    ----------
    path : Path
        The workbook; it is not written to.
    program : {'ironcalc', 'libreoffice'}
        Which program.
    cells : mapping of str to iterable of (row, column), optional
        Cells to read by sheet [1-based row, 1-based column]; all formula cells by default.

    Returns
    -------
    dict
        Value by sheet and (row, column) [unit of the cell].

    Raises
    ------
    Refused
        The program is not there or cannot read the workbook.
    """
    return recalculate_all([path], program, None if cells is None else [cells])[0]


def recalculate_all(
    paths: Sequence[Path], program: Program = "ironcalc", cells: Sequence[Cells] | None = None
) -> list[dict[str, dict[Place, Value]]]:
    """Recalculate workbooks, from the formulas alone: stored values are not trusted.

    Parameters
    ----------
    paths : sequence of Path
        The workbooks; they are not written to.
    program : {'ironcalc', 'libreoffice'}
        Which program; LibreOffice takes seconds to start, and all workbooks share one start.
    cells : sequence of mapping of str to iterable of (row, column), optional
        For each workbook the cells to read by sheet [1-based row, 1-based column]; all formula cells by default.

    Returns
    -------
    list of dict
        For each workbook: value by sheet and (row, column) [unit of the cell]. None is blank or an empty text,
        an error is a :class:`~sheetgen.check.values.CellError`.

    Raises
    ------
    Refused
        The program is not there or cannot read a workbook.
    ValueError
        There is no such program.
    """
    if program not in PROGRAMS:
        message = f"{program} is not one of {', '.join(PROGRAMS)}"
        raise ValueError(message)
    # Where the cells are given, the caller has read the workbook, and so it has passed the gate.
    wanted: Sequence[Cells] = [formula_cells(read_raw(path)) for path in paths] if cells is None else cells
    # Each program is loaded only when it is asked for.
    if program == "libreoffice":
        from sheetgen.check.office import recalculated_books

        books = recalculated_books(paths)
        return [_from_book(book, places) for book, places in zip(books, wanted, strict=True)]
    return [_by_ironcalc(path, places) for path, places in zip(paths, wanted, strict=True)]


def _by_ironcalc(path: Path, cells: Cells) -> dict[str, dict[Place, Value]]:
    from sheetgen.check.calculator import Calculator

    calculator = Calculator(path)
    calculator.evaluate()
    known = frozenset(calculator.sheets)
    return {
        sheet: {where: calculator.get((sheet, *where)) for where in places}
        for sheet, places in cells.items()
        if sheet in known
    }


def _from_book(book: RawBook, cells: Cells) -> dict[str, dict[Place, Value]]:
    found: dict[str, dict[Place, Value]] = {}
    for name, places in cells.items():
        sheet = book.sheet(name)
        if sheet is not None:
            found[name] = {where: stored(sheet.cells.get(where)) for where in places}
    return found


def stored(cell: RawCell | None) -> Value:
    """Return the value that a file stores for a cell, as :func:`recalculate_all` would give it [unit of the cell]."""
    if cell is None:
        return None
    return CellError(cell.value) if cell.kind == "error" else plain(cell.value)
