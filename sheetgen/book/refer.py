"""What a template refers to must be there: blocks behind parts, lists behind choices, sheets behind links."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from sheetgen.book.template import PAIR, Block, Field, Sheet, rows_of
from sheetgen.findings import Report


def check_parts(file: str, sheet: Sheet | None, blocks: Mapping[str, Block], report: Report) -> None:
    """Report parts of a sheet whose block is defined nowhere, or runs over one that is not there."""
    for part in sheet.parts if sheet else ():
        block = blocks[part.block]
        if not block.kind:
            report.error("template-part", file, f"'{part.block}' is defined nowhere", "define the block once")
        for other in (block.over, block.second):
            if other and other not in blocks:
                report.error("template-over", file, f"'{part.block}' runs over '{other}'", "name a block")
        if block.kind == "cross" and not (block.over and block.second and all(map(block.field, PAIR))):
            report.error("template-cross", file, f"'{part.block}' needs over, with, and the fields {' and '.join(PAIR)}", "add them")


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
