"""The cells that say OK or LOOK: one on every sheet, and one beside each check."""

from __future__ import annotations

from collections.abc import Iterator

from sheetgen.book.plan import CHECK_STATE, CHECK_TOLERANCE, CHECK_VALUE, STATE_ROW, Address, Plan, Spot, column_name
from sheetgen.book.template import Block, Field


def state_formula(plan: Plan) -> str:
    """Return the formula, on every sheet, that says whether all checks are OK."""
    looks = _fixed(plan.spot("master", "looks").cell())
    return f"=IF({looks}>0,{_word_cell(plan, 'states.look')},{_word_cell(plan, 'states.ok')})"


def check_state_formula(plan: Plan, block: Block, spot: Spot) -> str:
    """Return the formula that says whether a check is OK: its value against the tolerance beside it."""
    row = spot.row + 1
    value, tolerance = f"{column_name(CHECK_VALUE)}{row}", f"{column_name(CHECK_TOLERANCE)}{row}"
    said = f"IF({value}>{tolerance},{_word_cell(plan, block.bad)},{_word_cell(plan, block.good)})"
    return f'=IF(COUNT({value})<1,"",{said})'


def state_cells(plan: Plan) -> Iterator[tuple[Address, Block | None, Field | None]]:
    """Yield the cells: those of the sheets with neither block nor field, those of the checks with both."""
    for sheet in plan.book.sheets:
        yield Address(plan.title(sheet), STATE_ROW, 1), None, None
    for part in plan.parts:
        if part.block.kind == "checks":
            for field in part.fields:
                spot = plan.spot(part.block.name, field.name)
                yield Address(spot.sheet, spot.row, CHECK_STATE), part.block, field


def word_of(plan: Plan, source: str) -> str:
    """Return the word of ``list.code``."""
    block, number = _record(plan, source)
    return str(block.records[number]["word"])


def _word_cell(plan: Plan, source: str) -> str:
    block, number = _record(plan, source)
    return _fixed(plan.spot(block.name, "word").cell(number))


def _record(plan: Plan, source: str) -> tuple[Block, int]:
    name, _, code = source.partition(".")
    block = plan.book.blocks[name]
    number = block.record_number(code)
    assert number is not None
    return block, number


def _fixed(cell: Address) -> str:
    sheet = cell.sheet.replace("'", "''")
    return f"'{sheet}'!${column_name(cell.column)}${cell.row + 1}"
