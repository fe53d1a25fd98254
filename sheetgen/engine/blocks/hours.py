"""Log: the hours worked."""
# ruff: noqa: RUF009 - figure() returns an attrs field, which is no default that records would share

from __future__ import annotations

from typing import TYPE_CHECKING, ClassVar

import attrs

from sheetgen.engine.blocks.table import Row, flag, table
from sheetgen.engine.labour import loaded_wage
from sheetgen.engine.missing import MISSING, cents, given, known, value
from sheetgen.engine.names import key
from sheetgen.engine.totals import Column, at
from sheetgen.engine.values import figure

if TYPE_CHECKING:
    from sheetgen.engine.blocks.rates import OnWages, Roles
    from sheetgen.engine.blocks.tasks import Tasks
    from sheetgen.engine.blocks.zones import Lone, ZoneNames
    from sheetgen.engine.inputs import Job
    from sheetgen.engine.names import Register
    from sheetgen.engine.records import HoursEntry

ONLY_LOOK = 6.0
# The order number of a row that belongs to the job as it was bid.
NO_ORDER = 0.0


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
    order_no: Column = figure("no")
    role_paid: Column = figure("no")
    covers: Column = figure("count")
    first_time: Column = figure("count")
    area_counted: Column = figure("area")
    date_fault: Column = figure("no")
    order_fault: Column = figure("no")
    typed_fault: Column = figure("no")
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
    own: Column = figure("count")
    hours_own: Column = figure("hour")
    gap_own: Column = figure("money")
    hours_known: Column = figure("hour")
    hourly: Column = figure("money/hour")
    cost: Column = figure("money")
    priced: Column = figure("count")
    cost_known: Column = figure("money")
    unpriced: Column = figure("count")


@attrs.frozen(kw_only=True)
class Matching:
    """What the rows of the hours log are matched with.

    Parameters
    ----------
    task_register, zone_register, role_register, order_register
        Names to numbers.
    tasks, zones, lone, roles, on_wages
        What stands behind the numbers.
    """

    task_register: Register
    zone_register: Register
    role_register: Register
    order_register: Register
    tasks: Tasks
    zones: ZoneNames
    lone: Lone
    roles: Roles
    on_wages: OnWages


def own_part(row: Row, **figures: str) -> Row:
    """Return how much of a row counts for the bid: nothing where it is for a change order.

    Parameters
    ----------
    row : dict
        Figures of a started row.
    **figures : str
        Name of the part of a figure, and of the figure.

    Returns
    -------
    dict
        ``own``, and each part.
    """
    own = row["order_no"] == NO_ORDER
    return {"own": flag(holds=own), **{part: row[whole] if own else 0.0 for part, whole in figures.items()}}


def known_cost(cost: float) -> Row:
    """Return whether a cost is known, and what of it is."""
    return {"cost": cost, "priced": flag(holds=known(cost)), "cost_known": cost if known(cost) else 0.0}


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
            row |= _whose(entry, row, to)
            row |= _row_started(entry, row, to)
            row |= _judged(entry, row, to)
            row |= own_part(row, hours_own="hours", gap_own="wage_gap")
            row |= _cost(entry, row, to, value(job.burdens.benefits))
        rows.append(row)
    return table(HoursLog, rows)


def _whose(entry: HoursEntry, row: Row, to: Matching) -> Row:
    """Tell whose hours they are: the role paid for them, and the change order that they are for."""
    role_paid = to.role_register.number(entry.role, blank=at(to.tasks.role_no, row["task_no"]))
    order_no = to.order_register.number(entry.change_order, blank=NO_ORDER)
    date_fault = ONLY_LOOK * flag(holds=entry.date is None)
    order_fault = date_fault if known(order_no) else 8.0
    return {
        "order_no": order_no,
        "role_paid": role_paid,
        "date_fault": date_fault,
        "order_fault": order_fault,
        "typed_fault": 7.0 if key(entry.role) is not None and not known(role_paid) else order_fault,
    }


def _row_started(entry: HoursEntry, row: Row, to: Matching) -> Row:
    covers = at(to.tasks.covers, row["task_no"])
    covers = covers if known(covers) else 0.0
    first_time = flag(holds=entry.rework != "yes")
    done = given(entry.area_done, 0)
    typed_fault = row["typed_fault"]
    whose_fault = 4.0 if covers == 0 else typed_fault if known(row["zone_no"]) else 5.0
    counts = covers == 1 and first_time == 1 and known(row["zone_no"]) and row["order_no"] == NO_ORDER
    return {
        "started": 1.0,
        "covers": covers,
        "first_time": first_time,
        "area_counted": done if counts else 0.0,
        "whose_fault": whose_fault,
        "area_fault": whose_fault if done > 0 else typed_fault,
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
        "hours_known": hours if known(hours) else 0.0,
        "waged": flag(holds=entry.wage is not None),
        "wage_gap": gap,
    }


def _cost(entry: HoursEntry, row: Row, to: Matching, benefits: float) -> Row:
    """Return what the hours cost: at the wage paid where it was logged, else at that of the role."""
    if entry.wage is None:
        hourly = at(to.roles.loaded, row["role_paid"])
    else:
        hourly = loaded_wage(entry.wage, to.on_wages.on_wages, 0.0, 0.0, benefits)
    cost = known_cost(cents(row["hours"] * hourly))
    return {"hourly": hourly, **cost, "unpriced": (1 - row["faulty"]) * (1 - cost["priced"])}
