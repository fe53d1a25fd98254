"""Labour: hours and cost of every task."""
# ruff: noqa: RUF009 - figure() returns an attrs field, which is no default that records would share

from __future__ import annotations

from typing import TYPE_CHECKING, ClassVar

import attrs

from sheetgen.engine.blocks.laid import column_of
from sheetgen.engine.blocks.scope import VISITS, Ground, by_surface, counted_once, of_whole_job, scope_at
from sheetgen.engine.blocks.table import Row, flag, table
from sheetgen.engine.blocks.task_work import TaskWork, if_used
from sheetgen.engine.labour import task_cost
from sheetgen.engine.lists import SET_UP_PER, SURFACES
from sheetgen.engine.missing import MISSING, cents, given, known, ratio
from sheetgen.engine.totals import Column, total
from sheetgen.engine.values import figure
from sheetgen.engine.visits import idle_h

if TYPE_CHECKING:
    from sheetgen.engine.blocks.laid import Basis, Has
    from sheetgen.engine.blocks.plan_work import WorkOfTasks
    from sheetgen.engine.blocks.pour_zones import PourZones
    from sheetgen.engine.blocks.tasks import Tasks
    from sheetgen.engine.blocks.visits import VisitCounts
    from sheetgen.engine.blocks.waiting import PourWaiting, WaitingCosts
    from sheetgen.engine.inputs import Job

_PER_JOB = SET_UP_PER.index("job") + 1.0
_PER_ZONE = SET_UP_PER.index("zone") + 1.0
_PER_POUR = SET_UP_PER.index("pour") + 1.0


@attrs.frozen(kw_only=True)
class TaskScope:
    """What each task counts, surface by surface."""

    block: ClassVar[str] = "task_scope"
    over: ClassVar[str | None] = "tasks"
    scenario: ClassVar[bool] = True

    base: Column = figure("no")
    system: Column = figure("no")
    zone: Column = figure("no")
    mask: Column = figure("no")
    basis_floor: Column = figure("basis")
    basis_wall: Column = figure("basis")
    basis_step: Column = figure("basis")
    zones_floor: Column = figure("count")
    zones_wall: Column = figure("count")
    zones_step: Column = figure("count")


@attrs.frozen(kw_only=True)
class OwnLabour:
    """The hours of each task but for what every visit takes."""

    block: ClassVar[str] = "labour"
    over: ClassVar[str | None] = "tasks"
    scenario: ClassVar[bool] = True

    whole: Column = figure("basis")
    once: Column = figure("basis")
    quantity: Column = figure("basis")
    weighted: Column = figure("basis")
    places: Column = figure("count")
    set_ups: Column = figure("count")
    task_hours: Column = figure("hour")
    own_hours: Column = figure("hour")


@attrs.frozen(kw_only=True)
class Labour:
    """The hours of each task, and what they cost."""

    block: ClassVar[str] = "labour"
    over: ClassVar[str | None] = "tasks"
    scenario: ClassVar[bool] = True

    visit_work: Column = figure("hour")
    visit_hours: Column = figure("hour")
    hours: Column = figure("hour")
    cost: Column = figure("money")


@attrs.frozen(kw_only=True)
class Work:
    """All tasks together, and the hours that are paid without a task."""

    block: ClassVar[str] = "work"
    over: ClassVar[str | None] = None
    scenario: ClassVar[bool] = True

    hours: float = figure("hour")
    task_cost: float = figure("money")
    mean_wage: float = figure("money/hour")
    batches: float = figure("basis", "batch")
    batch_share: float = figure("number")
    waiting_hours: float = figure("hour")
    waiting_cost: float = figure("money")
    busy: float = figure("hour")
    idle_scaled: float = figure("hour")
    idle_hours: float = figure("hour")
    idle_cost: float = figure("money")
    cost: float = figure("money")
    paid_hours: float = figure("hour")


def make_task_scope(job: Job, tasks: Tasks, reckoned: TaskWork, ground: Ground, basis: Basis, has: Has) -> TaskScope:
    """Add up what each task counts on each surface, and in how many zones."""
    rows: list[Row] = []
    for row in range(len(job.tasks)):
        if not known(tasks.started[row]):
            rows.append({})
            continue
        scope = attrs.evolve(scope_at(tasks, row), basis_no=reckoned.base_no[row])
        on, zones_on = by_surface(basis, ground, scope), by_surface(has, ground, scope)
        rows.append(
            dict(zip((f"basis_{code}" for code in SURFACES), on, strict=True))
            | dict(zip((f"zones_{code}" for code in SURFACES), zones_on, strict=True))
            | {"base": column_of(scope.basis_no), "system": scope.system_no, "zone": scope.zone_no, "mask": scope.mask}
        )
    return table(TaskScope, rows)


def make_own_labour(job: Job, tasks: Tasks, reckoned: TaskWork, counted: TaskScope, difficulty: float) -> OwnLabour:
    """Compute the hours of each task; one with a fault has none, one that is not used has 0."""
    rows: list[Row] = []
    for row, task in enumerate(job.tasks):
        if not known(tasks.started[row]):
            rows.append({})
            continue
        scope = attrs.evolve(scope_at(tasks, row), basis_no=reckoned.base_no[row])
        on, zones_on = (tuple(getattr(counted, f"{what}_{code}")[row] for code in SURFACES) for what in ("basis", "zones"))
        inside = (tasks.in_floor[row], tasks.in_wall[row], tasks.in_step[row])
        times = (tasks.by_floor[row], tasks.by_wall[row], tasks.by_step[row])
        places = _sum_of_products(zones_on, inside)
        whole = of_whole_job(scope)
        once = counted_once(scope, places, whole)
        quantity = _sum_of_products(on, inside) + once
        weighted = _sum_of_products(on, times) + once
        set_ups = _set_ups(tasks.set_up_no[row], scope.basis_no, quantity, places, reckoned.pours_there[row])
        # Before any fault: what task_hours() of engine.labour gives wherever its rate is in range.
        per_job = given(task.set_up, 0) * set_ups + weighted * reckoned.unit_time[row]
        task_hours = difficulty * per_job
        rows.append(
            {
                "whole": whole,
                "once": once,
                "quantity": quantity,
                "weighted": weighted,
                "places": places,
                "set_ups": set_ups,
                "task_hours": task_hours,
                "own_hours": if_used(task_hours, tasks, row),
            }
        )
    return table(OwnLabour, rows)


def make_labour(of: WorkOfTasks, visits: VisitCounts, difficulty: float) -> Labour:
    """Add what every visit takes, and cost the hours."""
    rows: list[Row] = []
    for row, begun in enumerate(of.tasks.started):
        if not known(begun):
            rows.append({})
            continue
        set_up, time = of.reckoned.visit_set_up[row], of.reckoned.visit_time[row]
        by_rate = difficulty * time * visits.visits
        # What no visit takes is none of it, however many visits there are.
        by_visit = 0.0 if set_up == time == 0 else set_up * visits.people + by_rate
        hours = of.own_hours[row] + by_visit
        rows.append({"visit_work": by_rate, "visit_hours": by_visit, "hours": hours, "cost": task_cost(hours, of.tasks.loaded[row])})
    return table(Labour, rows)


def _sum_of_products(first: tuple[float, ...], second: tuple[float, ...]) -> float:
    return sum(one * other for one, other in zip(first, second, strict=True))


def _set_ups(set_up_no: float, basis_no: float, quantity: float, places: float, pours: float) -> float:
    """Count how often a task is set up; what visits take is not counted here, but it is set up for the job [count]."""
    if not known(set_up_no):
        return MISSING
    if set_up_no == _PER_JOB:
        if basis_no == VISITS:
            return 1.0
        return flag(holds=quantity > 0) if known(quantity) else MISSING
    return {_PER_ZONE: places, _PER_POUR: pours}.get(set_up_no, 0.0)


@attrs.frozen(kw_only=True)
class PlannedIdle:
    """What visits pay beyond tasks and waiting, as they are planned."""

    block: ClassVar[str] = "plan_work"
    over: ClassVar[str | None] = None
    scenario: ClassVar[bool] = False

    idle: float = figure("hour")


@attrs.frozen(kw_only=True)
class PlannedHours:
    """What the pours and visits that are planned pay beside the tasks.

    Parameters
    ----------
    waiting, waiting_cost : float
        Waiting of all pours [h, money].
    idle : float
        Hours that no task and no pour has any use for [h].
    busy : float
        Hours of the tasks and of waiting [h].
    batches : float
        Batches of all zones [batch].
    """

    waiting: float
    waiting_cost: float
    idle: float
    busy: float
    batches: float


def make_planned_hours(
    tasks: Tasks, labour: Labour, waiting: PourWaiting, costs: WaitingCosts, pours: PourZones, *, paid_h: float, batches: float
) -> PlannedHours:
    """Add up what is paid without a task, where everything goes as planned."""
    hours, waited = total(labour.hours, tasks.started), total(waiting.waiting, pours.started)
    return PlannedHours(
        waiting=waited,
        waiting_cost=total(costs.waiting_cost, pours.started),
        idle=idle_h(paid_h, hours, waited),
        busy=hours + waited,
        batches=batches,
    )


def make_work(tasks: Tasks, labour: Labour, planned: PlannedHours, batches: float | None = None) -> Work:
    """Add all tasks of a scenario up; waiting follows the batches, and idle hours the rest, from those that are planned.

    Parameters
    ----------
    tasks, labour
        The tasks, and their hours in the scenario.
    planned : PlannedHours
        What pours and visits pay as they are planned.
    batches : float or None
        Batches of all zones in the scenario, None for the one that is planned for [batch].
    """
    hours, task_cost = total(labour.hours, tasks.started), total(labour.cost, tasks.started)
    mean_wage = mean_wage_of(tasks, labour)
    share = 1.0
    if batches is not None:
        share = ratio(batches, planned.batches) if planned.batches != 0 else 0.0
    waiting_hours, waiting_cost = planned.waiting * share, cents(planned.waiting_cost * share)
    busy = hours + waiting_hours
    idle_scaled = planned.idle * ratio(busy, planned.busy) if planned.idle != 0 else 0.0
    idle_hours = planned.idle if batches is None else idle_scaled
    idle_cost = cents(idle_hours * mean_wage) if idle_hours != 0 else 0.0
    return Work(
        hours=hours,
        task_cost=task_cost,
        mean_wage=mean_wage,
        batches=planned.batches if batches is None else batches,
        batch_share=share,
        waiting_hours=waiting_hours,
        waiting_cost=waiting_cost,
        busy=busy,
        idle_scaled=idle_scaled,
        idle_hours=idle_hours,
        idle_cost=idle_cost,
        cost=task_cost + waiting_cost + idle_cost,
        paid_hours=busy + idle_hours,
    )


def mean_wage_of(tasks: Tasks, labour: Labour) -> float:
    """Return the mean loaded wage of the task hours, missing without any [money/h]."""
    return ratio(total(labour.cost, tasks.started), total(labour.hours, tasks.started))
