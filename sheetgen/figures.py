"""What jobs add to the tables: their columns, and the units in which rows stand."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, Final

import attrs

from sheetgen import units
from sheetgen.engine.work_in_progress import WorkInProgress
from sheetgen.units import System

if TYPE_CHECKING:
    from collections.abc import Mapping

Row = dict[str, Any]
# In which units the engine computes; tables are turned into others only when they are put together.
ENGINE: Final[System] = "us"
# Column, and unit word: "" for text, "date" for a day. These are the same in every table, so that tables can be joined.
COMMON: Final = (
    ("workbook", ""), ("book_id", ""), ("job_number", ""), ("job_name", ""), ("status", ""), ("finished", "count"), ("source", ""),
)  # fmt: skip
TABLES: Final[dict[str, tuple[tuple[str, str], ...]]] = {
    "jobs": (
        ("customer", ""), ("bid_date", "date"), ("decided_date", "date"), ("reason_lost", ""), ("price_bid", "money"), ("price", "money"),
        ("tax_code", ""), ("direct_bid", "money"), ("cost", "money"), ("change_price", "money"), ("budget", "money"),
        ("labour_cost", "money"), ("materials_cost", "money"), ("other_cost", "money"), ("to_go", "money"), ("hours_estimated", "hour"),
        ("hours_actual", "hour"), ("hours_variance", "hour"), ("labour_variance", "money"), ("materials_variance", "money"),
        ("other_variance", "money"), ("bags_needed", "bag"), ("bags_used", "bag"), ("area_done", "area"), ("done_share", "share"),
        ("share_own", "share"), ("billed", "money"), ("tax_billed", "money"), ("held", "money"), ("paid", "money"),
        ("unpriced", "count"), ("log_rows_wrong", "count"),
    ),
    "hours": (
        ("task", ""), ("change_order", ""), ("estimated", "hour"), ("actual", "hour"), ("variance", "hour"),
        ("efficiency_variance", "money"), ("rate_variance", "money"), ("account", ""),
    ),
    "materials": (
        ("product", ""), ("needed", "package"), ("bought", "package"), ("used", "package"), ("variance", "package"), ("paid", "money"),
        ("price_variance", "money"), ("quantity_variance", "money"), ("account", ""), ("tax_code", ""),
    ),
    "toppings": (
        ("system", ""), ("area_done", "area"), ("bags_used", "bag"), ("thickness_planned", "depth"),
        ("thickness_laid", "depth"), ("depth_planned_with_waste", "depth"), ("depth_used", "depth"),
    ),
    "other_costs": (
        ("date", "date"), ("kind", ""), ("supplier", ""), ("amount", "money"), ("tax", "money"), ("receipt", ""),
        ("change_order", ""), ("account", ""), ("tax_code", ""),
    ),
    "progress": (
        *((one.name, "share" if one.name == "share" else "money") for one in attrs.fields(WorkInProgress)),
        ("share_own", "share"), ("budget", "money"),
    ),
}  # fmt: skip
# What tells the rows of one job apart; a job has one row in the other tables.
NAMED_BY: Final = {"hours": "task", "materials": "product", "toppings": "system", "other_costs": "source"}
# Columns of the books that were not read.
UNREAD: Final = ("workbook", "what", "mend")


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


def measures(table: str) -> dict[str, str]:
    """Return the columns of a table, in order, each with its unit word."""
    return dict((*COMMON, *TABLES[table]))


def columns(table: str) -> tuple[str, ...]:
    """Return the columns of a table, in order."""
    return tuple(measures(table))


def in_units(table: str, row: Row, system: System) -> Row:
    """Return a row of a table, taken from the engine's units to those of a system; a column that it lacks is not known."""
    measured = measures(table)
    if system == ENGINE and tuple(row) == tuple(measured):
        return row  # itself, not a copy: the rows of a thousand books are held once
    return {
        name: units.convert(row[name], measure, ENGINE, system) if measure and isinstance(row.get(name), float) else row.get(name)
        for name, measure in measured.items()
    }
