"""Compare: other costs and change orders as bid against what was logged for them."""
# ruff: noqa: RUF009 - figure() returns an attrs field, which is no default that records would share

from __future__ import annotations

import math
from typing import TYPE_CHECKING, ClassVar

import attrs

from sheetgen.engine.blocks.hours import NO_ORDER
from sheetgen.engine.blocks.table import Row, table
from sheetgen.engine.lists import OTHER_KINDS
from sheetgen.engine.missing import MISSING, known
from sheetgen.engine.values import figure

if TYPE_CHECKING:
    from sheetgen.engine.blocks.logs import Logs
    from sheetgen.engine.blocks.price import Price
    from sheetgen.engine.totals import Column


@attrs.frozen(kw_only=True)
class OtherCosts:
    """Each kind of other costs: its line of the price, and what was paid."""

    block: ClassVar[str] = "other_costs"
    over: ClassVar[str | None] = "other_kinds"
    scenario: ClassVar[bool] = False

    estimated: Column = figure("money")
    from_subcontract: Column = figure("money")
    from_travel: Column = figure("money")
    from_permits: Column = figure("money")
    from_panel: Column = figure("money")
    logged: Column = figure("count")
    priced: Column = figure("count")
    actual: Column = figure("money")
    variance: Column = figure("money")


@attrs.frozen(kw_only=True)
class ComparedOrders:
    """Each change order: the hours and the cost that were logged for it."""

    block: ClassVar[str] = "change_orders"
    over: ClassVar[str | None] = "change_orders"
    scenario: ClassVar[bool] = False

    logged: Column = figure("count")
    logged_faulty: Column = figure("count")
    actual_hours: Column = figure("hour")
    hours_cost: Column = figure("money")
    bought_cost: Column = figure("money")
    material_rows: Column = figure("count")
    other_cost: Column = figure("money")
    actual_cost: Column = figure("money")
    variance: Column = figure("money")


# From which kind on a helper of the sheet repeats the estimate.
_FROM = {"from_subcontract": "subcontract", "from_travel": "travel", "from_permits": "permits", "from_panel": "sample_panel"}


def _of(number: float, figures: Column, numbers: Column) -> list[float]:
    """Return the figures of the rows that point to one record."""
    return [one for one, own in zip(figures, numbers, strict=True) if own == number]


def _known(figures: list[float]) -> list[float]:
    return [one for one in figures if known(one)]


def _added(figures: list[float]) -> float:
    """Add up what was logged; missing where nothing was, or where a row lacks its figure."""
    return math.fsum(figures) if figures else MISSING


def compare_other_costs(logs: Logs, price: Price) -> OtherCosts:
    """Compare each kind with the accepted price; what was paid for change orders is theirs."""
    as_bid = tuple(
        kind_no if order_no == NO_ORDER else MISSING for kind_no, order_no in zip(logs.costs.kind_no, logs.costs.order_no, strict=True)
    )
    rows: list[Row] = []
    for number, kind in enumerate(OTHER_KINDS, start=1):
        # No line of the price is kept for what is none of the kinds.
        estimated = 0.0 if kind == OTHER_KINDS[-1] else getattr(price, kind)
        costs = _of(number, logs.costs.cost, as_bid)
        actual = _added(costs)
        row: Row = {name: estimated if number > OTHER_KINDS.index(first) else 0.0 for name, first in _FROM.items()}
        row |= {"estimated": estimated, "logged": float(len(costs)), "priced": float(len(_known(costs)))}
        rows.append(row | {"actual": actual, "variance": actual - estimated})
    return table(OtherCosts, rows)


def compare_orders(logs: Logs) -> ComparedOrders:
    """Compare each change order with all three logs: its hours in full, its cost as far as it is known."""
    orders, by_hours = logs.change_orders, logs.hours
    rows: list[Row] = []
    for number, (begun, counted, cost) in enumerate(zip(orders.started, orders.counted, orders.cost, strict=True), start=1):
        if not known(begun):
            rows.append({})
            continue
        hours = _of(number, by_hours.hours, by_hours.order_no)
        worked, bought, other = (_known(_of(number, log.cost, log.order_no)) for log in (by_hours, logs.materials, logs.costs))
        actual = _added([*worked, *bought, *other])
        rows.append(
            {
                "logged": float(len(hours)),
                "logged_faulty": math.fsum(_of(number, by_hours.faulty, by_hours.order_no)),
                "actual_hours": _added(hours),
                "hours_cost": _added(worked),
                "bought_cost": _added(bought),
                "material_rows": float(len(bought)),
                "other_cost": _added(other),
                "actual_cost": actual,
                "variance": actual - cost if counted == 1 else MISSING,
            }
        )
    return table(ComparedOrders, rows)
