"""Takeoff: what is measured by its length."""
# ruff: noqa: RUF009 - figure() returns an attrs field, which is no default that records would share

from __future__ import annotations

from typing import TYPE_CHECKING, ClassVar

import attrs

from sheetgen.engine.blocks.areas import is_whole
from sheetgen.engine.blocks.table import Row, first_fault, flag, table
from sheetgen.engine.inputs import Job, feet
from sheetgen.engine.lists import LINEAR_KINDS, number_of
from sheetgen.engine.missing import MISSING, given, known, value
from sheetgen.engine.values import figure

if TYPE_CHECKING:
    from sheetgen.engine.names import Register
    from sheetgen.engine.records import Joint, Linear
    from sheetgen.engine.totals import Column


@attrs.frozen(kw_only=True)
class Linears:
    """What is measured by length."""

    block: ClassVar[str] = "linear"
    over: ClassVar[str | None] = "linear"
    scenario: ClassVar[bool] = False

    started: Column = figure("count")
    zone_no: Column = figure("no")
    kind_no: Column = figure("no")
    size: Column = figure("length")
    pieces: Column = figure("count")
    place_fault: Column = figure("no")
    size_fault: Column = figure("no")
    count_fault: Column = figure("no")
    fault: Column = figure("no")
    faulty: Column = figure("count")
    total: Column = figure("length")


def make_linears(job: Job, zones: Register) -> Linears:
    """Measure each linear item."""
    return table(Linears, [length_row(typed, LINEAR_KINDS, zones) for typed in job.linear])


def length_row(typed: Linear | Joint, kinds: tuple[str, ...], zones: Register) -> Row:
    """Measure what has a length; what is left blank is one piece of the first kind, in zone 1."""
    size = value(feet(typed.length, typed.length_in))
    if typed.label is None and not known(size):
        return {}
    zone_no = zones.number(typed.zone, blank=1)
    kind_no = number_of(kinds, typed.kind, blank=1)
    pieces = given(typed.how_many, 1)
    place_fault = 1.0 if not known(zone_no) else 2.0 if not known(kind_no) else 0.0
    size_fault = 0.0 if size > 0 else 3.0
    count_fault = 0.0 if is_whole(pieces) else 6.0
    fault = first_fault(place_fault, size_fault, count_fault)
    return {
        "started": 1.0,
        "zone_no": zone_no,
        "kind_no": kind_no,
        "size": size,
        "pieces": pieces,
        "place_fault": place_fault,
        "size_fault": size_fault,
        "count_fault": count_fault,
        "fault": fault,
        "faulty": flag(holds=fault > 0),
        "total": size * pieces if fault == 0 else MISSING,
    }
