"""Survey: doors and changes of level at the edges of the zones."""
# ruff: noqa: RUF009 - figure() returns an attrs field, which is no default that records would share

from __future__ import annotations

import math
from typing import TYPE_CHECKING, ClassVar

import attrs

from sheetgen.engine import level
from sheetgen.engine.blocks.table import Row, flag, table
from sheetgen.engine.lists import LEVEL_KINDS, number_of
from sheetgen.engine.missing import MISSING, given, known, value
from sheetgen.engine.totals import Column, at
from sheetgen.engine.values import figure

if TYPE_CHECKING:
    from sheetgen.engine.inputs import Display, Job
    from sheetgen.engine.names import Register
    from sheetgen.engine.records import Level

_DOOR = LEVEL_KINDS.index("door") + 1.0
_LEVEL = LEVEL_KINDS.index("level") + 1.0


@attrs.frozen(kw_only=True)
class Levels:
    """Doors and changes of level, as they are once the topping is on."""

    block: ClassVar[str] = "levels"
    over: ClassVar[str | None] = "levels"
    scenario: ClassVar[bool] = False

    started: Column = figure("count")
    zone_no: Column = figure("no")
    kind_no: Column = figure("no")
    height_fault: Column = figure("no")
    kind_fault: Column = figure("no")
    fault: Column = figure("no")
    faulty: Column = figure("count")
    zone_build: Column = figure("depth")
    after: Column = figure("depth")
    door_result: Column = figure("no")
    small_result: Column = figure("no")
    level_result: Column = figure("no")
    result_no: Column = figure("no")
    ramp: Column = figure("length")
    to_mend: Column = figure("count")
    judged: Column = figure("count")


def make_levels(job: Job, zones: Register, build: Column, display: Display) -> Levels:
    """Tell for each place what is left of its gap or step, and what it asks for."""
    return table(Levels, [_row(typed, zones, build, display) for typed in job.levels])


def _row(typed: Level, zones: Register, build: Column, display: Display) -> Row:
    if typed.label is None and typed.now is None:
        return {}
    zone_no = zones.number(typed.zone, blank=1)
    kind_no = number_of(LEVEL_KINDS, typed.kind, blank=_LEVEL)
    height_fault = 3.0 if typed.now is None else 0.0
    kind_fault = height_fault if known(kind_no) else 2.0
    fault = kind_fault if known(zone_no) else 1.0
    zone_build = at(build, zone_no)
    row: Row = {
        "started": 1.0,
        "zone_no": zone_no,
        "kind_no": kind_no,
        "height_fault": height_fault,
        "kind_fault": kind_fault,
        "fault": fault,
        "faulty": flag(holds=fault > 0),
        "judged": 0.0,
        "zone_build": zone_build,
    }
    if fault == 0:
        higher = value(typed.now) - zone_build
        row |= _result(typed, higher if kind_no == _DOOR else abs(higher), display, is_door=kind_no == _DOOR)
    return row


def _result(typed: Level, after_in: float, display: Display, *, is_door: bool) -> Row:
    after, need, fine, bevel = (display(one, "depth") for one in (after_in, given(typed.need, 0), level.FINE_IN, level.BEVEL_IN))
    by_door, by_level = level.door_result(after, need), level.level_result(after, fine, bevel)
    result_no = by_door if is_door else by_level
    return {
        "after": after_in,
        "door_result": by_door,
        "small_result": level.level_result(after, fine, math.inf),
        "level_result": by_level,
        "result_no": result_no,
        "ramp": level.ramp_length_ft(after_in) if result_no == level.RAMP else MISSING,
        "to_mend": flag(holds=result_no > level.FINE) if known(result_no) else MISSING,
        "judged": flag(holds=known(result_no)),
    }
