"""Waiting: the hours that the hands of a pour are there without a task of it, and what an hour of them costs."""
# ruff: noqa: RUF009 - figure() returns an attrs field, which is no default that records would share

from __future__ import annotations

from typing import TYPE_CHECKING, ClassVar

import attrs

from sheetgen.engine.blocks.table import Row, table
from sheetgen.engine.lists import STAGES
from sheetgen.engine.missing import MISSING, cents, known, ratio
from sheetgen.engine.totals import Column, at
from sheetgen.engine.trowel_hands import presence_h
from sheetgen.engine.values import figure
from sheetgen.engine.visits import waiting_h

if TYPE_CHECKING:
    from sheetgen.engine.blocks.pour_hands import PourHands
    from sheetgen.engine.blocks.pour_tasks import PourTasks
    from sheetgen.engine.blocks.pour_times import PouredBatches
    from sheetgen.engine.blocks.task_work import TaskWork
    from sheetgen.engine.blocks.tasks import Tasks


@attrs.frozen(kw_only=True)
class StageTasks:
    """The task that does each stage of a pour, for its wage."""

    block: ClassVar[str] = "stage_tasks"
    over: ClassVar[str | None] = "stages"
    scenario: ClassVar[bool] = False

    task_no: Column = figure("no")
    wage: Column = figure("money/hour")


@attrs.frozen(kw_only=True)
class StageWages:
    """What an hour at each stage costs: the mean of the job where nobody is named for it."""

    block: ClassVar[str] = "stage_tasks"
    over: ClassVar[str | None] = "stages"
    scenario: ClassVar[bool] = False

    wage_used: Column = figure("money/hour")


@attrs.frozen(kw_only=True)
class PlannedWages:
    """The wages of the stages that a crew is paid by."""

    block: ClassVar[str] = "planned"
    over: ClassVar[str | None] = None
    scenario: ClassVar[bool] = False

    mix_wage: float = figure("money/hour")
    place_wage: float = figure("money/hour")
    trowel_wage: float = figure("money/hour")


@attrs.frozen(kw_only=True)
class PourWaiting:
    """How long the hands of each pour are there, and how much of that is waiting."""

    block: ClassVar[str] = "pours"
    over: ClassVar[str | None] = "pours"
    scenario: ClassVar[bool] = False

    presence: Column = figure("hour")
    task_hours: Column = figure("hour")
    waiting: Column = figure("hour")


@attrs.frozen(kw_only=True)
class WaitingCosts:
    """What the waiting of each pour costs."""

    block: ClassVar[str] = "pours"
    over: ClassVar[str | None] = "pours"
    scenario: ClassVar[bool] = False

    wages: Column = figure("money/hour")
    wage: Column = figure("money/hour")
    waiting_cost: Column = figure("money")


def make_stage_tasks(tasks: Tasks, reckoned: TaskWork) -> StageTasks:
    """Find the first good task of each stage."""
    rows: list[Row] = []
    for stage_no in range(1, len(STAGES) + 1):
        task_no = next((float(number) for number, stage in enumerate(reckoned.stage_first, start=1) if stage == stage_no), MISSING)
        rows.append({"task_no": task_no, "wage": at(tasks.loaded, task_no)})
    return table(StageTasks, rows)


def make_stage_wages(stages: StageTasks, mean_wage: float) -> StageWages:
    """Pay a stage that has no task of its own as the mean of the job."""
    return StageWages(wage_used=tuple(wage if known(wage) else mean_wage for wage in stages.wage))


def make_planned_wages(wages: StageWages) -> PlannedWages:
    """Name the wages of those who are on a pour."""
    mix, place, trowel, _ = wages.wage_used
    return PlannedWages(mix_wage=mix, place_wage=place, trowel_wage=trowel)


def make_pour_waiting(poured: PouredBatches, pour_tasks: PourTasks, tasks: Tasks) -> PourWaiting:
    """Set what its tasks take against how long the hands of a pour are there."""
    rows: list[Row] = []
    for row, fault in enumerate(poured.times.fault):
        if fault != 0:
            rows.append({})
            continue
        line = poured.lines[row]
        task_hours = pour_tasks.hours_in(row, tasks)
        there = MISSING if line is None else presence_h(line)
        rows.append({"presence": there, "task_hours": task_hours, "waiting": waiting_h(there, task_hours)})
    return table(PourWaiting, rows)


def make_waiting_costs(hands: PourHands, waiting: PourWaiting, wages: PlannedWages) -> WaitingCosts:
    """Pay waiting at the mean wage of the hands of the pour."""
    rows: list[Row] = []
    for row, crew_size in enumerate(hands.crew_size):
        groups = (hands.mix_hands[row], hands.placers_used[row], hands.late_hands[row])
        together = sum(count * wage for count, wage in zip(groups, (wages.mix_wage, wages.place_wage, wages.trowel_wage), strict=True))
        wage = ratio(together, crew_size)
        hours = waiting.waiting[row]
        # Nothing is paid for no hours, whatever an hour would cost.
        rows.append({"wages": together, "wage": wage, "waiting_cost": cents(hours * wage) if hours != 0 else 0.0})
    return table(WaitingCosts, rows)
