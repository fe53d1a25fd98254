"""Visits: how many the work takes, on which days, what is paid for them, and what of that is idle."""

from __future__ import annotations

from typing import TYPE_CHECKING

import attrs

from sheetgen.engine.missing import MISSING, known, larger, ratio, up
from sheetgen.engine.ranges import require_above_zero, require_not_negative

if TYPE_CHECKING:
    from collections.abc import Iterable

HOURS_PER_DAY = 24.0


def visits_needed(work_h: float, people: float, day_h: float, set_up_each_h: float) -> float:
    """Count the visits that one kind of work takes.

    Parameters
    ----------
    work_h : float
        Person-hours without what every visit takes [h].
    people : float
        On each visit, above 0 [count].
    day_h : float
        Hours of a day [h].
    set_up_each_h : float
        What every visit takes each person, less than a day [h].

    Returns
    -------
    float
        up((work / people) / (day - set-up)), 0 without work, missing where a day has no time left [count].

    Raises
    ------
    OutOfRangeError
        Nobody comes, or the hours are below 0.

    Notes
    -----
    Trade, labour.
    """
    require_not_negative(work_h=work_h)
    require_above_zero(people=people)
    if work_h == 0:
        return 0.0
    left_h = day_h - set_up_each_h
    return up(ratio(work_h / people, left_h)) if left_h > 0 else MISSING


def hours_of_visit_h(work_h: float, people: float, visits: float, set_up_each_h: float) -> float:
    """Compute how long each person is on each visit of one kind.

    Parameters
    ----------
    work_h : float
        Person-hours without what every visit takes [h].
    people : float
        On each visit, above 0 [count].
    visits : float
        Visits of the kind [count].
    set_up_each_h : float
        What every visit takes each person [h].

    Returns
    -------
    float
        work / (people · visits) + set-up, 0 where there is no visit [h].

    Raises
    ------
    OutOfRangeError
        Nobody comes.
    """
    require_above_zero(people=people)
    return work_h / (people * visits) + set_up_each_h if visits != 0 else 0.0


def days_until_sealing(waits_h: Iterable[float]) -> float:
    """Count the days from the last pour to the first visit that seals.

    Parameters
    ----------
    waits_h : iterable of float
        Wait of each topping that is used before its next layer, missing where the data sheet has none [h].

    Returns
    -------
    float
        The longest in whole days, at least 1 [day].
    """
    longest = max((wait for wait in waits_h if known(wait)), default=0.0)
    return max(1.0, up(longest / HOURS_PER_DAY))


@attrs.frozen(kw_only=True)
class PlannedVisit:
    """A visit that nobody has typed.

    Parameters
    ----------
    kind : {'prepare', 'pour', 'seal'}
        Work in it.
    day : float
        Day of the job, from 1 [no].
    """

    kind: str
    day: float


def planned_visits(prepare: float, pour: float, seal: float, *, first_pour_day: float, first_seal_day: float) -> list[PlannedVisit]:
    """Lay the visits of a job out by day.

    Parameters
    ----------
    prepare, pour, seal : float
        Visits of each kind [count].
    first_pour_day, first_seal_day : float
        Day of the first of them [no].

    Returns
    -------
    list of PlannedVisit
        Preparing from day 1 on, then pouring, then sealing, each kind on days in a row.

    Notes
    -----
    Trade, the pour: prime tonight, pour tomorrow, seal after two days are three visits.
    """
    kinds = (("prepare", prepare, 1.0), ("pour", pour, first_pour_day), ("seal", seal, first_seal_day))
    return [PlannedVisit(kind=kind, day=first + after) for kind, count, first in kinds for after in range(int(count))]


def paid_h(people: float, hours_h: float, least_h: float) -> float:
    """Compute the hours that a visit is paid.

    Parameters
    ----------
    people : float
        On the visit [count].
    hours_h : float
        Hours of each [h].
    least_h : float
        Least hours that a visit is paid [h].

    Returns
    -------
    float
        people · max(hours, least), missing where either is [h].
    """
    return people * larger(hours_h, least_h)


def waiting_h(present_h: float, task_hours_h: float) -> float:
    """Compute the hours that the hands of a pour are there without a task of it.

    Parameters
    ----------
    present_h : float
        Person-hours there [h].
    task_hours_h : float
        Hours of its mixing, placing and trowelling, without set-up and difficulty [h].

    Returns
    -------
    float
        max(0, present - tasks), missing where either is [h].

    Notes
    -----
    Trade, labour: paid at the mean loaded wage of the hands of the pour.
    """
    return larger(0.0, present_h - task_hours_h)


def idle_h(paid_hours_h: float, task_hours_h: float, waiting_h: float) -> float:
    """Compute the hours that are paid without a task or a pour that waits.

    Parameters
    ----------
    paid_hours_h : float
        Paid hours of all visits [h].
    task_hours_h : float
        Hours of all tasks [h].
    waiting_h : float
        Hours that hands of a pour wait [h].

    Returns
    -------
    float
        max(0, paid - tasks - waiting), missing where one is [h].

    Notes
    -----
    Trade, labour: paid at the mean loaded wage of the job's task hours.
    """
    return larger(0.0, paid_hours_h - task_hours_h - waiting_h)
