"""Visits: how much work of each kind there is, and how many visits it takes."""


from __future__ import annotations

from typing import TYPE_CHECKING, ClassVar, Final

import attrs

from sheetgen.engine.lists import SET_UP_PER, VISIT_KINDS
from sheetgen.engine.missing import MISSING, above_zero, given, known, larger, value
from sheetgen.engine.totals import sum_known, total
from sheetgen.engine.values import figure
from sheetgen.engine.visits import days_until_sealing, hours_of_visit_h, visits_needed

if TYPE_CHECKING:
    from sheetgen.engine.blocks.task_work import TaskWork
    from sheetgen.engine.blocks.tasks import Tasks
    from sheetgen.engine.inputs import Job
    from sheetgen.engine.totals import Column

PER_VISIT: Final = SET_UP_PER.index("visit") + 1.0


@attrs.frozen(kw_only=True)
class PlanWork:
    """The work of each kind, the visits for it, and on which days."""

    block: ClassVar[str] = "plan_work"
    over: ClassVar[str | None] = None
    scenario: ClassVar[bool] = False

    typed: float = figure("count")
    set_up_each: float = figure("hour")
    room: float = figure("hour")
    prepare_hours: float = figure("hour")
    prepare_people: float = figure("count")
    prepare_count: float = figure("count")
    prepare_each: float = figure("hour")
    crew_chosen: float = figure("count")
    crew_first: float = figure("count")
    days_poured: float = figure("count")
    pour_hours: float = figure("hour")
    pour_people: float = figure("count")
    pour_by_hours: float = figure("count")
    pour_count: float = figure("count")
    pour_each: float = figure("hour")
    seal_hours: float = figure("hour")
    seal_people: float = figure("count")
    seal_count: float = figure("count")
    seal_each: float = figure("hour")
    pour_until: float = figure("count")
    visits: float = figure("count")
    left_out: float = figure("count")
    poured: float = figure("count")
    seal_day: float = figure("count")


@attrs.frozen(kw_only=True)
class KindOfVisit:
    """The work of one kind, and the visits for it.

    Parameters
    ----------
    hours : float
        Person-hours without what every visit takes [h].
    people : float
        On each visit [count].
    count : float
        Visits [count].
    each : float
        Hours of each person on each [h].
    """

    hours: float
    people: float
    count: float
    each: float

    def named(self, kind: str) -> dict[str, float]:
        """Return the figures under the names of the sheet."""
        return {f"{kind}_{part}": figure for part, figure in attrs.asdict(self).items()}


@attrs.frozen(kw_only=True)
class WorkOfTasks:
    """The tasks, how they are reckoned, and their hours but for what visits take."""

    tasks: Tasks
    reckoned: TaskWork
    own_hours: Column


def set_up_each_h(reckoned: TaskWork) -> float:
    """Add up what every visit takes each person, by the tasks without a fault [h]."""
    return sum_known(reckoned.visit_set_up)


def hours_of_kind_h(kind: str, work: WorkOfTasks) -> float:
    """Add up the hours of the tasks of one kind, missing where any task has none that are known [h]."""
    kind_no = VISIT_KINDS.index(kind) + 1.0
    pairs = zip(work.own_hours, work.reckoned.visit_no, strict=True)
    return total(tuple(one if of == kind_no or not known(one) else 0.0 for one, of in pairs), work.tasks.started)


def visits_for(job: Job, hours_h: float, people: float, set_up_h: float) -> float:
    """Count the visits that work of one kind takes.

    Parameters
    ----------
    job : Job
        Whose day has so many hours.
    hours_h : float
        Person-hours of the kind, perhaps missing [h].
    people : float
        On each visit, perhaps missing [count].
    set_up_h : float
        What every visit takes each person [h].

    Returns
    -------
    float
        Visits, missing where something is that they need [count].
    """
    if not hours_h >= 0:
        return MISSING
    return visits_needed(hours_h, above_zero(people), value(job.crew.day_hours), set_up_h)


def plan_kind(hours_h: float, people: float, count: float, set_up_h: float) -> KindOfVisit:
    """Plan the visits of one kind.

    Parameters
    ----------
    hours_h : float
        Person-hours of the kind, perhaps missing [h].
    people, count : float
        On each visit, and visits, perhaps missing [count].
    set_up_h : float
        What every visit takes each person [h].

    Returns
    -------
    KindOfVisit
        With the hours of each person on each visit.
    """
    each = hours_of_visit_h(hours_h, above_zero(people), count, set_up_h)
    return KindOfVisit(hours=hours_h, people=people, count=count, each=each)


@attrs.frozen(kw_only=True)
class PourWork:
    """What the visits that pour are planned by.

    Parameters
    ----------
    hours : float
        Person-hours of their tasks, and waiting [h].
    days : float
        On how many days there are pours [count].
    latest_day : float
        The last of them, missing where a pour has none [count].
    crew_chosen, crew_first : float
        People on the chosen pour, and on pour 1 [count].
    """

    hours: float
    days: float
    latest_day: float
    crew_chosen: float
    crew_first: float


@attrs.frozen(kw_only=True)
class Preparing:
    """The visits that prepare, which pours wait for."""

    set_up_each: float
    kind: KindOfVisit


def make_preparing(job: Job, work: WorkOfTasks) -> Preparing:
    """Plan the visits that prepare."""
    set_up_h, hours_h = set_up_each_h(work.reckoned), hours_of_kind_h("prepare", work)
    people = value(job.crew.people_prepare)
    kind = plan_kind(hours_h, people, visits_for(job, hours_h, people, set_up_h), set_up_h)
    return Preparing(set_up_each=set_up_h, kind=kind)


def make_plan_work(job: Job, preparing: Preparing, pouring: PourWork, seal_h: float, typed: float, rest_h: float) -> PlanWork:
    """Plan the other visits, and lay all out by day."""
    set_up_h, crew = preparing.set_up_each, job.crew
    people = pouring.crew_chosen if known(pouring.crew_chosen) else pouring.crew_first
    people = given(crew.people_pour, people)
    by_hours = visits_for(job, pouring.hours, people, set_up_h)
    pour = plan_kind(pouring.hours, people, larger(by_hours, pouring.days), set_up_h)
    seal_people = value(crew.people_seal)
    seal = plan_kind(seal_h, seal_people, visits_for(job, seal_h, seal_people, set_up_h), set_up_h)
    until = preparing.kind.count + pour.count
    visits = until + seal.count
    last = larger(preparing.kind.count + pour.count, pouring.latest_day)
    return PlanWork(
        typed=typed,
        set_up_each=set_up_h,
        room=value(crew.day_hours) - set_up_h,
        crew_chosen=pouring.crew_chosen,
        crew_first=pouring.crew_first,
        days_poured=pouring.days,
        pour_by_hours=by_hours,
        pour_until=until,
        visits=visits,
        left_out=0.0 if typed > 0 else larger(0.0, visits - len(job.visits)),
        poured=last,
        seal_day=last + days_until_sealing([rest_h]),
        **preparing.kind.named("prepare"),
        **pour.named("pour"),
        **seal.named("seal"),
    )
