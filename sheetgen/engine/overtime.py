"""Overtime by workweek and by day, from the hours that visits pay."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING, Final

import attrs

from sheetgen import money
from sheetgen.engine.missing import MISSING, cents, known
from sheetgen.engine.ranges import require_not_negative

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

DAYS_PER_WEEK: Final = 7.0


@attrs.frozen(kw_only=True)
class Attendance:
    """How many people are paid how many hours on one day.

    Parameters
    ----------
    day : float
        Day of the job, from 1 [no].
    people : float
        On the visit; the same people come first to every visit [count].
    each_h : float
        Paid hours of each [h].
    """

    day: float
    people: float
    each_h: float


def week_of(day: float, first_weekday: float) -> float:
    """Tell which workweek of the job a day belongs to.

    Parameters
    ----------
    day : float
        Day of the job, from 1 [no].
    first_weekday : float
        Which day of the workweek day 1 is, 1 to 7 [no].

    Returns
    -------
    float
        Week of the job, from 1, missing where a day is [no].

    References
    ----------
    29 CFR 778.105: a workweek is seven days in a row that begin on any day.
    """
    days = day + first_weekday - 2
    return money.down(days / DAYS_PER_WEEK) + 1 if known(days) else MISSING


def weekly_overtime_h(visits: Sequence[Attendance], week_limit_h: float = 40.0) -> float:
    """Compute the overtime of one workweek over the weekly limit.

    Parameters
    ----------
    visits : sequence of Attendance
        All visits of the week.
    week_limit_h : float
        Hours of one person after which overtime begins [h].

    Returns
    -------
    float
        Over all people the hours above the limit [h].

    Raises
    ------
    OutOfRangeError
        The limit is below 0.

    Notes
    -----
    The n-th person comes to every visit that has n people or more: the fewest people do the most visits, which is what
    a small firm's week looks like and never hides overtime.

    References
    ----------
    29 CFR 778.104: each workweek stands alone.
    """
    require_not_negative(week_limit_h=week_limit_h)
    most = max((visit.people for visit in visits), default=0.0)
    weeks = (math.fsum(visit.each_h for visit in visits if visit.people >= person) for person in range(1, math.ceil(most) + 1))
    return math.fsum(max(0.0, hours - week_limit_h) for hours in weeks)


def daily_overtime_h(visits: Iterable[Attendance], day_limit_h: float) -> float:
    """Compute the overtime of one workweek over a daily limit.

    Parameters
    ----------
    visits : iterable of Attendance
        All visits of the week.
    day_limit_h : float
        Hours of a day after which a local rule pays overtime, missing where there is no such rule [h].

    Returns
    -------
    float
        Over all people the hours above the limit, 0 without a rule [h].
    """
    if not known(day_limit_h):
        return 0.0
    return math.fsum(visit.people * max(0.0, visit.each_h - day_limit_h) for visit in visits)


def overtime_h(visits: Sequence[Attendance], week_limit_h: float = 40.0, day_limit_h: float = MISSING) -> float:
    """Compute the overtime of one workweek.

    Parameters
    ----------
    visits : sequence of Attendance
        All visits of the week.
    week_limit_h : float
        Hours of one person in a week after which overtime begins [h].
    day_limit_h : float
        The same for a day, missing where no local rule says so [h].

    Returns
    -------
    float
        The larger of the weekly and the daily sum: an hour is not paid twice [h].

    Raises
    ------
    OutOfRangeError
        The weekly limit is below 0.

    Notes
    -----
    Trade, labour. Where some days pass the daily limit and others make the week long, a local rule that adds both up
    may pay more: check it.
    """
    return max(weekly_overtime_h(visits, week_limit_h), daily_overtime_h(visits, day_limit_h))


def overtime_cost(hours_h: float, rate: float, regular_money_per_h: float, payroll_taxes: float) -> float:
    """Compute what overtime costs on top of the loaded wage of its hours.

    Parameters
    ----------
    hours_h : float
        Hours of overtime, perhaps missing [h].
    rate : float
        Overtime rate, as a multiple of the regular rate [-].
    regular_money_per_h : float
        Regular rate: the mean wage before taxes, insurance and benefits [money/h].
    payroll_taxes : float
        Payroll taxes, as a share of the wage [-].

    Returns
    -------
    float
        hours · (rate - 1) · regular rate · (1 + payroll taxes), to the cent [money].

    Notes
    -----
    Trade, labour: the overtime half carries payroll taxes only.

    References
    ----------
    29 CFR 778.107.
    """
    return cents(hours_h * (rate - 1) * regular_money_per_h * (1 + payroll_taxes))
