"""What a field of the present version does not take is left over, with the reason; what it takes is turned into its unit."""

from __future__ import annotations

import datetime as dt
import math
from typing import Any

import attrs
import pytest

from sheetgen.book.compile import compiled
from sheetgen.reader.present import _taken, shown

PLAN = compiled("bid", "us").plan


def field(name: str, **changes: Any) -> tuple[Any, Any]:
    block, _, inner = name.partition(".")
    found = PLAN.book.blocks[block].field(inner)
    return PLAN.book.blocks[block], attrs.evolve(found, **changes)


@pytest.mark.parametrize(
    ("value", "was", "now", "expected"),
    [
        (12.0, ("areas.first", {}), ("areas.first", {}), (12.0, "")),
        (None, ("areas.first", {}), ("areas.first", {}), (None, "")),
        (24.0, ("areas.first", {"unit": "depth"}), ("areas.first", {}), (2.0, "")),  # 24 in are 2 ft
        (2.0, ("areas.first", {"unit": "mass"}), ("areas.first", {}), (None, "the field is in ft now")),
        (2.0, ("areas.first", {}), ("areas.label", {}), (None, "the field is in words now")),
        ("a", ("areas.label", {}), ("areas.first", {}), (None, "the field takes something else now")),
        (dt.date(2026, 1, 8), ("hours_log.date", {}), ("areas.label", {}), (None, "the field takes something else now")),
        (5000.0, ("areas.first", {}), ("areas.first", {}), (None, "this version takes 0 to 3000")),
        (math.inf, ("areas.first", {}), ("areas.first", {"no_limit": True}), (math.inf, "")),
        ("hexagon", ("areas.shape", {}), ("areas.shape", {}), (None, "the list has no such word any more")),
        ("circle", ("areas.shape", {}), ("areas.shape", {}), ("circle", "")),
        (2.0, ("areas.first", {}), ("areas.first", {"only": "metric"}), (None, "this version has no such field")),
        (2.0, ("areas.first", {}), ("areas.first", {"kind": "formula"}), (None, "this version has no such field")),
    ],
)
def test_a_value_is_taken_or_left_over_with_the_reason(value: Any, was: Any, now: Any, expected: Any) -> None:
    block, goal = field(now[0], **now[1])

    assert _taken(value, field(was[0], **was[1])[1], block, goal, PLAN) == expected


def test_a_field_that_is_gone_leaves_its_value_over() -> None:
    assert _taken(1.0, field("areas.first")[1], None, None, PLAN) == (None, "this version has no such field")


@pytest.mark.parametrize(
    ("name", "value", "expected"),
    [
        ("areas.first", 12.5, "12.5 ft"), ("takeoff.waste", 0.07, "7 %"), ("crew.opens", 7.5 / 24, "7:30"), ("areas.label", "a", "a"),
        ("hours_log.date", dt.date(2026, 1, 8), "2026-01-08"), ("areas.shape", "circle", "circle"), ("areas.first", math.inf, "no limit"),
    ],
)  # fmt: skip
def test_a_value_is_shown_as_a_person_reads_it(name: str, value: Any, expected: str) -> None:
    assert shown(value, field(name)[1], PLAN) == expected
