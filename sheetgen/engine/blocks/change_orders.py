"""Log: the change orders, and what those that were accepted add to the bid."""
# ruff: noqa: RUF009 - figure() returns an attrs field, which is no default that records would share

from __future__ import annotations

import math
from typing import TYPE_CHECKING, ClassVar

import attrs

from sheetgen.engine.blocks.table import Row, first_fault, flag, table
from sheetgen.engine.missing import MISSING, cents, given, known
from sheetgen.engine.names import keys, twins
from sheetgen.engine.records import filled
from sheetgen.engine.values import figure

if TYPE_CHECKING:
    from collections.abc import Callable

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
    fault: Column = figure("no")
    faulty: Column = figure("count")
    cost: Column = figure("money")
    counted: Column = figure("count")


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
            fault = first_fault(NO_NAME * flag(holds=name is None), TWIN * flag(holds=twin > 1), NO_PRICE * flag(holds=order.price is None))
            row |= {
                "started": 1.0,
                "fault": fault,
                "faulty": flag(holds=fault > 0),
                "cost": MISSING if fault > 0 else _cost(order, mean_wage),
                "counted": flag(holds=fault == 0 and order.accepted == "yes"),
            }
        rows.append(row)
    return table(ChangeOrders, rows)


def _cost(order: ChangeOrder, mean_wage: float) -> float:
    """Return what a change order will cost; without hours it needs no wage [money]."""
    hours = given(order.hours, 0)
    labour = cents(hours * mean_wage) if hours != 0 else 0.0
    return labour + given(order.materials, 0) + given(order.other, 0)


def make_orders(job: Job, orders: ChangeOrders) -> Orders:
    """Add up the accepted change orders; one without a cost leaves the cost of all without one."""
    accepted = [row for row, counted in enumerate(orders.counted) if known(counted) and counted == 1]

    def added(amount: Callable[[ChangeOrder], float | None]) -> float:
        return math.fsum(given(amount(job.change_orders[row]), 0) for row in accepted)

    return Orders(
        hours=added(lambda order: order.hours),
        cost=math.fsum(orders.cost[row] for row in accepted),
        price=added(lambda order: order.price),
        days=added(lambda order: order.days),
        count=float(len(accepted)),
    )
