"""Labour with its visits: all blocks that need both, one after the other."""

from __future__ import annotations

from typing import TYPE_CHECKING

import attrs

from sheetgen.engine.blocks.chosen import Chosen, make_chosen
from sheetgen.engine.blocks.crews import BestCrew, Crews, make_best_crew, make_crews
from sheetgen.engine.blocks.paid import Paid, WeekHours, Weeks, make_paid, make_week_hours, make_weeks, plain_wage_of
from sheetgen.engine.blocks.pour_charts import BusyHands, Schedule, make_busy_hands, make_schedule
from sheetgen.engine.blocks.waiting import (
    PlannedWages,
    StageWages,
    WaitingCosts,
    make_planned_wages,
    make_stage_wages,
    make_waiting_costs,
)
from sheetgen.engine.blocks.work import Labour, PlannedHours, PlannedIdle, Work, make_labour, make_planned_hours, make_work, mean_wage_of

if TYPE_CHECKING:
    from sheetgen.engine.blocks.plan import Plan
    from sheetgen.engine.blocks.plan_work import WorkOfTasks
    from sheetgen.engine.inputs import Job
    from sheetgen.engine.values import Figures

# Those that have a column for each scenario, and what is no block.
_APART = ("labour", "work", "planned")


@attrs.frozen(kw_only=True)
class Staffed:
    """Who is paid for what, and who would best be there."""

    labour: Labour
    stage_wages: StageWages
    wages: PlannedWages
    waiting_costs: WaitingCosts
    week_hours: WeekHours
    weeks: Weeks
    paid: Paid
    planned: PlannedHours
    idle: PlannedIdle
    work: Work
    chosen: Chosen
    crews: Crews
    best_crew: BestCrew
    schedule: Schedule
    busy_hands: BusyHands

    def blocks(self) -> tuple[Figures, ...]:
        """Return all blocks of figures that are the same in every scenario."""
        return tuple(getattr(self, one.name) for one in attrs.fields(Staffed) if one.name not in _APART)


def make_staffed(job: Job, of_tasks: WorkOfTasks, plan: Plan, difficulty: float, batches: float) -> Staffed:
    """Cost the hours of tasks and visits, of waiting, and of what is paid without either."""
    layout = plan.poured.layout
    tasks = of_tasks.tasks
    labour = make_labour(of_tasks, plan.counts, difficulty)
    stage_wages = make_stage_wages(plan.stages, mean_wage_of(tasks, labour))
    wages = make_planned_wages(stage_wages)
    costs = make_waiting_costs(layout.hands, plan.waiting, wages)
    week_hours = make_week_hours(job, plan.visits)
    weeks = make_weeks(plan.visits, week_hours)
    paid = make_paid(job, plan.visits, plan.counts, weeks, plain_wage_of(labour.hours, tasks))
    chosen = make_chosen(plan.poured, plan.planned.chosen)
    crews = make_crews(chosen, wages)
    planned = make_planned_hours(tasks, labour, plan.waiting, costs, layout.zones, paid_h=paid.hours, batches=batches)
    return Staffed(
        labour=labour,
        stage_wages=stage_wages,
        wages=wages,
        waiting_costs=costs,
        week_hours=week_hours,
        weeks=weeks,
        paid=paid,
        planned=planned,
        idle=PlannedIdle(idle=planned.idle),
        work=make_work(tasks, labour, planned),
        chosen=chosen,
        crews=crews,
        best_crew=make_best_crew(crews, plan.planned.chosen),
        schedule=make_schedule(chosen, plan.chosen_line),
        busy_hands=make_busy_hands(plan.chosen_line),
    )
