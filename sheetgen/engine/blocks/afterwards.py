"""Log and Compare: all their blocks, one after the other."""

from __future__ import annotations

from typing import TYPE_CHECKING

import attrs

from sheetgen.engine.blocks.compare import AreaDone, Compare, Progress, make_area_done, make_compare, make_progress
from sheetgen.engine.blocks.compared import (
    ComparedProducts,
    ComparedSystems,
    ComparedTasks,
    compare_products,
    compare_systems,
    compare_tasks,
)
from sheetgen.engine.blocks.hours import HoursLog, Matching, make_hours_log
from sheetgen.engine.blocks.materials_log import MaterialsLog, make_materials_log

if TYPE_CHECKING:
    from sheetgen.engine.blocks.laid import Laid
    from sheetgen.engine.blocks.needs import Buying, Needs
    from sheetgen.engine.blocks.rates import OnWages, Products
    from sheetgen.engine.blocks.systems import Systems
    from sheetgen.engine.blocks.topping import Topping
    from sheetgen.engine.blocks.work import Labour, Work
    from sheetgen.engine.inputs import Job
    from sheetgen.engine.names import Register
    from sheetgen.engine.values import Figures


@attrs.frozen(kw_only=True)
class Estimate:
    """What was bid, for the comparison."""

    systems: Systems
    laid: Laid
    topping: Topping
    products: Products
    needs: Needs
    buying: Buying
    labour: Labour
    work: Work
    on_wages: OnWages


@attrs.frozen(kw_only=True)
class Afterwards:
    """What was logged, and how it compares."""

    hours_log: HoursLog
    materials_log: MaterialsLog
    area_done: AreaDone
    progress: Progress
    products: ComparedProducts
    systems: ComparedSystems
    tasks: ComparedTasks
    compare: Compare

    def blocks(self) -> tuple[Figures, ...]:
        """Return all blocks of figures."""
        return tuple(getattr(self, one.name) for one in attrs.fields(Afterwards))


def make_afterwards(job: Job, product_register: Register, to: Matching, bid: Estimate) -> Afterwards:
    """Read the logs and compare them with what was bid."""
    hours_log = make_hours_log(job, to)
    materials_log = make_materials_log(job, product_register)
    done = make_area_done(job, bid.systems, hours_log)
    progress = make_progress(job, done, to.zones, bid.laid)
    share = progress.done_share
    products = compare_products(job, materials_log, bid.products, bid.buying, bid.needs, done_share=share)
    tasks = compare_tasks(job, hours_log, to.tasks, bid.labour, done_share=share, on_wages=bid.on_wages.on_wages)
    return Afterwards(
        hours_log=hours_log,
        materials_log=materials_log,
        area_done=done,
        progress=progress,
        products=products,
        systems=compare_systems(job, bid.systems, bid.topping, products, done.area_done),
        tasks=tasks,
        compare=make_compare(
            progress, work=bid.work, hours_log=hours_log, materials_log=materials_log, tasks=tasks, products=products
        ),
    )
