"""Labour: tasks, checked and matched."""
# ruff: noqa: RUF009 - figure() returns an attrs field, which is no default that records would share

from __future__ import annotations

from typing import TYPE_CHECKING, ClassVar

import attrs

from sheetgen.engine.blocks.scope import Scope, scope_of
from sheetgen.engine.blocks.table import Row, flag, table
from sheetgen.engine.lists import CAUTIONS, SET_UP_PER, SURFACES, number_of
from sheetgen.engine.missing import MISSING, given, known, value
from sheetgen.engine.names import Register, keys, twins
from sheetgen.engine.records import any_filled, filled
from sheetgen.engine.totals import Column, Texts, at
from sheetgen.engine.values import figure

if TYPE_CHECKING:
    from sheetgen.engine.blocks.rates import Roles
    from sheetgen.engine.inputs import Job
    from sheetgen.engine.records import Task

# What is typed of a task on Rates, in two parts.
_TYPED_FIRST = ("name", "role", "basis", "set_up", "set_up_per", "rate")
_TYPED_LAST = ("floor", "wall", "step", "system", "surface", "repair", "covers_area", "caution", "account", "stage", "visit")


@attrs.frozen(kw_only=True)
class Tasks:
    """The tasks, with their names matched."""

    block: ClassVar[str] = "tasks"
    over: ClassVar[str | None] = "tasks"
    scenario: ClassVar[bool] = False

    typed_first: Column = figure("count")
    typed_last: Column = figure("count")
    started: Column = figure("count")
    key: Texts = figure("text")
    twin: Column = figure("count")
    role_no: Column = figure("no")
    loaded: Column = figure("money/hour")
    role_wage: Column = figure("money/hour")
    basis_no: Column = figure("no")
    system_no: Column = figure("no")
    surface_no: Column = figure("no")
    zone_no: Column = figure("no")
    repair_no: Column = figure("no")
    caution_no: Column = figure("no")
    in_floor: Column = figure("number")
    in_wall: Column = figure("number")
    in_step: Column = figure("number")
    by_floor: Column = figure("number")
    by_wall: Column = figure("number")
    by_step: Column = figure("number")
    set_up_no: Column = figure("no")
    bare: Column = figure("count")
    on: Column = figure("count")
    covers: Column = figure("count")
    repair_fault: Column = figure("no")
    scope_fault: Column = figure("no")
    system_fault: Column = figure("no")
    rate_fault: Column = figure("no")
    role_fault: Column = figure("no")
    twin_fault: Column = figure("no")
    fault: Column = figure("no")
    faulty: Column = figure("count")


def is_begun(task: Task) -> bool:
    """Tell whether a row of tasks holds a task: what is typed beside it does not begin one."""
    return filled(task, "zone", "used", "source", "spread", "spread_jobs")


def make_tasks(job: Job, roles: Roles, systems: Register, zones: Register) -> Tasks:
    """Match the names of each task and find its first fault."""
    names = keys([task.name for task in job.tasks])
    role_register = Register(roles.key)
    wages = [value(role.wage) for role in job.roles]
    rows: list[Row] = []
    for task, name, twin in zip(job.tasks, names, twins(names), strict=True):
        role_no = role_register.number(task.role)
        row: Row = {"key": name, "twin": twin, "role_no": role_no}
        row |= {"typed_first": any_filled(task, _TYPED_FIRST), "typed_last": any_filled(task, _TYPED_LAST)}
        row |= {"loaded": at(roles.loaded, role_no), "role_wage": at(wages, role_no)}
        if is_begun(task):
            scope = scope_of(task, systems, zones)
            row |= scope.figures() | _faults(task, scope, role_no, twin)
            row |= {f"by_{code}": row[f"in_{code}"] * given(getattr(task, code), 1) for code in SURFACES}
            fault = 1.0 if name is None else row["twin_fault"]
            row |= {
                "started": 1.0,
                "caution_no": number_of(CAUTIONS, task.caution),
                "set_up_no": number_of(SET_UP_PER, task.set_up_per, blank=1),
                "bare": flag(holds=_is_bare(task)),
                "on": flag(holds=task.used != "no"),
                "covers": flag(holds=task.covers_area == "yes"),
                "fault": fault,
                "faulty": flag(holds=fault > 0),
            }
        rows.append(row)
    return table(Tasks, rows)


def _is_bare(task: Task) -> bool:
    """Tell whether a task is nothing but its set-up."""
    return task.basis is None and task.rate is None and given(task.set_up, 0) > 0


def _faults(task: Task, scope: Scope, role_no: float, twin: float) -> Row:
    repair_fault = 0.0 if known(scope.repair_no) else 9.0
    scope_fault = 7.0 if not known(scope.surface_no) else 8.0 if not known(scope.zone_no) else repair_fault
    system_fault = scope_fault if known(scope.system_no) else 6.0
    only = _is_bare(task)
    rate_fault = system_fault if only or value(task.rate) > 0 else 5.0
    role_fault = 3.0 if not known(role_no) else rate_fault if only or known(scope.basis_no) else 4.0
    twin_fault = MISSING if not known(twin) else 2.0 if twin > 1 else role_fault
    return {
        "repair_fault": repair_fault,
        "scope_fault": scope_fault,
        "system_fault": system_fault,
        "rate_fault": rate_fault,
        "role_fault": role_fault,
        "twin_fault": twin_fault,
    }
