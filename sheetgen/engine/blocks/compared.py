"""Compare: products, systems and tasks as bid against what was logged for them; change orders stand apart."""
# ruff: noqa: RUF009 - figure() returns an attrs field, which is no default that records would share

from __future__ import annotations

from typing import TYPE_CHECKING, ClassVar

import attrs

from sheetgen.engine.blocks.table import Row, table
from sheetgen.engine.missing import MISSING, above_zero, cents, given, known, value
from sheetgen.engine.totals import Column, at, totals_by_number
from sheetgen.engine.values import figure
from sheetgen.engine.variance import (
    average_thickness_in,
    depth_used_in,
    efficiency_variance,
    planned_depth_in,
    price_variance,
    quantity_variance,
)

if TYPE_CHECKING:
    from sheetgen.engine.blocks.hours import HoursLog
    from sheetgen.engine.blocks.materials_log import MaterialsLog
    from sheetgen.engine.blocks.needs import Buying, Needs
    from sheetgen.engine.blocks.rates import Products
    from sheetgen.engine.blocks.systems import Systems
    from sheetgen.engine.blocks.tasks import Tasks
    from sheetgen.engine.blocks.topping import Topping
    from sheetgen.engine.blocks.work import Labour
    from sheetgen.engine.inputs import Job


@attrs.frozen(kw_only=True)
class ComparedProducts:
    """Products: needed for the area done, bought, used, paid."""

    block: ClassVar[str] = "products"
    over: ClassVar[str | None] = "products"
    scenario: ClassVar[bool] = False

    logged: Column = figure("count")
    bought: Column = figure("package")
    used: Column = figure("package")
    used_units: Column = figure("pack")
    needed_done: Column = figure("package")
    variance: Column = figure("package")
    unpaid: Column = figure("count")
    paid: Column = figure("money")
    price_variance: Column = figure("money")
    quantity_variance: Column = figure("money")
    bags_needed: Column = figure("bag")
    bags_used: Column = figure("bag")


@attrs.frozen(kw_only=True)
class ComparedSystems:
    """Systems: the thickness laid."""

    block: ClassVar[str] = "systems"
    over: ClassVar[str | None] = "systems"
    scenario: ClassVar[bool] = False

    used_bags: Column = figure("bag")
    laid: Column = figure("depth")
    depth_planned: Column = figure("depth")
    depth_used: Column = figure("depth")
    depth_used_planned: Column = figure("depth")


@attrs.frozen(kw_only=True)
class ComparedTasks:
    """Tasks: hours estimated and worked."""

    block: ClassVar[str] = "tasks"
    over: ClassVar[str | None] = "tasks"
    scenario: ClassVar[bool] = False

    logged: Column = figure("count")
    actual: Column = figure("hour")
    hours_due: Column = figure("hour")
    variance: Column = figure("hour")
    efficiency: Column = figure("money")
    paid_known: Column = figure("count")
    wage_gap: Column = figure("money")
    rate_variance: Column = figure("money")


def _counts(flags: Column, numbers: Column, count: int) -> Column:
    """Add up what is there of a column by record [count]."""
    known_flags = tuple(one if known(one) else 0.0 for one in flags)
    return totals_by_number(known_flags, (1.0,) * len(known_flags), numbers, count)


def _own(figures: Column, own: Column) -> Column:
    """Return a column only where a row is not for a change order."""
    return tuple(figure if one == 1 else MISSING for figure, one in zip(figures, own, strict=True))


def compare_products(
    job: Job, log: MaterialsLog, products: Products, buying: Buying, needs: Needs, *, done_share: float
) -> ComparedProducts:
    """Compare each product's need for the area done with what was bought, used and paid.

    Parameters
    ----------
    job, log, products, buying, needs
        Where it is found.
    done_share : float
        Share of the area that is done [-].

    Returns
    -------
    ComparedProducts
        Missing where nothing was logged.
    """
    count = len(job.products)
    numbers = log.product_no
    logged = _counts(log.own, numbers, count)
    bought = totals_by_number(log.bought_own, log.started, numbers, count)
    used = totals_by_number(log.used_own, log.started, numbers, count)
    unpaid, paid = (_counts(_own(figures, log.own), numbers, count) for figures in (log.unpaid, log.paid))
    rows: list[Row] = []
    for row, product in enumerate(job.products):
        if not known(products.started[row]):
            rows.append({})
            continue
        is_logged = logged[row] > 0
        size, price = products.pack_size[row], value(product.price)
        taken, spent = (bought[row], used[row]) if is_logged else (MISSING, MISSING)
        needed = needs.need_raw[row] * done_share / size
        amount = paid[row] if is_logged and unpaid[row] == 0 else MISSING
        is_topping = buying.is_topping[row] == 1
        rows.append(
            {
                "logged": logged[row],
                "bought": taken,
                "used": spent,
                "used_units": spent * size,
                "needed_done": needed,
                "variance": spent - needed,
                "unpaid": unpaid[row],
                "paid": amount,
                "price_variance": price_variance(amount, taken, price),
                "quantity_variance": quantity_variance(spent, needed, price),
                "bags_needed": needed * size if is_topping else 0.0,
                "bags_used": spent * size if is_topping else 0.0,
            }
        )
    return table(ComparedProducts, rows)


def compare_systems(job: Job, systems: Systems, topping: Topping, products: ComparedProducts, area_done: Column) -> ComparedSystems:
    """Compare the thickness laid with the thickness bid; bags that two systems share tell neither's.

    Parameters
    ----------
    job, systems, topping, products
        Where it is found.
    area_done : tuple of float
        Area done of each system [ft²].

    Returns
    -------
    ComparedSystems
        Missing where nothing was logged.
    """
    waste = value(job.takeoff.waste)
    rows: list[Row] = []
    for row, system in enumerate(job.systems):
        if not known(systems.started[row]):
            rows.append({})
            continue
        coats, area = above_zero(given(system.coats, 1)), above_zero(area_done[row])
        fill, depth = topping.fill_mean[row], topping.depth_mean[row]
        alone = topping.sharers[row] == 0
        bags = at(products.used_units, systems.product_no[row]) if alone else MISSING
        used_in = depth_used_in(bags, value(system.yield_), area)
        rows.append(
            {
                "used_bags": bags,
                "laid": average_thickness_in(used_in, coats, fill, waste),
                "depth_planned": depth,
                "depth_used": used_in,
                "depth_used_planned": planned_depth_in(depth, given(system.coats, 1), fill, waste),
            }
        )
    return table(ComparedSystems, rows)


def compare_tasks(job: Job, log: HoursLog, tasks: Tasks, labour: Labour, *, done_share: float, on_wages: float) -> ComparedTasks:
    """Compare each task's hours with the estimate; the rate only where wages were logged.

    Parameters
    ----------
    job, log, tasks, labour
        Where it is found.
    done_share : float
        Share of the area that is done [-].
    on_wages : float
        What follows a wage, as a share of it [-].

    Returns
    -------
    ComparedTasks
        Missing where nothing was logged.
    """
    count = len(job.tasks)
    logged = _counts(log.own, log.task_no, count)
    actual = totals_by_number(log.hours_own, log.started, log.task_no, count)
    waged = _counts(_own(log.waged, log.own), log.task_no, count)
    gaps = totals_by_number(log.gap_own, log.started, log.task_no, count)
    rows: list[Row] = []
    for row in range(count):
        if not known(tasks.started[row]):
            rows.append({})
            continue
        hours = actual[row] if logged[row] > 0 else MISSING
        due = labour.hours[row] * done_share
        rows.append(
            {
                "logged": logged[row],
                "actual": hours,
                "hours_due": due,
                "variance": hours - labour.hours[row],
                "efficiency": efficiency_variance(hours, due, tasks.loaded[row]),
                "paid_known": waged[row],
                "wage_gap": gaps[row],
                "rate_variance": cents(gaps[row] * (1 + on_wages)) if waged[row] > 0 else MISSING,
            }
        )
    return table(ComparedTasks, rows)
