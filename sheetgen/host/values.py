"""The host's own figures: after an addition or a removal they must be what they were before."""

from __future__ import annotations

import tempfile
from collections.abc import Collection, Mapping, Sequence
from pathlib import Path
from typing import Final

from sheetgen.check.recalculate import Program, recalculate
from sheetgen.check.values import CellError, Value, agree, shown
from sheetgen.findings import Finding, Report
from sheetgen.host.figures_left import with_constants
from sheetgen.host.own_sheets import FormulaAt, worksheets
from sheetgen.host.package import Package
from sheetgen.host.uses import Cell, restless
from sheetgen.reader.package import target_of

_MOST_SHOWN: Final = 10
Formulas = Mapping[str, Sequence[FormulaAt]]
Recalculated = Mapping[str, Mapping[tuple[int, int], Value]]


def cells_of(formulas: Formulas) -> dict[str, list[tuple[int, int]]]:
    """Return the (row, column) of formula cells by sheet [1-based row, 1-based column]."""
    return {sheet: [(one.row, one.column) for one in found] for sheet, found in formulas.items() if found}


def changed(
    before: Path, after: str, now: Recalculated, formulas: Formulas, free: Collection[Cell], program: Program
) -> tuple[Finding, ...]:
    """Compare the formula cells of a host before and after a change.

    Parameters
    ----------
    before : Path
        The workbook as it was; it is not written to.
    after : str
        What findings call the workbook as it is now.
    now : mapping of str to mapping of (row, column) to value
        What it is recalculated to be now.
    formulas : mapping of str to sequence of FormulaAt
        The host's formula cells by sheet.
    free : collection of Cell
        Cells that may change, because they use the bid: what depends on them must be what it would be before the change with
        their new values.
    program : {'ironcalc', 'libreoffice'}
        Which program recalculates.

    Returns
    -------
    tuple of Finding
        An error for each cell that changed.
    """
    cells = cells_of(formulas)
    if not cells:
        return ()
    free = {*free, *restless(formulas)}
    then = _before(before, cells, {cell: now[cell.sheet][cell.row, cell.column] for cell in free}, program)
    report = Report()
    differing = [
        (Cell(sheet, *where), then[sheet][where], value)
        for sheet, places in cells.items()
        for where in places
        if not _same(then[sheet][where], value := now[sheet][where])
        if Cell(sheet, *where) not in free
    ]
    for cell, was, is_now in differing[:_MOST_SHOWN]:
        report.error(
            "host-changed", f"{after} {cell.a1}", f"would be {shown(is_now)} and was {shown(was)}",
            "tell the makers of sheetgen; nothing was written",
        )  # fmt: skip
    if len(differing) > _MOST_SHOWN:
        report.error("host-changed", after, f"{len(differing) - _MOST_SHOWN} cells more would change", "see those above")
    return tuple(report)


def _before(
    path: Path, cells: Mapping[str, list[tuple[int, int]]], pinned: Mapping[Cell, Value], program: Program
) -> Recalculated:
    if not pinned:
        return recalculate(path, program, cells)
    package = Package(path)
    parts = worksheets(package, target_of(package.relationships(), "officeDocument"))
    held: dict[str, dict[tuple[int, int], Value]] = {}
    for cell, value in pinned.items():
        held.setdefault(cell.sheet, {})[cell.row, cell.column] = value
    for sheet, figures in held.items():
        package.put(parts[sheet], with_constants(package.read(parts[sheet]), figures))
    with tempfile.TemporaryDirectory(prefix="sheetgen-before-") as folder:
        copy = Path(folder, "before.xlsx")
        package.save(copy)
        return recalculate(copy, program, cells)


def _same(was: Value, is_now: Value) -> bool:
    """Return whether two values are the same; a function that the program does not know is the same error in both."""
    if isinstance(was, CellError) or isinstance(is_now, CellError):
        return type(was) is type(is_now) and was == is_now
    return agree(was, is_now)
