"""Log: the change orders, and what those that were accepted add to the bid."""
# ruff: noqa: RUF009 - figure() returns an attrs field, which is no default that records would share

from __future__ import annotations

from typing import TYPE_CHECKING, ClassVar

import attrs

from sheetgen.engine.blocks.table import Row, first_fault, flag, table
from sheetgen.engine.missing import MISSING, cents, given, value
from sheetgen.engine.names import keys, twins
from sheetgen.engine.records import filled
from sheetgen.engine.totals import total
from sheetgen.engine.values import figure

if TYPE_CHECKING:
    from sheetgen.engine.inputs import Job
    from sheetgen.engine.records import ChangeOrder
    from sheetgen.engine.totals import Column, Texts

NO_NAME, TWIN, NO_PRICE = map(float, range(1, 4))


@attrs.frozen(kw_only=True)
class ChangeOrders:
    """The change orders, checked and costed."""

    block: ClassVar[str] = "change_orders"
    over: ClassVar[str | None] = "change_orders"
    scenario: ClassVar[bool] = False

    started: Column = figure("count")
    key: Texts = figure("text")
    twin: Column = figure("count")
    price_fault: Column = figure("no")
    fault: Column = figure("no")
    faulty: Column = figure("count")
    labour: Column = figure("money")
    cost: Column = figure("money")
    accepted_flag: Column = figure("count")
    counted: Column = figure("count")
    counted_hours: Column = figure("hour")
    counted_cost: Column = figure("money")
    counted_price: Column = figure("money")
    counted_days: Column = figure("day")


@attrs.frozen(kw_only=True)
class Orders:
    """What the accepted change orders come to."""

    block: ClassVar[str] = "orders"
    over: ClassVar[str | None] = None
    scenario: ClassVar[bool] = False

    hours: float = figure("hour")
    cost: float = figure("money")
    price: float = figure("money")
    days: float = figure("day")
    count: float = figure("count")


def make_change_orders(job: Job, mean_wage: float) -> ChangeOrders:
    """Check each change order, and cost its hours at the mean wage of the tasks."""
    names = keys([order.name for order in job.change_orders])
    rows: list[Row] = []
    for order, name, twin in zip(job.change_orders, names, twins(names), strict=True):
        row: Row = {"key": name, "twin": twin}
        if filled(order):
            price_fault = NO_PRICE * flag(holds=order.price is None)
            fault = first_fault(NO_NAME * flag(holds=name is None), TWIN * flag(holds=twin > 1), price_fault)
            row |= {"started": 1.0, "price_fault": price_fault, "fault": fault, "faulty": flag(holds=fault > 0)}
            row |= _cost(order, mean_wage) if fault == 0 else {}
            row |= _counted(order, row)
        rows.append(row)
    return table(ChangeOrders, rows)


def _cost(order: ChangeOrder, mean_wage: float) -> Row:
    """Return what a change order will cost; without hours it needs no wage."""
    hours = given(order.hours, 0)
    labour = cents(hours * mean_wage) if hours != 0 else 0.0
    return {"labour": labour, "cost": labour + given(order.materials, 0) + given(order.other, 0)}


def _counted(order: ChangeOrder, row: Row) -> Row:
    """Return what a change order adds to the bid: nothing before it is accepted, or with a fault."""
    accepted = order.accepted == "yes"
    counts = accepted and row["fault"] == 0
    adds = {"hours": given(order.hours, 0), "cost": row.get("cost", MISSING), "price": value(order.price), "days": given(order.days, 0)}
    return {
        "accepted_flag": flag(holds=accepted),
        "counted": flag(holds=counts),
        **{f"counted_{name}": amount if counts else 0.0 for name, amount in adds.items()},
    }


def make_orders(orders: ChangeOrders) -> Orders:
    """Add up the accepted change orders; one without a cost leaves the cost of all without one."""

    def added(figures: Column) -> float:
        return total(figures, orders.started)

    return Orders(
        hours=added(orders.counted_hours),
        cost=added(orders.counted_cost),
        price=added(orders.counted_price),
        days=added(orders.counted_days),
        count=added(orders.counted),
    )
