"""What one filled book adds to the tables: by job, task, product, topping, other cost, and how far the job is."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, Final

import attrs

from sheetgen.engine.cost_book import progress_figures
from sheetgen.engine.cost_book_sums import known_sum
from sheetgen.engine.job import Job
from sheetgen.engine.lists import FINISHED, OTHER_KINDS
from sheetgen.figures import Figures, Row

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping

    from sheetgen.book.plan import Plan
    from sheetgen.engine.values import Values
    from sheetgen.reader.filled import Filled


@attrs.frozen
class Read:
    """One filled book with its figures.

    Parameters
    ----------
    filled : Filled
        The book.
    job : Job
        What was typed.
    values : Values
        What the engine makes of it, in the engine's own units.
    """

    filled: Filled
    job: Job = attrs.field(repr=False)
    values: Values = attrs.field(repr=False)


def figures_of(book: Read) -> Figures:
    """Return what a book adds to the tables."""
    return Figures(book.job.system, {name: tuple(rows) for name, rows in _rows(book)})


def _rows(book: Read) -> Iterator[tuple[str, list[Row]]]:
    values, job, plan = book.values, book.job, book.filled.compiled.plan
    common = {
        "workbook": book.filled.name, "book_id": book.filled.stamp.book_id, "job_number": job.job.number,
        "job_name": job.job.name, "status": job.job.status, "finished": float(job.job.status in FINISHED),
    }  # fmt: skip

    def row(stands: tuple[str, str], record: int, **figures: Any) -> Row:
        return {**common, "source": _source(plan, *stands, record), **figures}

    def figures(sources: Mapping[str, str], record: int) -> Row:
        return {column: _at(values, source, record) for column, source in sources.items()}

    of_price = plan.spot("price", "total").cell(scenario=_ACCEPTED).a1
    head = {**common, "source": of_price, **_job_row(book)}
    yield "jobs", [head]
    yield "hours", [
        *(
            row(_HOURS_STAND, record, task=task.name, change_order=None, **figures(_HOURS, record), account=task.account)
            for record, task in enumerate(job.tasks)
            if task.name is not None
        ),
        *(row(_ORDERS_STAND, record, **figured) for record, figured in _orders(book)),
    ]
    yield "materials", [
        row(
            _MATERIALS_STAND, record, product=product.name, **figures(_MATERIALS, record), account=product.account,
            tax_code=product.tax_code,
        )
        for record, product in enumerate(job.products)
        if product.name is not None and (_at(values, "needs.need", record) or _at(values, "products.logged", record))
    ]  # fmt: skip
    yield "toppings", [
        row(_TOPPINGS_STAND, record, system=system.name, **figures(_TOPPINGS, record))
        for record, system in enumerate(job.systems)
        if system.name is not None and _at(values, "topping.area", record)
    ]
    yield "other_costs", [row(_COSTS_STAND, record, **figured) for record, figured in _other_costs(book)]
    yield "progress", [
        {**common, "source": of_price, **progress_figures(head), "share_own": head["share_own"], "budget": head["budget"]}
    ]


def _job_row(book: Read) -> Row:
    """Return what is told of the job as a whole; nothing logged is not known, not zero."""
    values, job = book.values, book.job
    finished = job.job.status in FINISHED

    def logged(block: str, figure: str) -> bool:
        return any(one is not None for one in values.column(f"{block}.{figure}"))

    return {
        "customer": job.job.customer,
        "bid_date": job.job.bid_date,
        "decided_date": job.job.decided_date,
        "reason_lost": job.job.reason_lost,
        "price_bid": values.scalar("price.net", "accepted"),
        "price": values.scalar("price.total", "accepted"),
        "tax_code": job.policy.tax_code,
        "direct_bid": values.scalar("price.direct", "accepted"),
        "cost": values.scalar("price.cost", "accepted"),
        "change_price": values.scalar("orders.price"),
        "budget": values.scalar("progress.budget"),
        "labour_cost": values.scalar("progress.labour_cost") if logged("hours_log", "cost") else None,
        "materials_cost": values.scalar("progress.materials_cost") if logged("materials_log", "cost") else None,
        "other_cost": values.scalar("progress.other_cost") if logged("costs_log", "cost") else None,
        "to_go": 0.0 if finished else _to_go(book),
        "hours_estimated": values.scalar("compare.hours_estimated"),
        "hours_actual": values.scalar("compare.hours_actual") if logged("hours_log", "hours") else None,
        "hours_variance": values.scalar("compare.hours_variance"),
        "labour_variance": values.scalar("compare.labour_variance"),
        "materials_variance": values.scalar("compare.materials_variance"),
        "other_variance": known_sum(_numbers(values, "other_costs.variance")) if finished else None,
        "bags_needed": values.scalar("compare.bags_needed"),
        "bags_used": values.scalar("compare.bags_used") if any(values.column("products.logged")) else None,
        "area_done": values.scalar("compare.area_done"),
        "done_share": values.scalar("compare.done_share"),
        "share_own": values.scalar("progress.share"),
        "billed": values.scalar("money.billed"),
        "tax_billed": values.scalar("money.tax_billed"),
        "held": values.scalar("money.held"),
        "paid": values.scalar("money.paid"),
        "unpriced": values.scalar("progress.unpriced"),
        "log_rows_wrong": values.scalar("compare.log_faults"),
    }


def _to_go(book: Read) -> Any:
    """Return the direct cost still to come; where nothing was logged, all of it is."""
    values, own = book.values, book.job.progress.to_go_own
    if values.scalar("progress.actual_cost") is not None:
        return values.scalar("progress.to_go")
    return own if own is not None else values.scalar("progress.budget")


def _orders(book: Read) -> Iterator[tuple[int, Row]]:
    """Yield the hours of each change order that was accepted or worked on; only an accepted one was estimated."""
    values = book.values
    for record, order in enumerate(book.job.change_orders):
        estimated = order.hours or 0.0
        actual = _at(values, "change_orders.actual_hours", record)
        accepted = _at(values, "change_orders.counted", record) == 1
        if order.name is None or (actual is None and not (accepted and estimated)):
            continue
        yield record, {
            "task": f"change order: {order.name}",
            "change_order": order.name,
            "estimated": estimated if accepted else None,
            "actual": actual,
            "variance": actual - estimated if accepted and actual is not None else None,
            "efficiency_variance": None,
            "rate_variance": None,
            "account": None,
        }


def _other_costs(book: Read) -> Iterator[tuple[int, Row]]:
    """Yield the rows of the log of other costs; the amount of one that cannot be used is not known."""
    values, job = book.values, book.job
    of_kind = dict(zip(OTHER_KINDS, job.accounts, strict=False))
    for record, entry in enumerate(job.costs_log):
        if not _at(values, "costs_log.started", record):
            continue
        good = not _at(values, "costs_log.faulty", record)
        code = of_kind.get(entry.kind or "")
        yield record, {
            "date": entry.date,
            "kind": entry.kind.replace("_", " ") if entry.kind else None,
            "supplier": entry.supplier,
            "amount": entry.amount if good else None,
            "tax": entry.tax if good else None,
            "receipt": entry.receipt,
            "change_order": entry.change_order,
            "account": code.account if code else None,
            "tax_code": code.tax_code if code else None,
        }


# Where the row of a task, product, topping, change order or cost stands in its book.
_HOURS_STAND: Final = ("tasks", "actual")
_ORDERS_STAND: Final = ("change_orders", "actual_hours")
_MATERIALS_STAND: Final = ("products", "bought")
_TOPPINGS_STAND: Final = ("systems", "laid")
_COSTS_STAND: Final = ("costs_log", "amount")
_HOURS: Final = {
    "estimated": "labour.hours", "actual": "tasks.actual", "variance": "tasks.variance",
    "efficiency_variance": "tasks.efficiency", "rate_variance": "tasks.rate_variance",
}  # fmt: skip
_MATERIALS: Final = {
    "needed": "products.needed_done", "bought": "products.bought", "used": "products.used", "variance": "products.variance",
    "paid": "products.paid", "price_variance": "products.price_variance", "quantity_variance": "products.quantity_variance",
}  # fmt: skip
_TOPPINGS: Final = {
    "area_done": "systems.area_done", "bags_used": "systems.used_bags", "thickness_planned": "systems.depth_planned",
    "thickness_laid": "systems.laid", "depth_planned_with_waste": "systems.depth_used_planned",
    "depth_used": "systems.depth_used",
}  # fmt: skip
# The scenario from which cost, hours and the price of the contract come.
_ACCEPTED: Final = 1


def _at(values: Values, name: str, record: int) -> Any:
    held = values[name]
    return values.column(name, "accepted" if isinstance(held, dict) else None)[record]


def _numbers(values: Values, name: str) -> list[float | None]:
    return [one if isinstance(one, float) else None for one in values.column(name)]


def _source(plan: Plan, block: str, field: str, record: int) -> str:
    """Return the cell with which the row of a record begins."""
    spot = plan.spot(block, field)
    cell = spot.cell(record)
    return (cell._replace(column=0) if spot.record_rows else cell).a1
