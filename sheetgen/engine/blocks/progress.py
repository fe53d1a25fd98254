"""Compare: how far the job is, and what it will come to."""

from __future__ import annotations

from typing import TYPE_CHECKING, ClassVar

import attrs

from sheetgen.engine.missing import MISSING, given, known, value
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
    from sheetgen.engine.blocks.logs import Logs
    from sheetgen.engine.blocks.price import Price
    from sheetgen.engine.inputs import Job


@attrs.frozen(kw_only=True)
class Progress:
    """Cost so far, earned value, and the cost and profit that the job is heading for."""

    block: ClassVar[str] = "progress"
    over: ClassVar[str | None] = None
    scenario: ClassVar[bool] = False

    labour_cost: float = figure("money")
    materials_cost: float = figure("money")
    other_cost: float = figure("money")
    unpriced: float = figure("count")
    actual_cost: float = figure("money")
    budget: float = figure("money")
    share: float = figure("share")
    earned: float = figure("money")
    planned: float = figure("money")
    cpi: float = figure("number")
    spi: float = figure("number")
    at_completion: float = figure("money")
    to_go: float = figure("money")
    over_: float = figure("money")  # `over` is what the block runs over
    contract: float = figure("money")
    profit: float = figure("money")


def _unpriced(job: Job, logs: Logs) -> float:
    """Count the rows that cost something, nobody knows what: packages without an amount, hours without a wage [count]."""
    packages = sum(
        faulty == 0 and entry.amount is None and given(entry.taken, 0) > 0
        for entry, faulty in zip(job.materials_log, logs.materials.faulty, strict=True)
    )
    hours = sum(faulty == 0 and not known(cost) for faulty, cost in zip(logs.hours.faulty, logs.hours.cost, strict=True))
    return float(packages + hours)


def _share(job: Job, done: DoneShare, compare: Compare, actual: float, budget: float) -> float:
    """Return how much of the job is done, by the way that was chosen [share]."""
    if done.finished == 1:
        return 1.0
    match job.progress.way:
        case "cost":
            to_go = job.progress.to_go_own
            return share_by_estimate(actual, budget) if to_go is None else share_by_cost_to_go(actual, to_go)
        case "hours":
            return share_by_estimate(compare.hours_actual, compare.hours_estimated)
        case "area":
            return done.done_share
        case _:
            return MISSING


def make_progress(job: Job, done: DoneShare, compare: Compare, logs: Logs, price: Price) -> Progress:
    """Tell how far the job is by cost, hours or area, and what it will come to."""
    labour, materials, other = (sum_known(log.cost) for log in (logs.hours, logs.materials, logs.costs))
    begun = any(known(one) for log in (logs.hours, logs.materials, logs.costs) for one in log.started)
    actual = labour + materials + other if begun else MISSING
    budget = price.direct + logs.orders.cost
    share = _share(job, done, compare, actual, budget)
    earned = earned_value(share, budget)
    planned = earned_value(value(job.progress.planned_share), budget)
    cpi = cost_performance(earned, actual)
    if done.finished == 1:
        at_completion = actual
    elif job.progress.to_go_own is not None:
        at_completion = actual + job.progress.to_go_own
    else:
        at_completion = estimate_at_completion(actual, budget, earned, cpi)
    contract = price.net + logs.orders.price
    return Progress(
        labour_cost=labour,
        materials_cost=materials,
        other_cost=other,
        unpriced=_unpriced(job, logs),
        actual_cost=actual,
        budget=budget,
        share=share,
        earned=earned,
        planned=planned,
        cpi=cpi,
        spi=schedule_performance(earned, planned),
        at_completion=at_completion,
        to_go=at_completion - actual,
        over_=at_completion - budget,
        contract=contract,
        profit=contract - at_completion,
    )
