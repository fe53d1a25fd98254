"""Log: all its blocks, one after the other."""

from __future__ import annotations

from typing import TYPE_CHECKING

import attrs

from sheetgen.engine.blocks.bills import Bills, Money, make_bills, make_money
from sheetgen.engine.blocks.change_orders import ChangeOrders, Orders, make_change_orders, make_orders
from sheetgen.engine.blocks.costs_log import CostsLog, make_costs_log
from sheetgen.engine.blocks.hours import HoursLog, Matching, make_hours_log
from sheetgen.engine.blocks.materials_log import MaterialsLog, make_materials_log
from sheetgen.engine.blocks.weather_log import WeatherLog, make_weather_log

if TYPE_CHECKING:
    from sheetgen.engine.inputs import Display, Job
    from sheetgen.engine.names import Register
    from sheetgen.engine.values import Figures


@attrs.frozen(kw_only=True)
class Logs:
    """What was written down while the job ran."""

    hours: HoursLog
    materials: MaterialsLog
    costs: CostsLog
    change_orders: ChangeOrders
    orders: Orders
    bills: Bills
    money: Money
    weather: WeatherLog

    def blocks(self) -> tuple[Figures, ...]:
        """Return all blocks of figures."""
        return tuple(getattr(self, one.name) for one in attrs.fields(Logs))


def make_logs(job: Job, product_register: Register, to: Matching, mean_wage: float, display: Display) -> Logs:
    """Match and check every log, and cost the change orders at the mean wage of the tasks."""
    change_orders = make_change_orders(job, mean_wage)
    bills = make_bills(job)
    return Logs(
        hours=make_hours_log(job, to),
        materials=make_materials_log(job, product_register, to.order_register),
        costs=make_costs_log(job, to.order_register),
        change_orders=change_orders,
        orders=make_orders(change_orders),
        bills=bills,
        money=make_money(bills),
        weather=make_weather_log(job, display),
    )
