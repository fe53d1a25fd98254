"""Log: the hours worked."""
# ruff: noqa: RUF009 - figure() returns an attrs field, which is no default that records would share

from __future__ import annotations

from typing import TYPE_CHECKING, ClassVar

import attrs

from sheetgen.engine.blocks.table import Row, flag, table
from sheetgen.engine.missing import MISSING, given, known, value
from sheetgen.engine.totals import Column, at
from sheetgen.engine.values import figure

if TYPE_CHECKING:
    from sheetgen.engine.blocks.tasks import Tasks
    from sheetgen.engine.blocks.zones import Lone, ZoneNames
    from sheetgen.engine.inputs import Job
    from sheetgen.engine.names import Register
    from sheetgen.engine.records import HoursEntry

ONLY_LOOK = 6.0


@attrs.frozen(kw_only=True)
class HoursLog:
    """The hours log, matched and checked."""

    block: ClassVar[str] = "hours_log"
    over: ClassVar[str | None] = "hours_log"
    scenario: ClassVar[bool] = False

    started: Column = figure("count")
    task_no: Column = figure("no")
    zone_no: Column = figure("no")
    system_no: Column = figure("no")
    covers: Column = figure("count")
    first_time: Column = figure("count")
    area_counted: Column = figure("area")
    date_fault: Column = figure("no")
    whose_fault: Column = figure("no")
    area_fault: Column = figure("no")
    zone_fault: Column = figure("no")
    hours_fault: Column = figure("no")
    fault: Column = figure("no")
    only_look: Column = figure("count")
    faulty: Column = figure("count")
    hours: Column = figure("hour")
    waged: Column = figure("count")
    wage_gap: Column = figure("money")


@attrs.frozen(kw_only=True)
class Matching:
    """What the rows of the hours log are matched with.

    Parameters
    ----------
    task_register, zone_register
        Names to numbers.
    tasks, zones, lone
        What stands behind the numbers.
    """

    task_register: Register
    zone_register: Register
    tasks: Tasks
    zones: ZoneNames
    lone: Lone


def make_hours_log(job: Job, to: Matching) -> HoursLog:
    """Match each row of the log and find its first fault; one without a date still counts."""
    rows: list[Row] = []
    for entry in job.hours_log:
        task_no = to.task_register.number(entry.task)
        zone_no = to.zone_register.number(entry.zone)
        begun = any(one is not None for one in (entry.date, entry.task, entry.hours_each, entry.area_done))
        if begun and entry.zone is None:
            zone_no = to.lone.zone
        row: Row = {"task_no": task_no, "zone_no": zone_no, "system_no": at(to.zones.system_no, zone_no)}
        if begun:
            row |= _row_started(entry, row, to)
            row |= _judged(entry, row, to)
        rows.append(row)
    return table(HoursLog, rows)


def _row_started(entry: HoursEntry, row: Row, to: Matching) -> Row:
    covers = at(to.tasks.covers, row["task_no"])
    covers = covers if known(covers) else 0.0
    first_time = flag(holds=entry.rework != "yes")
    done = given(entry.area_done, 0)
    date_fault = ONLY_LOOK * flag(holds=entry.date is None)
    whose_fault = 4.0 if covers == 0 else date_fault if known(row["zone_no"]) else 5.0
    counts = covers == 1 and first_time == 1 and known(row["zone_no"])
    return {
        "started": 1.0,
        "covers": covers,
        "first_time": first_time,
        "area_counted": done if counts else 0.0,
        "date_fault": date_fault,
        "whose_fault": whose_fault,
        "area_fault": whose_fault if done > 0 else date_fault,
    }


def _judged(entry: HoursEntry, row: Row, to: Matching) -> Row:
    zone_fault = 3.0 if entry.zone is not None and not known(row["zone_no"]) else row["area_fault"]
    hours_fault = zone_fault if value(entry.hours_each) >= 0 else 2.0
    fault = hours_fault if known(row["task_no"]) else 1.0
    faulty = fault not in {0, ONLY_LOOK}
    hours = MISSING if faulty else given(entry.people, 1) * value(entry.hours_each)
    gap = 0.0
    if entry.wage is not None:
        gap = hours * (entry.wage - at(to.tasks.role_wage, row["task_no"]))
    return {
        "zone_fault": zone_fault,
        "hours_fault": hours_fault,
        "fault": fault,
        "only_look": flag(holds=fault == ONLY_LOOK),
        "faulty": flag(holds=faulty),
        "hours": hours,
        "waged": flag(holds=entry.wage is not None),
        "wage_gap": gap,
    }
