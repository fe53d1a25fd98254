"""Compare: how far the job is, and what it will come to."""

from __future__ import annotations

from typing import TYPE_CHECKING, ClassVar

import attrs

from sheetgen.engine.lists import PROGRESS_WAYS, number_of
from sheetgen.engine.missing import MISSING, value
from sheetgen.engine.progress import (
    cost_performance,
    earned_value,
    estimate_at_completion,
    schedule_performance,
    share_by_cost_to_go,
    share_by_estimate,
)
from sheetgen.engine.totals import sum_known
from sheetgen.engine.values import figure

if TYPE_CHECKING:
    from sheetgen.engine.blocks.compare import Compare, DoneShare
    from sheetgen.engine.blocks.contract import Contract
    from sheetgen.engine.blocks.logs import Logs
    from sheetgen.engine.blocks.price import Price
    from sheetgen.engine.inputs import Job


@attrs.frozen(kw_only=True)
class Progress:
    """Cost so far, earned value, and the cost and profit that the job is heading for."""

    block: ClassVar[str] = "progress"
    over: ClassVar[str | None] = None
    scenario: ClassVar[bool] = False

    way_no: float = figure("no")
    log_rows: float = figure("count")
    labour_cost: float = figure("money")
    materials_cost: float = figure("money")
    other_cost: float = figure("money")
    unpriced: float = figure("count")
    actual_cost: float = figure("money")
    budget: float = figure("money")
    by_own: float = figure("share")
    by_budget: float = figure("share")
    by_cost: float = figure("share")
    by_hours: float = figure("share")
    share: float = figure("share")
    earned: float = figure("money")
    planned: float = figure("money")
    cpi: float = figure("number")
    spi: float = figure("number")
    by_index: float = figure("money")
    at_completion: float = figure("money")
    to_go: float = figure("money")
    over_: float = figure("money")  # `over` is what the block runs over
    contract: float = figure("money")
    profit: float = figure("money")


def _at_completion(job: Job, done: DoneShare, actual: float, by_index: float) -> float:
    """Return what the job will cost: an own estimate goes before that by the index [money]."""
    if done.finished == 1:
        return actual
    to_go = job.progress.to_go_own
    return by_index if to_go is None else actual + to_go


def make_progress(job: Job, done: DoneShare, compare: Compare, logs: Logs, price: Price, agreed: Contract) -> Progress:
    """Tell how far the job is by cost, hours or area, and what it will come to."""
    three = (logs.hours, logs.materials, logs.costs)
    labour, materials, other = (sum_known(log.cost) for log in three)
    log_rows = sum_known(one for log in three for one in log.started)
    actual = labour + materials + other if log_rows > 0 else MISSING
    budget = price.direct + logs.orders.cost
    by_own, by_budget = share_by_cost_to_go(actual, value(job.progress.to_go_own)), share_by_estimate(actual, budget)
    by_cost = by_budget if job.progress.to_go_own is None else by_own
    by_hours = share_by_estimate(compare.hours_actual, compare.hours_estimated)
    by_way = {"cost": by_cost, "hours": by_hours, "area": done.done_share}
    share = 1.0 if done.finished == 1 else by_way.get(job.progress.way or "", MISSING)
    earned = earned_value(share, budget)
    planned = earned_value(value(job.progress.planned_share), budget)
    cpi = cost_performance(earned, actual)
    by_index = estimate_at_completion(actual, budget, earned, cpi)
    at_completion = _at_completion(job, done, actual, by_index)
    contract = agreed.net + agreed.orders
    return Progress(
        way_no=number_of(PROGRESS_WAYS, job.progress.way),
        log_rows=log_rows,
        labour_cost=labour,
        materials_cost=materials,
        other_cost=other,
        unpriced=sum_known((*logs.hours.unpriced, *logs.materials.unpriced)),
        actual_cost=actual,
        budget=budget,
        by_own=by_own,
        by_budget=by_budget,
        by_cost=by_cost,
        by_hours=by_hours,
        share=share,
        earned=earned,
        planned=planned,
        cpi=cpi,
        spi=schedule_performance(earned, planned),
        by_index=by_index,
        at_completion=at_completion,
        to_go=at_completion - actual,
        over_=at_completion - budget,
        contract=contract,
        profit=contract - at_completion,
    )
