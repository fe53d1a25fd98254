"""Visits: typed, or planned by themselves, and what each of them is paid."""
# ruff: noqa: RUF009 - figure() returns an attrs field, which is no default that records would share

from __future__ import annotations

import math
from typing import TYPE_CHECKING, ClassVar, Final

import attrs

from sheetgen.engine.blocks.table import Row, flag, table
from sheetgen.engine.lists import VISIT_KINDS, number_of
from sheetgen.engine.missing import MISSING, given, known, larger, value
from sheetgen.engine.overtime import week_of
from sheetgen.engine.records import filled
from sheetgen.engine.totals import Column
from sheetgen.engine.values import figure
from sheetgen.engine.visits import paid_h

if TYPE_CHECKING:
    from sheetgen.engine.blocks.plan_work import PlanWork
    from sheetgen.engine.inputs import Job
    from sheetgen.engine.records import Visit

NO_KIND, NO_PEOPLE, NO_HOURS, NO_DAY = map(float, range(1, 5))
# As far as weeks and persons are counted for overtime.
WEEKS: Final = 12
PERSONS: Final = 12


@attrs.frozen(kw_only=True)
class Visits:
    """The visits and their paid hours."""

    block: ClassVar[str] = "visits"
    over: ClassVar[str | None] = "visits"
    scenario: ClassVar[bool] = False

    typed: Column = figure("count")
    started: Column = figure("count")
    order: Column = figure("no")
    gap: Column = figure("no")
    auto_kind: Column = figure("no")
    auto_day: Column = figure("count")
    before_day: Column = figure("count")
    kind_no: Column = figure("no")
    day_no: Column = figure("count")
    week_no: Column = figure("no")
    people_plan: Column = figure("count")
    hours_plan: Column = figure("hour")
    people_used: Column = figure("count")
    hours_used: Column = figure("hour")
    day_fault: Column = figure("no")
    hours_fault: Column = figure("no")
    people_fault: Column = figure("no")
    fault: Column = figure("no")
    faulty: Column = figure("count")
    each: Column = figure("hour")
    paid: Column = figure("hour")
    nights: Column = figure("count")
    kept_days: Column = figure("day")
    over_day: Column = figure("hour")


def typed_visits(job: Job) -> list[bool]:
    """Tell which visits are typed; a note alone is none."""
    return [filled(visit, "note") for visit in job.visits]


def make_visits(job: Job, work: PlanWork, first_pour_day: float) -> Visits:
    """Take the visits that are typed; where none is, those that the work takes."""
    typed = typed_visits(job)
    rows: list[Row] = []
    above: Row = {}
    for number, (visit, is_typed) in enumerate(zip(job.visits, typed, strict=True), start=1):
        row: Row = {"typed": flag(holds=is_typed)}
        if is_typed or (not any(typed) and number <= work.visits):
            row |= _planned(float(number), work, first_pour_day)
            row |= {"started": 1.0, "order": float(number), "gap": number - above.get("order", 0.0)}
            row["before_day"] = above.get("day_no", MISSING)
            if is_typed:
                row["kind_no"] = number_of(VISIT_KINDS, visit.kind, blank=1)
                row["day_no"] = given(visit.day, row["before_day"] + 1 if above else 1.0)
            else:
                row |= {"kind_no": row["auto_kind"], "day_no": row["auto_day"]}
            row |= _who(job, work, visit, row)
            row |= _faults(row)
            row |= _paid(job, visit, row) if row["fault"] == 0 else {}
            above = row
        rows.append(row)
    return table(Visits, rows)


def _planned(number: float, work: PlanWork, first_pour_day: float) -> Row:
    """Return the kind and day of a visit where nobody has typed any: preparing, then pouring, then sealing, day after day."""
    if not known(work.pour_until):
        return {}
    if number <= work.prepare_count:
        return {"auto_kind": 1.0, "auto_day": number}
    if number <= work.pour_until:
        return {"auto_kind": 2.0, "auto_day": first_pour_day + number - work.prepare_count - 1}
    return {"auto_kind": 3.0, "auto_day": work.seal_day + number - work.pour_until - 1}


def _who(job: Job, work: PlanWork, visit: Visit, row: Row) -> Row:
    """Return who comes for how long, and in which week."""
    kind = VISIT_KINDS[int(row["kind_no"]) - 1] if known(row["kind_no"]) else None
    people_plan = getattr(work, f"{kind}_people") if kind else MISSING
    hours_plan = getattr(work, f"{kind}_each") if kind else MISSING
    return {
        "week_no": week_of(row["day_no"], value(job.crew.first_weekday)),
        "people_plan": people_plan,
        "hours_plan": hours_plan,
        "people_used": given(visit.people, people_plan),
        "hours_used": given(visit.hours, hours_plan),
    }


def _faults(row: Row) -> Row:
    day, week, people, hours = row["day_no"], row["week_no"], row["people_used"], row["hours_used"]
    day_fault = (0.0 if day >= 1 and week <= WEEKS else NO_DAY) if known(day + week) else MISSING
    hours_fault = (day_fault if known(day_fault) else NO_DAY) if hours >= 0 else NO_HOURS
    people_fault = (hours_fault if 0 <= people <= PERSONS else NO_PEOPLE) if known(people) else MISSING
    fault = (people_fault if known(people_fault) else NO_PEOPLE) if known(row["kind_no"]) else NO_KIND
    return {
        "day_fault": day_fault,
        "hours_fault": hours_fault,
        "people_fault": people_fault,
        "fault": fault,
        "faulty": flag(holds=fault > 0),
    }


def _paid(job: Job, visit: Visit, row: Row) -> Row:
    """Return what a visit without a fault is paid."""
    people, hours, least = row["people_used"], row["hours_used"], value(job.crew.least_paid)
    each = larger(hours, least)
    limit = value(job.crew.day_limit)
    return {
        "each": each,
        "paid": paid_h(people, hours, least),
        "nights": people if visit.overnight == "yes" else 0.0,
        "kept_days": 1 + given(visit.kept, 0),
        "over_day": people * larger(0.0, each - limit) if known(limit) else 0.0,
    }


@attrs.frozen(kw_only=True)
class VisitCounts:
    """How many visits are paid: none that is known where some are left out.

    Parameters
    ----------
    visits : float
        Visits [count].
    people : float
        People over all visits [count].
    """

    visits: float
    people: float


def count_visits(visits: Visits, work: PlanWork) -> VisitCounts:
    """Count the visits that are paid."""
    count = math.fsum(visits.typed) or (work.visits if work.left_out == 0 else MISSING)
    people = math.fsum(people for people, begun in zip(visits.people_used, visits.started, strict=True) if known(begun))
    return VisitCounts(visits=count, people=people if known(count) else MISSING)
