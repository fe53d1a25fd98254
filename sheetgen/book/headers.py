"""Headers over the columns of a part; those over numbers stand over their right edge, as the numbers do."""

from __future__ import annotations

from typing import Any

from sheetgen import units
from sheetgen.book.plan import PlacedPart, Plan
from sheetgen.book.style import EDGE, HEAD_FILL, Styles, default_width, number_format
from sheetgen.book.template import SCENARIOS, Block, Field

_CHECK_HEADERS = (("check", "left"), ("state", "left"), ("value", "right"), ("tolerance", "right"), ("mend", "left"))
# Height of one line, and how many lines a header has [point, count].
_LINE, _FEWEST, _MOST = 14, 2, 5


def write(worksheet: Any, styles: Styles, plan: Plan, part: PlacedPart) -> None:
    """Write the headers of a part.

    Parameters
    ----------
    worksheet : xlsxwriter.worksheet.Worksheet
        The sheet.
    styles : Styles
        Looks of the workbook.
    plan : Plan
        Plan of the book.
    part : PlacedPart
        The part; it has a row for headers.
    """
    row, kind, words = part.header_row, part.layout, plan.book.words
    assert row is not None
    if part.part.numbered and kind != "across":
        worksheet.write_string(row, 0, words["number_header"], styles.head("right"))
    if kind == "checks":
        for column, (word, align) in enumerate(_CHECK_HEADERS):
            worksheet.write_string(row, column, words[f"{word}_header"], styles.head(align))
        return
    if kind == "list":
        worksheet.write_string(row, 0, words["code_header"], styles.head())
    if kind == "across" or (kind == "scenario" and not part.block.over):
        worksheet.write_string(row, 0, words["label_header"], styles.head())
        worksheet.write_string(row, 1, words["unit_header"], styles.head())
        for number in range(part.records if kind == "across" else len(SCENARIOS)):
            if kind == "across":
                worksheet.write_number(row, 2 + number, number + 1, _counted(styles, plan, part.block, number))
            else:
                worksheet.write_string(row, 2 + number, words[SCENARIOS[number]], styles.head("right"))
        return
    _columns(worksheet, styles, plan, part, row)


def _columns(worksheet: Any, styles: Styles, plan: Plan, part: PlacedPart, row: int) -> None:
    """Write a header over each field of a table, and the scenarios above them."""
    words = plan.book.words
    groups = len(SCENARIOS) if part.layout == "scenario" else 1
    lines = _FEWEST if "\n" in styles.before_unit else 1
    for field in part.fields:
        text = _titled(field, plan, styles.before_unit)
        width = field.width or default_width(field.unit)
        lines = max(lines, -(-len(text) // max(int(width * styles.head_letters) - 1, 1)) + text.count("\n"))
        # The button of a filter hides the right edge of a header.
        align = "left" if part.part.filter or (number_format(field.unit) == "@" and not field.right) else "right"
        for group in range(groups):
            cell = plan.spot(part.block.name, field.name).cell(0, group)
            worksheet.write_string(row, cell.column, text, styles.head(align))
    worksheet.set_row(row, _LINE * min(lines, _MOST))
    if part.layout == "scenario":
        for group in range(groups):
            first = plan.spot(part.block.name, part.fields[0].name).cell(0, group).column
            for column in range(first, first + len(part.fields)):
                text = words[SCENARIOS[group]] if column == first else ""
                worksheet.write_string(row - 1, column, text, styles.group)


def _counted(styles: Styles, plan: Plan, block: Block, record: int) -> Any:
    """Return the look of a number over a column of an across block, which formulas may use: it shows as words."""
    listed = plan.book.blocks[block.over] if block.over else None
    word = listed.records[record]["word"] if listed and listed.kind == "list" else None
    form = f'"{word}"' if word else f'"{block.heading} "0' if block.heading else "0"
    return styles.get(bold=True, bg_color=HEAD_FILL, border=1, border_color=EDGE, num_format=form)


def _titled(field: Field, plan: Plan, before_unit: str) -> str:
    symbol = units.symbol(field.unit, plan.system)
    return f"{field.label}{before_unit}{symbol}" if symbol else field.label
