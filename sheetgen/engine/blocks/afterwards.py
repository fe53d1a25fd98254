"""Log and Compare: all their blocks, one after the other."""

from __future__ import annotations

from typing import TYPE_CHECKING

import attrs

from sheetgen.engine.blocks.agreed import Agreed, make_agreed
from sheetgen.engine.blocks.compare import AreaDone, Compare, DoneShare, make_area_done, make_compare, make_done_share
from sheetgen.engine.blocks.compared import (
    ComparedProducts,
    ComparedSystems,
    ComparedTasks,
    compare_products,
    compare_systems,
    compare_tasks,
)
from sheetgen.engine.blocks.compared_costs import ComparedOrders, OtherCosts, compare_orders, compare_other_costs
from sheetgen.engine.blocks.logs import Logs, make_logs
from sheetgen.engine.blocks.progress import Progress, make_progress

if TYPE_CHECKING:
    from collections.abc import Mapping

    from sheetgen.engine.blocks.hours import Matching
    from sheetgen.engine.blocks.laid import Laid
    from sheetgen.engine.blocks.needs import Buying, Needs
    from sheetgen.engine.blocks.options import Options
    from sheetgen.engine.blocks.price import Price
    from sheetgen.engine.blocks.rates import Products
    from sheetgen.engine.blocks.systems import Systems
    from sheetgen.engine.blocks.topping import Topping
    from sheetgen.engine.blocks.work import Labour, Work
    from sheetgen.engine.inputs import Display, Job
    from sheetgen.engine.names import Register
    from sheetgen.engine.values import Figures


@attrs.frozen(kw_only=True)
class Estimate:
    """What was bid, for the comparison: what the accepted options make of it, and the price of every scenario."""

    systems: Systems
    laid: Laid
    topping: Topping
    products: Products
    needs: Needs
    buying: Buying
    labour: Labour
    work: Work
    options: Options
    prices: Mapping[str, Price]


@attrs.frozen(kw_only=True)
class Afterwards:
    """What was logged, and how it compares."""

    logs: Logs
    agreed: Agreed
    area_done: AreaDone
    done: DoneShare
    products: ComparedProducts
    systems: ComparedSystems
    tasks: ComparedTasks
    other_costs: OtherCosts
    orders: ComparedOrders
    compare: Compare
    progress: Progress

    def blocks(self) -> tuple[Figures, ...]:
        """Return all blocks of figures."""
        own = [getattr(self, one.name) for one in attrs.fields(Afterwards) if one.name not in {"logs", "agreed"}]
        return (*self.logs.blocks(), *self.agreed.blocks(), *own)


def make_afterwards(job: Job, product_register: Register, to: Matching, bid: Estimate, display: Display) -> Afterwards:
    """Read the logs and compare them with what was bid."""
    logs = make_logs(job, product_register, to, bid.work.mean_wage, display)
    price, agreed = bid.prices["accepted"], make_agreed(job, bid.options, bid.prices, logs.orders)
    area_done = make_area_done(job, bid.systems, logs.hours)
    done = make_done_share(job, area_done, to.zones, bid.laid)
    share = done.done_share
    products = compare_products(job, logs.materials, bid.products, bid.buying, bid.needs, done_share=share)
    tasks = compare_tasks(job, logs.hours, to.tasks, bid.labour, done_share=share, on_wages=to.on_wages.on_wages)
    compare = make_compare(done, work=bid.work, orders=logs.orders, logs=logs, tasks=tasks, products=products)
    return Afterwards(
        logs=logs,
        agreed=agreed,
        area_done=area_done,
        done=done,
        products=products,
        systems=compare_systems(job, bid.systems, bid.topping, products, area_done.area_done),
        tasks=tasks,
        other_costs=compare_other_costs(logs, price),
        orders=compare_orders(logs),
        compare=compare,
        progress=make_progress(job, done, compare, logs, price, agreed.contract),
    )
