"""Compare: estimate against log, by product, by system and by task."""

from __future__ import annotations

from typing import ClassVar

import attrs

from sheetgen.engine import variance
from sheetgen.engine.blocks.done import Done, weighted_by_area
from sheetgen.engine.blocks.laid import Laid, Topping, coats_of
from sheetgen.engine.blocks.logs import HoursLog, MaterialsLog
from sheetgen.engine.blocks.needs import Suppliers
from sheetgen.engine.blocks.rates import Products, Roles, Tasks, burden_on_wage
from sheetgen.engine.blocks.systems import Systems
from sheetgen.engine.blocks.work import Labour, Work, loaded_wage_of
from sheetgen.engine.blocks.zones import ZoneNames
from sheetgen.engine.inputs import Job
from sheetgen.engine.missing import MISSING, above_zero, known, value
from sheetgen.engine.tables import blank_row, from_rows
from sheetgen.engine.totals import Column, at, sum_known, total, totals_by_number
from sheetgen.engine.values import figure


@attrs.frozen(kw_only=True)
class ProductVariances:
    """Each product: needed, bought, used, paid."""

    block: ClassVar = "products"
    over: ClassVar = "products"
    scenario: ClassVar = False

    logged: Column = figure("count")
    bought: Column = figure("package")
    used: Column = figure("package")
    needed_done: Column = figure("package")
    variance: Column = figure("package")
    paid: Column = figure("money")
    price_variance: Column = figure("money")
    quantity_variance: Column = figure("money")


@attrs.frozen(kw_only=True)
class Thickness:
    """Each system: how thick it was laid."""

    block: ClassVar = "systems"
    over: ClassVar = "systems"
    scenario: ClassVar = False

    area_done: Column = figure("area")
    used_bags: Column = figure("bag")
    laid: Column = figure("depth")
    depth_planned: Column = figure("depth")
    depth_used: Column = figure("depth")
    depth_used_planned: Column = figure("depth")


@attrs.frozen(kw_only=True)
class TaskVariances:
    """Each task: hours and wages."""

    block: ClassVar = "tasks"
    over: ClassVar = "tasks"
    scenario: ClassVar = False

    logged: Column = figure("count")
    actual: Column = figure("hour")
    estimated: Column = figure("hour", kind="show")
    variance: Column = figure("hour")
    efficiency: Column = figure("money")
    paid_known: Column = figure("count")
    rate_variance: Column = figure("money")


@attrs.frozen(kw_only=True)
class Comparison:
    """The whole job: hours, money and bags."""

    block: ClassVar = "compare"
    over: ClassVar = None
    scenario: ClassVar = False

    hours_estimated: float = figure("hour")
    hours_actual: float = figure("hour")
    hours_variance: float = figure("hour")
    labour_variance: float = figure("money")
    materials_variance: float = figure("money")
    bags_needed: float = figure("bag")
    bags_used: float = figure("bag")


def _rows_of(numbers: Column, count: int) -> list[list[int]]:
    """Return, for each record, the log rows that name it."""
    rows: list[list[int]] = [[] for _ in range(count)]
    for row, number in enumerate(numbers):
        if known(number):
            rows[int(number) - 1].append(row)
    return rows


def make_products(
    job: Job, products: Products, log: MaterialsLog, asked: Suppliers, done: Done
) -> ProductVariances:
    """Compare what each product was needed, bought, used and paid for."""
    count = len(job.products)
    needs = asked.of_products(asked.topping.bags_raw, count)
    bought_all = totals_by_number(log.bought, log.started, log.product_no, count)
    used_all = totals_by_number(log.used, log.started, log.product_no, count)
    rows = []
    for row, entries in enumerate(_rows_of(log.product_no, count)):
        if not known(products.started[row]):
            rows.append(blank_row(ProductVariances))
            continue
        product = job.products[row]
        price = value(product.price)
        needed = needs[row] * done.done_share / above_zero(value(product.size))
        bought = used = paid = MISSING
        if entries:
            bought, used, paid = bought_all[row], used_all[row], _paid(job, log, entries)
        rows.append(
            (
                float(len(entries)),
                bought,
                used,
                needed,
                used - needed,
                paid,
                variance.price_variance(paid, bought, price),
                variance.quantity_variance(used, needed, price),
            )
        )
    return from_rows(ProductVariances, rows)


def _paid(job: Job, log: MaterialsLog, entries: list[int]) -> float:
    """Return what was paid in some rows, missing where one that took packages has no amount."""
    amounts = []
    for row in entries:
        entry = job.materials_log[row]
        takes = value(entry.taken) > 0 or log.bought[row] > 0
        if entry.amount is not None or takes:
            amounts.append(value(entry.amount))
    return total(amounts, [1.0] * len(amounts))


def make_thickness(
    job: Job,
    systems: Systems,
    products: ProductVariances,
    area_by_system: Column,
    topping: Topping,
    laid: Laid,
) -> Thickness:
    """Compute how thick each system was laid, beside what was planned."""
    waste = value(job.takeoff.waste)
    rows = []
    for row, system in enumerate(job.systems):
        if not known(systems.started[row]):
            rows.append(blank_row(Thickness))
            continue
        number = row + 1.0
        coats = coats_of(job, number)
        depth = weighted_by_area(laid.depth, laid, number)
        fill = weighted_by_area(laid.fill, laid, number)
        bags = _bags_used(job, systems, products, topping, row)
        area = above_zero(area_by_system[row])
        used = variance.depth_used_in(bags, value(system.yield_), area)
        thickness = variance.average_thickness_in(used, above_zero(coats), fill, waste)
        planned = variance.planned_depth_in(depth, coats, fill, waste)
        rows.append((area_by_system[row], bags, thickness, depth, used, planned))
    return from_rows(Thickness, rows)


def _bags_used(
    job: Job, systems: Systems, products: ProductVariances, topping: Topping, row: int
) -> float:
    """Return the bags of a system, missing where another that is laid takes from the same product."""
    product_no = systems.product_no[row]
    pairs = enumerate(zip(systems.product_no, topping.area, strict=True))
    if any(other != row and same == product_no and area > 0 for other, (same, area) in pairs):
        return MISSING
    sizes = [value(product.size) for product in job.products]
    return at(products.used, product_no) * at(sizes, product_no)


def make_tasks(
    job: Job, tasks: Tasks, roles: Roles, labour: Labour, log: HoursLog, done: Done
) -> TaskVariances:
    """Compare the hours and the wages of each task."""
    count = len(job.tasks)
    hours = totals_by_number(log.hours, log.started, log.task_no, count)
    wages = [value(role.wage) for role in job.roles]
    burden = burden_on_wage(job)
    extra = tuple(
        _paid_beyond(hour, entry.wage, at(wages, at(tasks.role_no, task_no)))
        for entry, hour, task_no in zip(job.hours_log, log.hours, log.task_no, strict=True)
    )
    beyond = totals_by_number(extra, log.started, log.task_no, count)
    rows = []
    for row, entries in enumerate(_rows_of(log.task_no, count)):
        if not known(tasks.started[row]):
            rows.append(blank_row(TaskVariances))
            continue
        estimated = labour.hours[row]
        actual = hours[row] if entries else MISSING
        allowed = estimated * done.done_share
        loaded = loaded_wage_of(roles, tasks, row)
        paid_known = float(sum(job.hours_log[entry].wage is not None for entry in entries))
        rate = variance.rate_variance(1, beyond[row], 0, burden) if paid_known else MISSING
        efficiency = variance.efficiency_variance(actual, allowed, loaded)
        rows.append(
            (float(len(entries)), actual, estimated, actual - estimated, efficiency, paid_known, rate)
        )
    return from_rows(TaskVariances, rows)


def _paid_beyond(hours_h: float, wage: float | None, planned: float) -> float:
    if wage is None:
        return hours_h * 0
    return hours_h * (wage - planned)


def make_comparison(
    job: Job,
    done: Done,
    work: Work,
    log: HoursLog,
    systems: Systems,
    products: ProductVariances,
    tasks: TaskVariances,
) -> Comparison:
    """Sum the comparison up; variances of the whole only when the job is finished."""
    finished = done.finished == 1
    hours_actual = sum_known(log.hours)
    labour = sum_known((*tasks.efficiency, *tasks.rate_variance))
    materials = sum_known((*products.price_variance, *products.quantity_variance))
    toppings = {int(number) - 1 for number in systems.product_no if known(number)}
    sizes = {row: value(job.products[row].size) for row in sorted(toppings)}
    return Comparison(
        hours_estimated=work.hours,
        hours_actual=hours_actual,
        hours_variance=hours_actual - work.hours if finished else MISSING,
        labour_variance=labour if finished else MISSING,
        materials_variance=materials if finished else MISSING,
        bags_needed=sum_known(products.needed_done[row] * size for row, size in sizes.items()),
        bags_used=sum_known(products.used[row] * size for row, size in sizes.items()),
    )
