"""What a sheet is on the screen and on paper beside its cells: what stays in view, what is locked, where the cursor is, the page."""

from __future__ import annotations

from typing import Any

from sheetgen.book.plan import STATE_ROW, TITLE_ROW, Address, PlacedPart, Plan
from sheetgen.book.style import paper
from sheetgen.book.template import ENTERED, Sheet


def protect(worksheet: Any, parts: list[PlacedPart]) -> None:
    """Lock a sheet against slips; a filter of it can still be used.

    Parameters
    ----------
    worksheet : xlsxwriter.worksheet.Worksheet
        The sheet.
    parts : list of PlacedPart
        What stands on it.
    """
    filtered = next((part for part in parts if part.part.filter), None)
    if filtered is not None and filtered.header_row is not None:
        # Before protecting: only then the filter can be used on the protected sheet.
        worksheet.autofilter(filtered.header_row, 0, filtered.last_row, filtered.width - 1)
    allowed = ["select_locked_cells", "select_unlocked_cells", "format_columns", "format_rows"]
    allowed += ["autofilter", "sort"] if filtered is not None else []
    worksheet.protect("", dict.fromkeys(allowed, True))


def set_up(worksheet: Any, plan: Plan, sheet: Sheet, parts: list[PlacedPart], last: tuple[int, int]) -> None:
    """Set up what is seen of a sheet first, and its page.

    Parameters
    ----------
    worksheet : xlsxwriter.worksheet.Worksheet
        The sheet.
    plan : Plan
        Plan of the book.
    sheet : Sheet
        The sheet's template.
    parts : list of PlacedPart
        What stands on it.
    last : tuple of int
        Last row and column that are printed [0-based].
    """
    worksheet.hide_gridlines(2)
    frozen = _frozen_rows(parts)
    worksheet.freeze_panes(frozen, 0)
    worksheet.repeat_rows(frozen - 1) if frozen != STATE_ROW + 1 else worksheet.repeat_rows(TITLE_ROW, STATE_ROW)
    page(worksheet, plan, sheet, last, margins=(0.5, 0.6))
    first = next((cell for part in parts if (cell := _first_input(plan, part)) is not None), None)
    if first is not None:
        worksheet.set_selection(first.row, first.column, first.row, first.column)
    if sheet.type == "start":
        worksheet.activate()


def page(worksheet: Any, plan: Plan, sheet: Sheet, last: tuple[int, int], *, margins: tuple[float, float]) -> None:
    """Set the paper, fitted to one page wide.

    Parameters
    ----------
    worksheet, plan, sheet, last
        As `set_up` takes them.
    margins : tuple of float
        At the sides, and above and below [in].
    """
    worksheet.set_paper(paper(plan.system))
    if sheet.landscape:
        worksheet.set_landscape()
    worksheet.fit_to_pages(1, 1 if sheet.one_page else 0)
    aside, above = margins
    worksheet.set_margins(aside, aside, above, above)
    worksheet.print_area(0, 0, *last)


def _frozen_rows(parts: list[PlacedPart]) -> int:
    """Return how many rows stay in view: to the header of the one long table of a sheet, else to the state of the checks [count]."""
    main = [part for part in parts if part.part.filter] or (parts if len(parts) == 1 else [])
    for part in main:
        if part.header_row and part.layout in {"rows", "across"}:
            return part.header_row + 1
    return STATE_ROW + 1


def _first_input(plan: Plan, part: PlacedPart) -> Address | None:
    field = next((field for field in part.fields if field.kind in ENTERED), None)
    return plan.spot(part.block.name, field.name).cell() if field else None
