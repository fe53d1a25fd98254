"""Compare: how far the job is, and its totals."""
# ruff: noqa: RUF009 - figure() returns an attrs field, which is no default that records would share

from __future__ import annotations

from typing import TYPE_CHECKING, ClassVar

import attrs

from sheetgen.engine.blocks.table import flag
from sheetgen.engine.lists import FINISHED, STATUSES, number_of
from sheetgen.engine.missing import MISSING, known, ratio
from sheetgen.engine.totals import Column, sum_known, total, totals_by_number
from sheetgen.engine.values import figure

if TYPE_CHECKING:
    from sheetgen.engine.blocks.change_orders import Orders
    from sheetgen.engine.blocks.compared import ComparedProducts, ComparedTasks
    from sheetgen.engine.blocks.hours import HoursLog
    from sheetgen.engine.blocks.laid import Laid
    from sheetgen.engine.blocks.logs import Logs
    from sheetgen.engine.blocks.systems import Systems
    from sheetgen.engine.blocks.work import Work
    from sheetgen.engine.blocks.zones import ZoneNames
    from sheetgen.engine.inputs import Job


@attrs.frozen(kw_only=True)
class AreaDone:
    """The area done of each system; of each coat together, the area once."""

    block: ClassVar[str] = "systems"
    over: ClassVar[str | None] = "systems"
    scenario: ClassVar[bool] = False

    area_done: Column = figure("area")


@attrs.frozen(kw_only=True)
class DoneShare:
    """How much of the area is done."""

    block: ClassVar[str] = "compare"
    over: ClassVar[str | None] = None
    scenario: ClassVar[bool] = False

    status_no: float = figure("no")
    finished: float = figure("count")
    area_done: float = figure("area")
    undated_share: float = figure("share")
    done_share: float = figure("share")


@attrs.frozen(kw_only=True)
class Compare:
    """The totals of the comparison."""

    block: ClassVar[str] = "compare"
    over: ClassVar[str | None] = None
    scenario: ClassVar[bool] = False

    hours_estimated: float = figure("hour")
    hours_actual: float = figure("hour")
    hours_variance: float = figure("hour")
    labour_variance: float = figure("money")
    materials_variance: float = figure("money")
    bags_needed: float = figure("bag")
    bags_used: float = figure("bag")
    other_faults: float = figure("count")
    other_looks: float = figure("count")
    log_faults: float = figure("count")
    log_looks: float = figure("count")


def make_area_done(job: Job, systems: Systems, log: HoursLog) -> AreaDone:
    """Add up the area done of each system; rework does not count."""
    sums = totals_by_number(log.area_counted, log.started, log.system_no, len(job.systems))
    return AreaDone(area_done=tuple(area if known(begun) else MISSING for area, begun in zip(sums, systems.started, strict=True)))


def make_done_share(job: Job, done: AreaDone, names: ZoneNames, laid: Laid) -> DoneShare:
    """Tell how much of the area is done; where none was logged, a finished job is done and another not known."""
    finished = flag(holds=job.job.status in FINISHED)
    area = sum_known(done.area_done)
    area_done = area if area != 0 else MISSING
    undated_share = 1.0 if finished == 1 else MISSING
    share = ratio(area_done, total(laid.area, names.started))
    return DoneShare(
        status_no=number_of(STATUSES, job.job.status),
        finished=finished,
        area_done=area_done,
        undated_share=undated_share,
        done_share=undated_share if not known(area_done) else min(share, 1.0) if known(share) else MISSING,
    )


def make_compare(
    done: DoneShare,
    *,
    work: Work,
    orders: Orders,
    logs: Logs,
    tasks: ComparedTasks,
    products: ComparedProducts,
) -> Compare:
    """Add the comparison up, hours of change orders among the rest; a job that is not finished has no variance."""
    hours = sum_known(logs.hours.hours)
    estimated = work.hours + orders.hours
    other_faults = sum_known((*logs.costs.faulty, *logs.change_orders.faulty, *logs.bills.faulty))
    other_looks = sum_known((*logs.costs.only_look, *logs.bills.only_look))

    def at_the_end(amount: float) -> float:
        return amount if done.finished == 1 else MISSING

    return Compare(
        hours_estimated=estimated,
        hours_actual=hours,
        hours_variance=at_the_end(hours - estimated),
        labour_variance=at_the_end(sum_known((*tasks.efficiency, *tasks.rate_variance))),
        materials_variance=at_the_end(sum_known((*products.price_variance, *products.quantity_variance))),
        bags_needed=sum_known(products.bags_needed),
        bags_used=sum_known(products.bags_used),
        other_faults=other_faults,
        other_looks=other_looks,
        log_faults=sum_known((*logs.hours.faulty, *logs.materials.faulty)) + other_faults,
        log_looks=sum_known((*logs.hours.only_look, *logs.materials.only_look)) + other_looks,
    )
