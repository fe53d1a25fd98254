"""Survey: the readings on the slab, each against its limit."""
# ruff: noqa: RUF009 - figure() returns an attrs field, which is no default that records would share

from __future__ import annotations

from typing import TYPE_CHECKING, ClassVar

import attrs

from sheetgen.engine.blocks.limits import above, below
from sheetgen.engine.blocks.system_limits import LimitOf, SystemLimits
from sheetgen.engine.blocks.table import Row, flag, table
from sheetgen.engine.inputs import row_unit
from sheetgen.engine.lists import MODES, TESTS, number_of
from sheetgen.engine.missing import MISSING, above_zero, known, value
from sheetgen.engine.slab_limits import NOT_STATED
from sheetgen.engine.survey import FAIL, NOT_TESTED, PASS, exposure_counts, vapour_emission
from sheetgen.engine.totals import Column, at
from sheetgen.engine.values import figure

if TYPE_CHECKING:
    import datetime as dt

    from sheetgen.engine.blocks.observed import ObservedSource
    from sheetgen.engine.blocks.zones import ZoneNames
    from sheetgen.engine.inputs import Display, Job
    from sheetgen.engine.names import Register
    from sheetgen.engine.records import Reading

_MVER = TESTS.index("mver") + 1.0
_STRENGTH = TESTS.index("strength") + 1.0


@attrs.frozen(kw_only=True)
class Readings:
    """The readings, matched and judged."""

    block: ClassVar[str] = "readings"
    over: ClassVar[str | None] = "readings"
    scenario: ClassVar[bool] = False

    started: Column = figure("count")
    zone_no: Column = figure("no")
    system_no: Column = figure("no")
    test_no: Column = figure("no")
    mode_no: Column = figure("no")
    source_no: Column = figure("no")
    weighed: Column = figure("reading", "mver")
    value_used: Column = figure("reading")
    low: Column = figure("reading")
    high: Column = figure("reading")
    date_fault: Column = figure("no")
    stood_fault: Column = figure("no")
    hours_fault: Column = figure("no")
    mode_fault: Column = figure("no")
    value_fault: Column = figure("no")
    test_fault: Column = figure("no")
    fault: Column = figure("no")
    faulty: Column = figure("count")
    judged: Column = figure("count")
    too_low: Column = figure("count")
    too_high: Column = figure("count")
    beyond: Column = figure("count")
    state_no: Column = figure("no")
    strength_mode: Column = figure("no")
    strength_judged: Column = figure("reading")
    strength_value: Column = figure("reading")


@attrs.frozen(kw_only=True)
class Judges:
    """What the readings are matched with and held to.

    Parameters
    ----------
    zone_register
        Names to numbers.
    zones, limits, sources
        What stands behind the numbers.
    """

    zone_register: Register
    zones: ZoneNames
    limits: SystemLimits
    sources: ObservedSource


def make_readings(job: Job, to: Judges, display: Display) -> Readings:
    """Match each reading, find its first fault, and hold it to the limit of its zone's system."""
    dish_area, bid_date = value(job.survey.dish_area), job.job.bid_date
    rows: list[Row] = []
    for typed in job.readings:
        row: Row = {}
        if _started(typed):
            row = _matched(typed, to)
            row |= _valued(typed, row, dish_area)
            row |= _faults(typed, row, bid_date)
            row |= _judged(typed, row, to, display)
        rows.append(row)
    return table(Readings, rows)


def _started(typed: Reading) -> bool:
    begun = (typed.test, typed.value, typed.grams, typed.hours, typed.location, typed.date)
    return any(one is not None for one in begun)


def _matched(typed: Reading, to: Judges) -> Row:
    zone_no = to.zone_register.number(typed.zone, blank=1)
    test_no = number_of(TESTS, typed.test)
    source_no = at(to.sources.of(TESTS[int(test_no) - 1]), zone_no) if known(test_no) else MISSING
    return {
        "started": 1.0,
        "zone_no": zone_no,
        "system_no": at(to.zones.system_no, zone_no),
        "test_no": test_no,
        "mode_no": number_of(MODES, typed.mode),
        "source_no": source_no,
    }


def _valued(typed: Reading, row: Row, dish_area_ft2: float) -> Row:
    """Return the value typed, or what a dish gained as a rate."""
    weighed = vapour_emission(value(typed.grams), above_zero(value(typed.hours)), above_zero(dish_area_ft2))
    by_weight = typed.value is None and row["test_no"] == _MVER
    return {"weighed": weighed, "value_used": weighed if by_weight else value(typed.value)}


def _faults(typed: Reading, row: Row, bid_date: dt.date | None) -> Row:
    expired = typed.valid_until is not None and bid_date is not None and typed.valid_until < bid_date
    date_fault = 6.0 * expired
    stood_fault = MISSING if typed.hours is None else date_fault if exposure_counts(typed.hours) else 5.0
    hours_fault = stood_fault if typed.value is None else date_fault
    if row["test_no"] == _STRENGTH:
        mode_fault = date_fault if known(row["mode_no"]) else 4.0
    else:
        mode_fault = hours_fault if known(row["test_no"]) else MISSING
    value_fault = mode_fault if known(row["value_used"]) else 3.0
    test_fault = value_fault if known(row["test_no"]) else 2.0
    fault = test_fault if known(row["zone_no"]) else 1.0
    return {
        "date_fault": date_fault,
        "stood_fault": stood_fault,
        "hours_fault": hours_fault,
        "mode_fault": mode_fault,
        "value_fault": value_fault,
        "test_fault": test_fault,
        "fault": fault,
        "faulty": flag(holds=fault > 0),
    }


def _judged(typed: Reading, row: Row, to: Judges, display: Display) -> Row:
    limit, unit, value_used = LimitOf(), row_unit(typed), row["value_used"]
    if known(row["test_no"] + row["zone_no"]):
        limit = to.limits.of(TESTS[int(row["test_no"]) - 1], row["system_no"])
    judged = flag(holds=row["fault"] == 0 and known(row["source_no"]) and row["source_no"] != NOT_STATED)
    too_low, too_high = below(value_used, limit.low, unit, display), above(value_used, limit.high, unit, display)
    beyond = judged * flag(holds=too_low == 1 or too_high == 1)
    strength_mode = row["mode_no"] if judged == 1 and row["test_no"] == _STRENGTH else MISSING
    strength = value_used if known(strength_mode) else MISSING
    return {
        "low": limit.low,
        "high": limit.high,
        "judged": judged,
        "too_low": flag(holds=too_low == 1),
        "too_high": flag(holds=too_high == 1),
        "beyond": beyond,
        "state_no": NOT_TESTED if judged == 0 else FAIL if beyond == 1 else PASS,
        "strength_mode": strength_mode,
        "strength_judged": strength,
        "strength_value": strength if known(strength) else 0.0,
    }
