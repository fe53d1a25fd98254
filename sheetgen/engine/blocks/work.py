"""Labour: hours and cost of each task."""

from __future__ import annotations

from typing import ClassVar

import attrs

from sheetgen.engine.blocks.laid import Basis
from sheetgen.engine.blocks.needs import basis_in_scope, in_scope, once
from sheetgen.engine.blocks.rates import Roles, Tasks
from sheetgen.engine.blocks.zones import ZoneNames
from sheetgen.engine.inputs import Job
from sheetgen.engine.labour import task_cost, task_hours
from sheetgen.engine.missing import MISSING, given, known, value
from sheetgen.engine.records import Task
from sheetgen.engine.tables import blank_row, from_rows
from sheetgen.engine.totals import Column, at, per_record, total
from sheetgen.engine.values import figure


@attrs.frozen(kw_only=True)
class Labour:
    """The work of each task."""

    block: ClassVar = "labour"
    over: ClassVar = "tasks"
    scenario: ClassVar = True

    quantity: Column = figure("basis")
    weighted: Column = figure("basis")
    set_ups: Column = figure("count")
    hours: Column = figure("hour")
    cost: Column = figure("money")


@attrs.frozen(kw_only=True)
class Work:
    """The work of all tasks."""

    block: ClassVar = "work"
    over: ClassVar = None
    scenario: ClassVar = True

    hours: float = figure("hour")
    cost: float = figure("money")


def make_labour(job: Job, tasks: Tasks, roles: Roles, names: ZoneNames, basis: Basis) -> Labour:
    """Compute the hours of each task; one that is switched off takes none, whatever it lacks."""
    difficulty = value(job.effort.difficulty)
    loaded = per_record(roles.loaded, tasks.role_no)
    rows = []
    for row, task in enumerate(job.tasks):
        if not known(tasks.started[row]):
            rows.append(blank_row(Labour))
            continue
        quantity = weighted = set_ups = MISSING
        amounts = basis_in_scope(basis, names, tasks, row)
        if amounts is not None:
            extra = once(tasks, row)
            inside = in_scope(names, tasks, row)
            multipliers = per_record(_multipliers(task), names.surface_no)
            times = zip(amounts, multipliers, inside, strict=True)
            weighed = tuple(a * m if here else a for a, m, here in times)
            quantity = total(amounts, names.started) + extra
            weighted = total(weighed, names.started) + extra
            set_ups = _set_ups(task, quantity, amounts, inside, everywhere=extra > 0)
        hours = cost = 0.0
        if tasks.on[row] == 1:
            hours = cost = MISSING
            if tasks.fault[row] == 0:
                rate = value(task.rate)
                hours = task_hours(given(task.set_up, 0), set_ups, weighted, rate, difficulty)
                cost = task_cost(hours, loaded[row])
        rows.append((quantity, weighted, set_ups, hours, cost))
    return from_rows(Labour, rows)


def _multipliers(task: Task) -> tuple[float, float, float]:
    return given(task.floor, 1), given(task.wall, 1), given(task.step, 1)


def _set_ups(
    task: Task,
    quantity: float,
    amounts: tuple[float, ...],
    inside: tuple[bool, ...],
    *,
    everywhere: bool,
) -> float:
    """Return how often a task is set up: never, once for the job, or once for each zone with work."""
    if not known(quantity):
        return MISSING
    match task.set_up_per or "job":
        case "job":
            return 1.0 if quantity > 0 else 0.0
        case "zone":
            pairs = zip(amounts, inside, strict=True)
            return float(sum(here and (everywhere or amount > 0) for amount, here in pairs))
        case "none":
            return 0.0
        case _:
            return MISSING


def make_work(tasks: Tasks, labour: Labour) -> Work:
    """Add the work of all tasks up."""
    return Work(hours=total(labour.hours, tasks.started), cost=total(labour.cost, tasks.started))


def loaded_wage_of(roles: Roles, tasks: Tasks, row: int) -> float:
    """Return the loaded wage of a task's role [money/h]."""
    return at(roles.loaded, tasks.role_no[row])
