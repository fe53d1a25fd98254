"""Prove from a saved book alone that its formulas are sound: what they hold, what they refer to, in which order."""

from __future__ import annotations

import hashlib
from collections.abc import Collection, Iterable, Iterator, Mapping
from typing import TYPE_CHECKING, Final

from sheetgen.check.forms import TOO_LONG, Form, Forms, too_long
from sheetgen.check.gather import Gathered
from sheetgen.check.graph import CellGraph, FormulaCell
from sheetgen.check.names import defined_names
from sheetgen.check.place import cell_name, place
from sheetgen.check.references import Problem
from sheetgen.findings import Finding, Report

if TYPE_CHECKING:
    from sheetgen.reader.raw import RawBook, RawCell

Cells = Mapping[str, Collection[tuple[int, int]]]

_ARRAY: Final = Problem("formula-array", "is an array formula", "write it as a plain formula")
_CIRCLE_SHOWN: Final = 8
# Digests of formulas that were proved in this process: thirty books of one template are proved once.
_SOUND: Final[set[bytes]] = set()


def structure(
    book: RawBook, types: Mapping[str, str], shows: Cells | None = None, names: Collection[str] | None = None
) -> tuple[Finding, ...]:
    """Prove how the formulas of a book are built.

    Parameters
    ----------
    book : RawBook
        The saved book.
    types : mapping of str to str
        Type of each sheet of ours by name (start, inputs, calculation, output, checks, reference);
        a sheet without a type is somebody else's: its formulas may hold
        anything, but where ours refer to such sheets they are part of the search for circles.
    shows : mapping of str to collection of (row, column), optional
        By sheet, the cells that only show what is checked elsewhere [1-based row, 1-based column].
    names : collection of str, optional
        Defined names that we wrote; all by default.

    Returns
    -------
    tuple of Finding
        Errors; empty for a sound book.

    Notes
    -----
    Sheets are read in tab order. As no sheet refers to a later one but Start, Checks and for reference sheets,
    there can be no cycle between the others. A cell that only shows may refer to a checks sheet from anywhere.
    """
    key = _digest(book, types, shows or {}, names)
    if key in _SOUND:
        return ()
    found = _prove(book, types, shows or {}, names)
    if not found:
        _SOUND.add(key)
    return found


def _digest(book: RawBook, types: Mapping[str, str], shows: Cells, names: Collection[str] | None) -> bytes:
    """Return what tells the formulas of one book, and all that their proof depends on, from those of another."""
    told = hashlib.blake2b(digest_size=16)
    known = (sorted(types.items()), sorted(book.names.items()), sorted(book.sheet_names.items()), sorted(names or ()), names is None)
    told.update(repr(known).encode())
    for sheet in book.sheets:
        told.update(f"\0{sheet.name}\0{sorted(shows.get(sheet.name, ()))}\0".encode())
        formulas = (f"{at}{cell.array}{cell.formula}" for at, cell in sheet.cells.items() if cell.formula is not None)
        told.update("\0".join(formulas).encode("utf-8", "surrogatepass"))
    return told.digest()


def _prove(book: RawBook, types: Mapping[str, str], shows: Cells, names: Collection[str] | None) -> tuple[Finding, ...]:
    report = Report()
    sheets = {sheet.name.casefold(): sheet.name for sheet in book.sheets}
    forms = Forms(defined_names(book, sheets, report, names), sheets)
    cells: list[FormulaCell] = []
    met = Gathered(book.path)
    shaped: set[Form] = set()
    # Ours first: only where they refer to somebody else's sheets can those be part of a circle.
    for sheet in sorted(book.sheets, key=lambda sheet: sheet.name not in types):
        ours = sheet.name in types
        if not ours and not any(_leaves(form, types) for form in shaped):
            break
        shown = shows.get(sheet.name, ())
        for (row, column), cell in sheet.cells.items():
            if cell.formula is None:
                continue
            form = forms.form(cell.formula, row, show=(row, column) in shown)
            found = FormulaCell(sheet.name, column, row, form)
            cells.append(found)
            if ours:
                for problem in _problems(cell, row, form, first=form not in shaped):
                    what = f"the formula {problem.what}"
                    met.add(sheet.name, (row, column), what, problem.mend, problem.code)
                shaped.add(form)
    report.extend(met)
    report.extend(_flow(book, types, cells, shows))
    report.extend(_circles(book, cells, types))
    return tuple(report)


def _leaves(form: Form, types: Mapping[str, str]) -> bool:
    """Return whether a formula refers to a sheet that is not ours."""
    return any(reference.sheet is not None and reference.sheet not in types for reference in form.references)


def _problems(cell: RawCell, row: int, form: Form, *, first: bool) -> Iterator[Problem]:
    yield from form.problems
    # Where no range changes its size from row to row, the first row stands for all.
    if first or not form.steady:
        yield from form.misfits(row)
    if cell.formula is not None and too_long(cell.formula):
        yield TOO_LONG
    if cell.array:
        yield _ARRAY


def _flow(book: RawBook, types: Mapping[str, str], cells: Iterable[FormulaCell], shows: Cells) -> Iterator[Finding]:
    order = {sheet.name: number for number, sheet in enumerate(book.sheets)}
    report = Report()
    seen: set[tuple[str, str]] = set()
    looked: set[tuple[str, int]] = set()
    for cell in cells:
        if types.get(cell.sheet) in {None, "start", "checks"} or (cell.sheet, id(cell.form)) in looked:
            continue
        looked.add((cell.sheet, id(cell.form)))
        for reference in cell.form.references:
            other = reference.sheet or cell.sheet
            if types.get(other) in {None, "reference"} or order[other] <= order[cell.sheet]:
                continue
            # The state of the checks shows on every sheet.
            if types[other] == "checks" and (cell.row, cell.column) in shows.get(cell.sheet, ()):
                continue
            if (cell.sheet, other) not in seen:
                seen.add((cell.sheet, other))
                report.error(
                    "flow-backward", place(book.path, cell.sheet, cell.row, cell.column),
                    f"the formula refers to the later sheet '{other}'",
                    "move the sum to a later sheet, or what it needs to an earlier one",
                )  # fmt: skip
    return iter(report)


def _circles(book: RawBook, cells: Iterable[FormulaCell], types: Mapping[str, str]) -> Iterator[Finding]:
    circle = CellGraph(cells).circle(types)
    if not circle:
        return
    first = circle[0]
    shown = [f"{cell.sheet}!{cell_name(cell.row, cell.column)}" for cell in circle[:_CIRCLE_SHOWN]]
    if len(circle) > _CIRCLE_SHOWN:
        shown.append(f"… {len(circle) - _CIRCLE_SHOWN} more …")
    shown.append(f"{first.sheet}!{cell_name(first.row, first.column)}")
    report = Report()
    report.error(
        "circle", place(book.path, first.sheet, first.row, first.column),
        f"the formula depends on itself: {' → '.join(shown)}", "break the circle at one of these cells",
    )  # fmt: skip
    yield from report
