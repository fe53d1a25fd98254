"""The plan of each released template version does not move: one line per field, compared with golden/.

To renew after a wanted change of the templates (look at the difference before it is committed)::

    cd tests/book && PYTHONPATH=../.. python -m test_golden_plan
"""

from __future__ import annotations

from pathlib import Path

import pytest

from sheetgen import units
from sheetgen.book.compile import shipped
from sheetgen.book.plan import Plan

GOLDEN = Path(__file__).parent / "golden"
BOOKS = [("bid", "us"), ("bid", "metric"), ("cost", "us"), ("rates", "us"), ("rates", "metric")]


def dump(kind: str, system: str) -> str:
    """Return the plan as text: name, sheet and first cell, kind, records, unit."""
    plan = Plan(shipped(kind), system)
    lines = []
    for block, field in plan.book.fields():
        if field.stands_in(system):
            spot = plan.spot(block.name, field.name)
            symbol = units.symbol(field.unit, system)
            lines.append(f"{block.name}.{field.name} | {spot.cell().a1} | {field.kind} | {spot.records} | {field.unit} {symbol}".rstrip())
    return "\n".join(lines) + "\n"


def path(kind: str, system: str) -> Path:
    """Return the golden file of one kind of book, by its template version."""
    return GOLDEN / f"plan-{kind}-{shipped(kind).version}-{system}.txt"


@pytest.mark.parametrize(("kind", "system"), BOOKS)
def test_the_plan_is_as_it_was(kind: str, system: str) -> None:
    assert dump(kind, system).splitlines() == path(kind, system).read_text(encoding="utf-8").splitlines()


if __name__ == "__main__":
    for book in BOOKS:
        path(*book).write_text(dump(*book), encoding="utf-8")
        print(path(*book))
