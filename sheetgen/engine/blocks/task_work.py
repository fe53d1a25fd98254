"""Labour: what each task is counted by, at which stage of a pour it stands, and on which visits it is done."""
# ruff: noqa: RUF009 - figure() returns an attrs field, which is no default that records would share

from __future__ import annotations

from typing import TYPE_CHECKING, ClassVar, Final

import attrs

from sheetgen.engine.blocks.plan_work import PER_VISIT
from sheetgen.engine.blocks.scope import VISITS
from sheetgen.engine.blocks.table import Row, flag, table
from sheetgen.engine.lists import BASES, STAGES, VISIT_KINDS, number_of
from sheetgen.engine.missing import MISSING, above_zero, given, known, value
from sheetgen.engine.totals import Column
from sheetgen.engine.values import figure

if TYPE_CHECKING:
    from sheetgen.engine.blocks.pour_zones import PourZones
    from sheetgen.engine.blocks.tasks import Tasks
    from sheetgen.engine.inputs import Job
    from sheetgen.engine.records import Task

NO_STAGE: Final = 0.0
_ANY: Final = 0.0
_PREPARING, _POURING, _ = map(float, range(1, len(VISIT_KINDS) + 1))
# What a pour is counted by, in the order of its columns; every other basis it has none of.
_POUR_WAYS: Final = {"area": 2.0, "coat_area": 2.0, "batches": 3.0, "bags": 4.0, "volume": 5.0, "pours": 6.0}
_NO_WAY: Final = 1.0


@attrs.frozen(kw_only=True)
class TaskWork:
    """How each task is reckoned."""

    block: ClassVar[str] = "tasks"
    over: ClassVar[str | None] = "tasks"
    scenario: ClassVar[bool] = False

    order: Column = figure("no")
    stage_no: Column = figure("no")
    visit_no: Column = figure("no")
    base_no: Column = figure("no")
    unit_time: Column = figure("hour/basis")
    good: Column = figure("count")
    stage_first: Column = figure("no")
    staged: Column = figure("count")
    pour_way: Column = figure("no")
    visit_set_up: Column = figure("hour")
    visit_time: Column = figure("hour")
    pours_there: Column = figure("count")


def make_task_work(job: Job, tasks: Tasks, pours: PourZones) -> TaskWork:
    """Tell what each task is counted by; one that is nothing but its set-up counts by the visit, of which it has none."""
    first_of: set[float] = set()
    rows: list[Row] = []
    for row, task in enumerate(job.tasks):
        if not known(tasks.started[row]):
            rows.append({})
            continue
        found = _reckoned(task, tasks, row)
        stage_no, good = found["stage_no"], found["good"]
        if good == 1 and stage_no > NO_STAGE and stage_no not in first_of:
            found["stage_first"] = stage_no
            first_of.add(stage_no)
        rows.append(found | {"order": row + 1.0, "pours_there": _pours_there(tasks, row, pours)})
    return table(TaskWork, rows)


def _reckoned(task: Task, tasks: Tasks, row: int) -> Row:
    stage_no = number_of(STAGES, task.stage, blank=NO_STAGE)
    blank = (_POURING if stage_no > NO_STAGE else _PREPARING) if known(stage_no) else MISSING
    base_no = VISITS if tasks.bare[row] == 1 else tasks.basis_no[row]
    unit_time = 0.0 if tasks.bare[row] == 1 else 1 / above_zero(value(task.rate))
    good = flag(holds=tasks.fault[row] == 0 and tasks.on[row] == 1)
    set_up = given(task.set_up, 0) if tasks.set_up_no[row] == PER_VISIT else 0.0
    time = unit_time if base_no == VISITS else 0.0
    basis = BASES[int(base_no) - 1] if known(base_no) else None
    return {
        "stage_no": stage_no,
        "visit_no": number_of(VISIT_KINDS, task.visit, blank=blank),
        "base_no": base_no,
        "unit_time": unit_time,
        "good": good,
        "staged": flag(holds=good == 1 and stage_no > NO_STAGE and tasks.repair_no[row] == _ANY),
        "pour_way": _POUR_WAYS.get(basis, _NO_WAY) if basis else MISSING,
        "visit_set_up": if_used(set_up, tasks, row),
        "visit_time": if_used(time, tasks, row),
    }


def if_used(hours: float, tasks: Tasks, row: int) -> float:
    """Return the hours of a task: none that are known with a fault, 0 where it is not used [h]."""
    return MISSING if tasks.fault[row] != 0 else 0.0 if tasks.on[row] == 0 else hours


def _pours_there(tasks: Tasks, row: int, pours: PourZones) -> float:
    """Count the pours whose first zone a task is for, missing where a name of it is not matched [count]."""
    wanted = (tasks.system_no[row], tasks.surface_no[row], tasks.zone_no[row])
    if not known(sum(wanted)):
        return MISSING
    places = zip(pours.system_no, pours.surface_no, pours.zone_no, strict=True)
    there = (all(one in {_ANY, of} for one, of in zip(wanted, place, strict=True)) for place in places)
    return float(sum(fits for fits, begun in zip(there, pours.started, strict=True) if known(begun)))
