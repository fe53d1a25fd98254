"""The plan of every template version ever released does not move: one line per field, compared with golden/.

To renew after a wanted change of the templates (look at the difference before it is committed)::

    cd tests/book && PYTHONPATH=../.. python -m test_golden_plan
"""

from __future__ import annotations

from pathlib import Path

import pytest

from sheetgen import units
from sheetgen.book.compile import shipped
from sheetgen.book.load import template_versions
from sheetgen.book.plan import Plan

GOLDEN = Path(__file__).parent / "golden"
BOOKS = [
    (kind, version, system)
    for kind, systems in (("bid", ("us", "metric")), ("cost", ("us",)), ("rates", ("us", "metric")))
    for version in template_versions(kind)
    for system in systems
]


def dump(kind: str, version: str, system: str) -> str:
    """Return the plan as text: name, sheet and first cell, kind, records, unit."""
    plan = Plan(shipped(kind, version), system)
    lines = []
    for block, field in plan.book.fields():
        if field.stands_in(system):
            spot = plan.spot(block.name, field.name)
            symbol = units.symbol(field.unit, system)
            lines.append(f"{block.name}.{field.name} | {spot.cell().a1} | {field.kind} | {spot.records} | {field.unit} {symbol}".rstrip())
    return "\n".join(lines) + "\n"


def path(kind: str, version: str, system: str) -> Path:
    """Return the golden file of one template version."""
    return GOLDEN / f"plan-{kind}-{version}-{system}.txt"


@pytest.mark.parametrize(("kind", "version", "system"), BOOKS)
def test_the_plan_is_as_it_was(kind: str, version: str, system: str) -> None:
    assert dump(kind, version, system).splitlines() == path(kind, version, system).read_text(encoding="utf-8").splitlines()


def test_every_golden_has_its_template() -> None:
    """A version that was released once is kept for ever."""
    assert {one.name for one in GOLDEN.glob("plan-*.txt")} == {path(*book).name for book in BOOKS}


if __name__ == "__main__":
    for book in BOOKS:
        path(*book).write_text(dump(*book), encoding="utf-8")
        print(path(*book))
