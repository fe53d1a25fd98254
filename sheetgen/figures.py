"""What one filled book adds to the tables: by job, by task, by product, by topping."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, Final

import attrs

from sheetgen import units
from sheetgen.engine.job import Job
from sheetgen.units import System

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping

    from sheetgen.engine.values import Values
    from sheetgen.reader.filled import Filled

Row = dict[str, Any]
# In which units the engine computes; tables are turned into others only when they are put together.
ENGINE: Final[System] = "us"
# Column, unit word ("" for text), and where it comes from; the same in every table, so that tables can be joined.
_JOB_COLUMNS: Final = ("workbook", "book_id", "job_number", "job_name", "status")
TABLES: Final[dict[str, tuple[tuple[str, str], ...]]] = {
    "jobs": (
        ("price", "money"), ("cost", "money"), ("hours_estimated", "hour"), ("hours_actual", "hour"),
        ("hours_variance", "hour"), ("labour_variance", "money"), ("materials_variance", "money"),
        ("bags_needed", "bag"), ("bags_used", "bag"), ("area_done", "area"), ("done_share", "share"),
        ("log_rows_wrong", "count"),
    ),
    "hours": (
        ("task", ""), ("estimated", "hour"), ("actual", "hour"), ("variance", "hour"),
        ("efficiency_variance", "money"), ("rate_variance", "money"), ("account", ""),
    ),
    "materials": (
        ("product", ""), ("needed", "package"), ("bought", "package"), ("used", "package"),
        ("variance", "package"), ("price_variance", "money"), ("quantity_variance", "money"), ("account", ""),
    ),
    "toppings": (
        ("system", ""), ("area_done", "area"), ("bags_used", "bag"), ("thickness_planned", "depth"),
        ("thickness_laid", "depth"), ("depth_planned_with_waste", "depth"), ("depth_used", "depth"),
    ),
}  # fmt: skip


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


@attrs.frozen
class Figures:
    """What one job adds to the tables, read from its book or from a ledger.

    Parameters
    ----------
    system : {'us', 'metric'}
        Units of its book.
    tables : mapping of str to tuple of dict
        Its rows by table, in the engine's own units; the table ``jobs`` has one.
    """

    system: System
    tables: Mapping[str, tuple[Row, ...]] = attrs.field(repr=False)

    @property
    def head(self) -> Row:
        """The row of the table ``jobs``."""
        return self.tables["jobs"][0]


def columns(table: str) -> tuple[str, ...]:
    """Return the columns of a table, in order."""
    return (*_JOB_COLUMNS, *(name for name, _ in TABLES[table]))


def in_units(table: str, row: Row, system: System) -> Row:
    """Return a row of a table, taken from the engine's units to those of a system; a column that it lacks is not known."""
    names = columns(table)
    if system == ENGINE and tuple(row) == names:
        return row  # itself, not a copy: the rows of a thousand books are held once
    measures = {name: measure for name, measure in TABLES[table] if measure}
    return {
        name: units.convert(row[name], measures[name], ENGINE, system)
        if name in measures and isinstance(row.get(name), float)
        else row.get(name)
        for name in names
    }


def figures_of(book: Read) -> Figures:
    """Return what a book adds to the tables."""
    return Figures(book.job.system, {name: tuple(rows) for name, rows in _rows(book)})


def _rows(book: Read) -> Iterator[tuple[str, list[Row]]]:
    values, job = book.values, book.job
    head = {
        "workbook": book.filled.name, "book_id": book.filled.stamp.book_id, "job_number": job.job.number,
        "job_name": job.job.name, "status": job.job.status,
    }  # fmt: skip

    def figures(sources: Mapping[str, str], record: int) -> Row:
        return {column: _at(values, source, record) for column, source in sources.items()}

    total = {
        "price": values.scalar("price.total", "accepted"),
        "cost": values.scalar("price.cost", "accepted"),
        **{
            name: values.scalar(f"compare.{name}")
            for name in ("hours_estimated", "hours_actual", "hours_variance", "labour_variance", "materials_variance",
                         "bags_needed", "bags_used", "area_done", "done_share")
        },
        "log_rows_wrong": values.scalar("compare.log_faults"),
    }  # fmt: skip
    # Nothing logged is not known, not zero.
    if not any(values.column("tasks.logged")):
        total["hours_actual"] = None
    if not any(values.column("products.logged")):
        total["bags_used"] = None
    yield "jobs", [{**head, **total}]
    yield "hours", [
        {**head, "task": task.name, **figures(_HOURS, record), "account": task.account}
        for record, task in enumerate(job.tasks)
        if task.name is not None
    ]
    yield "materials", [
        {**head, "product": product.name, **figures(_MATERIALS, record), "account": product.account}
        for record, product in enumerate(job.products)
        if product.name is not None and (_at(values, "needs.need", record) or _at(values, "products.logged", record))
    ]
    yield "toppings", [
        {**head, "system": system.name, **figures(_TOPPINGS, record)}
        for record, system in enumerate(job.systems)
        if system.name is not None and _at(values, "topping.area", record)
    ]


_HOURS: Final = {
    "estimated": "labour.hours", "actual": "tasks.actual", "variance": "tasks.variance",
    "efficiency_variance": "tasks.efficiency", "rate_variance": "tasks.rate_variance",
}  # fmt: skip
_MATERIALS: Final = {
    "needed": "products.needed_done", "bought": "products.bought", "used": "products.used", "variance": "products.variance",
    "price_variance": "products.price_variance", "quantity_variance": "products.quantity_variance",
}  # fmt: skip
_TOPPINGS: Final = {
    "area_done": "systems.area_done", "bags_used": "systems.used_bags", "thickness_planned": "systems.depth_planned",
    "thickness_laid": "systems.laid", "depth_planned_with_waste": "systems.depth_used_planned",
    "depth_used": "systems.depth_used",
}  # fmt: skip


def _at(values: Values, name: str, record: int) -> Any:
    held = values[name]
    return values.column(name, "accepted" if isinstance(held, dict) else None)[record]
