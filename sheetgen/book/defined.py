"""The defined names of a book: one cell of each single field, and the column behind each drop-down."""

from __future__ import annotations

import collections
from collections.abc import Iterator

from sheetgen.book.plan import Address, Plan
from sheetgen.book.template import SCENARIOS, SHOWN_SCENARIOS


def defined_names(plan: Plan) -> dict[str, tuple[Address, Address]]:
    """Return the first and last cell of each name."""
    return {plan.defined(name): (first, last) for name, first, last in _named(plan)}


def names_twice(plan: Plan) -> list[str]:
    """Return the names that two cells would have."""
    counts = collections.Counter(name for name, _, _ in _named(plan))
    return [name for name, count in counts.items() if count > 1]


def _named(plan: Plan) -> Iterator[tuple[str, Address, Address]]:
    for block, field in plan.book.fields():
        if (block.name, field.name) not in plan.spots or field.kind == "note":
            continue
        spot = plan.spot(block.name, field.name)
        if block.kind == "scenario" and not block.over:
            for number, scenario in enumerate(SCENARIOS[:SHOWN_SCENARIOS]):
                tail = "" if scenario == "accepted" else f"_{scenario}"
                cell = spot.cell(0, number)
                yield f"{block.name}_{field.name}{tail}", cell, cell
        elif block.kind in {"fields", "checks"}:
            yield f"{block.name}_{field.name}", spot.cell(), spot.cell()
    for source in sorted({field.choices for _, field in plan.book.fields() if field.choices}):
        owner, _, column = source.partition(".")
        spot = plan.spot(owner, column or "word")
        yield f"list_{source.replace('.', '_')}", spot.cell(0), spot.cell(spot.records - 1)
