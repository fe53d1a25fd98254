"""Visits: what they are paid together, and overtime week by week."""
# ruff: noqa: RUF009 - figure() returns an attrs field, which is no default that records would share

from __future__ import annotations

import math
from typing import TYPE_CHECKING, ClassVar

import attrs

from sheetgen.engine.blocks.table import Row, table
from sheetgen.engine.blocks.visits import PERSONS, WEEKS
from sheetgen.engine.missing import MISSING, known, larger, ratio, value
from sheetgen.engine.overtime import overtime_cost
from sheetgen.engine.totals import Column, total, totals_by_number
from sheetgen.engine.values import figure

if TYPE_CHECKING:
    from sheetgen.engine.blocks.tasks import Tasks
    from sheetgen.engine.blocks.visits import VisitCounts, Visits
    from sheetgen.engine.inputs import Job


@attrs.frozen(kw_only=True)
class WeekHours:
    """The hours of each person in each week: week 1 with all persons, then week 2."""

    block: ClassVar[str] = "week_hours"
    over: ClassVar[str | None] = "week_hours"
    scenario: ClassVar[bool] = False

    started: Column = figure("count")
    hours: Column = figure("hour")
    over_: Column = figure("hour")


@attrs.frozen(kw_only=True)
class Weeks:
    """The overtime of each week."""

    block: ClassVar[str] = "weeks"
    over: ClassVar[str | None] = "week_numbers"
    scenario: ClassVar[bool] = False

    weekly: Column = figure("hour")
    daily: Column = figure("hour")
    overtime: Column = figure("hour")


@attrs.frozen(kw_only=True)
class Paid:
    """All visits together."""

    block: ClassVar[str] = "paid"
    over: ClassVar[str | None] = None
    scenario: ClassVar[bool] = False

    visits: float = figure("count")
    hours: float = figure("hour")
    nights: float = figure("count")
    people_visits: float = figure("count")
    overtime_hours: float = figure("hour")
    plain_wage: float = figure("money/hour")
    overtime_cost: float = figure("money")


def make_week_hours(job: Job, visits: Visits) -> WeekHours:
    """Add up the hours of each person in each week: the n-th person comes to every visit of n people or more."""
    limit, sound = value(job.crew.week_limit), known(total(visits.each, visits.started))
    rows: list[Row] = []
    for week in range(1, WEEKS + 1):
        of_week = [row for row, number in enumerate(visits.week_no) if number == week]
        for person in range(1, PERSONS + 1):
            hours = math.fsum(visits.each[row] for row in of_week if visits.people_used[row] >= person)
            hours = hours if sound else MISSING
            rows.append({"started": 1.0, "hours": hours, "over_": larger(0.0, hours - limit)})
    return table(WeekHours, rows)


def make_weeks(visits: Visits, week_hours: WeekHours) -> Weeks:
    """Take the larger of the weekly and the daily overtime of each week: an hour is not paid twice."""
    by_day = totals_by_number(visits.over_day, visits.started, visits.week_no, WEEKS)
    rows: list[Row] = []
    for week, daily in enumerate(by_day):
        of_week = slice(week * PERSONS, (week + 1) * PERSONS)
        weekly = total(week_hours.over_[of_week], week_hours.started[of_week])
        rows.append({"weekly": weekly, "daily": daily, "overtime": larger(weekly, daily)})
    return table(Weeks, rows)


def make_paid(job: Job, visits: Visits, counts: VisitCounts, weeks: Weeks, plain_wage: float) -> Paid:
    """Add all visits up; overtime pays its half on the mean wage, with payroll taxes only."""
    if not known(counts.visits):
        return Paid(
            visits=MISSING,
            hours=MISSING,
            nights=MISSING,
            people_visits=MISSING,
            overtime_hours=MISSING,
            plain_wage=plain_wage,
            overtime_cost=MISSING,
        )
    overtime = total(weeks.overtime, (1.0,) * WEEKS)
    rate, taxes = value(job.crew.overtime_rate), value(job.burdens.payroll_taxes)
    return Paid(
        visits=counts.visits,
        hours=total(visits.paid, visits.started),
        nights=total(visits.nights, visits.started),
        people_visits=counts.people,
        overtime_hours=overtime,
        plain_wage=plain_wage,
        overtime_cost=overtime_cost(overtime, rate, plain_wage, taxes) if overtime != 0 else 0.0,
    )


def plain_wage_of(hours: Column, tasks: Tasks) -> float:
    """Compute the mean wage of the task hours, before anything is loaded on it [money/h]."""
    together = total(tuple(one * wage for one, wage in zip(hours, tasks.role_wage, strict=True)), tasks.started)
    return ratio(together, total(hours, tasks.started))
