"""What a template refers to must be there: blocks behind parts, lists behind choices, sheets behind links."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from sheetgen.book.template import PAIR, Block, Field, Sheet, rows_of
from sheetgen.findings import Report


def check_parts(file: str, sheet: Sheet | None, blocks: Mapping[str, Block], report: Report) -> None:
    """Report parts of a sheet whose block is defined nowhere, or runs over one that is not there."""
    for number, part in enumerate(sheet.parts if sheet else ()):
        block = blocks[part.block]
        if not block.kind:
            report.error("template-part", file, f"'{part.block}' is defined nowhere", "define the block once")
        for other in (block.over, block.second):
            if other and other not in blocks:
                report.error("template-over", file, f"'{part.block}' runs over '{other}'", "name a block")
        if block.kind == "cross" and not (block.over and block.second and all(map(block.field, PAIR))):
            report.error("template-cross", file, f"'{part.block}' needs over, with, and the fields {' and '.join(PAIR)}", "add them")
        if part.letterhead and block.kind != "fields":
            report.error("template-letterhead", file, f"'{part.block}' cannot be a letterhead", "make it of fields")
        if part.plain and (block.kind != "rows" or part.filter):
            report.error("template-plain", file, f"'{part.block}' cannot do without headers", "only rows without a filter can")
        if missing := [code for code in part.strong if blocks[block.base].record_number(code) is None]:
            report.error("template-strong", file, f"'{part.block}' has no '{missing[0]}'", "name a code of the list that it runs over")
        if sheet is not None:
            _check_filter(file, sheet, number, blocks, report)


def _check_filter(file: str, sheet: Sheet, number: int, blocks: Mapping[str, Block], report: Report) -> None:
    """Report a filter that cannot be, and a row above a table that is not there."""
    part = sheet.parts[number]
    if part.filter and (blocks[part.block].kind != "rows" or any(one.filter for one in sheet.parts[:number])):
        report.error("template-filter", file, f"'{part.block}' cannot have a filter", "filter one table of rows on each sheet")
    if not part.above:
        return
    below = sheet.parts[number + 1] if number + 1 < len(sheet.parts) else None
    over = {field.column or field.name for field in blocks[part.block].fields}
    if below is None or below.block != part.above or blocks[part.block].kind != "rows" or blocks[part.block].rows != 1:
        report.error("template-above", file, f"'{part.block}' is not the one row above '{part.above}'", "put it just before that table")
    elif missing := sorted(over - set(below.fields)):
        report.error("template-above", file, f"'{part.above}' has no column '{missing[0]}'", "name the column to stand over")


def check_references(sheets: Sequence[Sheet | None], blocks: Mapping[str, Block], report: Report) -> None:
    """Report choices without their list, checks without the rows they count, and links without their sheet."""
    codes = {sheet.code for sheet in sheets if sheet is not None}
    for block in blocks.values():
        for field in block.fields:
            _check_field(field, codes, blocks, report)


def _check_field(field: Field, codes: set[str], blocks: Mapping[str, Block], report: Report) -> None:
    owner, _, column = field.choices.partition(".")
    if owner and not _there(blocks, owner, column or "word"):
        report.error("template-choices", field.where.at(), f"no list '{field.choices}'", "name a list, or block.field")
    for source in field.each:
        if not _there(blocks, *rows_of(source)):
            mend = "name a block with faulty and look, or block.flag.words"
            report.error("template-each", field.where.at(), f"no rows '{source}'", mend)
    if field.link and field.link not in codes:
        report.error("template-link", field.where.at(), f"no sheet '{field.link}'", "name a sheet's code")


def _there(blocks: Mapping[str, Block], owner: str, *names: str) -> bool:
    block = blocks.get(owner)
    return block is not None and all(block.field(name) is not None for name in names)
