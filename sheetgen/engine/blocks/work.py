"""Labour: hours and cost of every task."""
# ruff: noqa: RUF009 - figure() returns an attrs field, which is no default that records would share

from __future__ import annotations

from typing import TYPE_CHECKING, ClassVar

import attrs

from sheetgen.engine.blocks.scope import Ground, by_surface, counted_once, scope_at
from sheetgen.engine.blocks.table import Row, flag, table
from sheetgen.engine.labour import task_cost
from sheetgen.engine.lists import SET_UP_PER, SURFACES
from sheetgen.engine.missing import MISSING, given, known, ratio, value
from sheetgen.engine.totals import Column, total
from sheetgen.engine.values import figure

if TYPE_CHECKING:
    from sheetgen.engine.blocks.laid import Basis, Has
    from sheetgen.engine.blocks.tasks import Tasks
    from sheetgen.engine.inputs import Job

_PER_JOB = SET_UP_PER.index("job") + 1.0
_PER_ZONE = SET_UP_PER.index("zone") + 1.0


@attrs.frozen(kw_only=True)
class Labour:
    """The hours of each task, and what they cost."""

    block: ClassVar[str] = "labour"
    over: ClassVar[str | None] = "tasks"
    scenario: ClassVar[bool] = True

    base: Column = figure("no")
    system: Column = figure("no")
    zone: Column = figure("no")
    mask: Column = figure("no")
    basis_floor: Column = figure("basis")
    basis_wall: Column = figure("basis")
    basis_step: Column = figure("basis")
    once: Column = figure("basis")
    quantity: Column = figure("basis")
    weighted: Column = figure("basis")
    zones_floor: Column = figure("count")
    zones_wall: Column = figure("count")
    zones_step: Column = figure("count")
    places: Column = figure("count")
    set_ups: Column = figure("count")
    task_hours: Column = figure("hour")
    hours: Column = figure("hour")
    cost: Column = figure("money")


@attrs.frozen(kw_only=True)
class Work:
    """All tasks together."""

    block: ClassVar[str] = "work"
    over: ClassVar[str | None] = None
    scenario: ClassVar[bool] = True

    hours: float = figure("hour")
    cost: float = figure("money")


def make_labour(job: Job, tasks: Tasks, ground: Ground, basis: Basis, has: Has) -> Labour:
    """Compute the hours of each task; one with a fault has none, one that is not used has 0."""
    rows: list[Row] = []
    for row, task in enumerate(job.tasks):
        if not known(tasks.started[row]):
            rows.append({})
            continue
        scope = scope_at(tasks, row)
        on, zones_on = by_surface(basis, ground, scope), by_surface(has, ground, scope)
        inside = (tasks.in_floor[row], tasks.in_wall[row], tasks.in_step[row])
        times = (tasks.by_floor[row], tasks.by_wall[row], tasks.by_step[row])
        places = _sum_of_products(zones_on, inside)
        once = counted_once(scope, places)
        quantity = _sum_of_products(on, inside) + once
        weighted = _sum_of_products(on, times) + once
        set_ups = _set_ups(tasks.set_up_no[row], quantity, places)
        # Before any fault: what task_hours() of engine.labour gives wherever its rate is in range.
        per_job = given(task.set_up, 0) * set_ups + ratio(weighted, value(task.rate))
        task_hours = value(job.effort.difficulty) * per_job
        hours = MISSING if tasks.fault[row] != 0 else 0.0 if tasks.on[row] == 0 else task_hours
        rows.append(
            dict(zip((f"basis_{code}" for code in SURFACES), on, strict=True))
            | dict(zip((f"zones_{code}" for code in SURFACES), zones_on, strict=True))
            | {
                "base": scope.basis_no,
                "system": scope.system_no,
                "zone": scope.zone_no,
                "mask": scope.mask,
                "once": once,
                "quantity": quantity,
                "weighted": weighted,
                "places": places,
                "set_ups": set_ups,
                "task_hours": task_hours,
                "hours": hours,
                "cost": task_cost(hours, tasks.loaded[row]),
            }
        )
    return table(Labour, rows)


def _sum_of_products(first: tuple[float, ...], second: tuple[float, ...]) -> float:
    return sum(one * other for one, other in zip(first, second, strict=True))


def _set_ups(set_up_no: float, quantity: float, places: float) -> float:
    if not known(set_up_no):
        return MISSING
    if set_up_no == _PER_JOB:
        return flag(holds=quantity > 0) if known(quantity) else MISSING
    return places if set_up_no == _PER_ZONE else 0.0


def make_work(tasks: Tasks, labour: Labour) -> Work:
    """Add all tasks up."""
    return Work(hours=total(labour.hours, tasks.started), cost=total(labour.cost, tasks.started))
