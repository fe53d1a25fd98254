"""Random logs for random jobs: hours, materials and other costs, change orders, bills, weather and progress; some of it wrong."""

from __future__ import annotations

import datetime as dt
from random import Random
from typing import Any

import attrs

from sheetgen.engine.job import Job
from sheetgen.engine.lists import BILL_KINDS, OTHER_KINDS, PLACES, PROGRESS_WAYS
from sheetgen.engine.records import (
    Account,
    Bill,
    ChangeOrder,
    CostEntry,
    HoursEntry,
    HowFar,
    MaterialsEntry,
    PaymentTerms,
    WeatherEntry,
)
from sheetgen.units import System, convert

_ORDERS = ("CO 1", "CO 2", "=stairs*", "CO 4")


class _Logs:
    """Rolls the dice for one job."""

    def __init__(self, dice: Random, system: System, roles: list[str | None]) -> None:
        self.dice = dice
        self.system = system
        self.roles = roles
        self.orders = _ORDERS[: dice.randint(0, len(_ORDERS))]
        self.calm = dice.random() < 0.5  # nothing that a row needs is missing

    def maybe(self, value: Any, chance: float = 0.5) -> Any:
        return value if self.dice.random() < chance or (self.calm and chance > 0.85) else None

    def one_of(self, choices: Any, wrong: str) -> Any:
        """Return one of some words, seldom one that is none of them."""
        return wrong if not self.calm and self.dice.random() < 0.08 else self.dice.choice(choices)

    def money(self, least: float = 0, most: float = 900) -> float:
        return round(self.dice.uniform(least, most), 2)

    def number(self, unit: str, least: float, most: float) -> float:
        """Return a number between two in US units, in the job's own; now and then outside."""
        typed = self.dice.uniform(least, most) if self.calm or self.dice.random() > 0.04 else most * 1.5
        return round(convert(round(typed, 1), unit, "us", self.system), 3)

    def date(self) -> dt.date | None:
        return self.maybe(dt.date(2026, 3, self.dice.randint(1, 28)), 0.9)

    def order_name(self) -> str | None:
        if not self.orders and self.calm:
            return None
        return self.maybe(self.one_of((*self.orders, " co  1"), "No such order"), 0.3)

    def hours(self, entry: HoursEntry) -> HoursEntry:
        return attrs.evolve(entry, role=self.maybe(self.one_of(self.roles, "Nobody"), 0.25), change_order=self.order_name())

    def materials(self, entry: MaterialsEntry) -> MaterialsEntry:
        """Return a row of the log, a row that adds up with what is still on site, or a credit."""
        tax, order = self.maybe(self.money(0, 30), 0.4), self.order_name()
        if self.dice.random() < 0.1:
            return MaterialsEntry(date=self.date(), product=entry.product, amount=-self.money(), tax=tax, change_order=order)
        if entry.taken is None or self.dice.random() < 0.5:
            return attrs.evolve(entry, tax=tax, change_order=order, on_site=self.maybe(float(self.dice.randint(0, 3)), 0.1))
        opened = float(self.dice.randint(0, int(entry.taken)))
        returned = float(self.dice.randint(0, int(entry.taken - opened)))
        astray = 1.0 if not self.calm and self.dice.random() < 0.1 else 0.0
        on_site = entry.taken - opened - returned + astray
        return attrs.evolve(entry, tax=tax, change_order=order, opened=opened, part_left=None, returned=returned, on_site=on_site)

    def cost(self) -> CostEntry:
        return CostEntry(
            date=self.date(), kind=self.maybe(self.dice.choice(OTHER_KINDS), 0.93), supplier=self.maybe("+Sam", 0.3),
            amount=self.maybe(self.money(-100), 0.93), tax=self.maybe(self.money(0, 40), 0.4), receipt=self.maybe("R 1", 0.3),
            change_order=self.order_name(), note=self.maybe("@note", 0.2),
        )  # fmt: skip

    def change_order(self, name: str) -> ChangeOrder:
        return ChangeOrder(
            name=self.maybe(name, 0.95) if self.calm or self.dice.random() > 0.05 else _ORDERS[0], what=self.maybe("more steps", 0.3),
            date=self.date(), hours=self.maybe(round(self.dice.choice((0, self.dice.uniform(-3, 12))), 2), 0.7), materials=self.maybe(self.money()),
            other=self.maybe(self.money()), price=self.maybe(self.money(-200, 1500), 0.93), days=self.maybe(float(self.dice.randint(0, 3)), 0.3),
            accepted=self.maybe(self.dice.choice(("yes", "yes", "no")), 0.7),
        )  # fmt: skip

    def bill(self) -> Bill:
        kind, amount = self.maybe(self.dice.choice((BILL_KINDS[0], *BILL_KINDS)), 0.95), self.maybe(self.money(-50, 3000), 0.95)
        typed = self.dice.random() < 0.25 and (kind == BILL_KINDS[0] or not self.calm)
        part = self.dice.choice((0.05, 0.1, 1.0, 0.1 if self.calm else 1.2))
        return Bill(
            date=self.date(), number=self.maybe("2026-7", 0.4), kind=kind, amount=amount, tax=self.maybe(self.money(0, 200), 0.3),
            retainage=round((amount or 10.0) * part, 2) if typed else None, note=self.maybe("-first", 0.2),
        )  # fmt: skip

    def weather(self) -> WeatherEntry:
        return WeatherEntry(
            date=self.date(), time=self.maybe(round(self.dice.randint(300, 1200) / 1440, 12)), air=self.maybe(self.number("temperature", 30, 115), 0.85),
            humidity=self.maybe(self.number("percent", 5, 100), 0.85), wind=self.maybe(self.number("speed", 0, 30)),
            slab=self.maybe(self.number("temperature", 30, 120)), place=self.maybe(self.dice.choice(PLACES), 0.6), note=self.maybe("dry", 0.2),
        )  # fmt: skip


def with_logs(job: Job, dice: Random) -> Job:
    """Return a random job with random logs; sometimes with those of a book without change orders, bills or other costs."""
    if dice.random() < 0.1:
        return job
    roll = _Logs(dice, job.system, [role.name for role in job.roles])
    days = {name: roll.maybe(dt.date(2026, 2, dice.randint(1, 28)), 0.3) for name in ("sent_date", "decided_date", "finished_date")}
    return attrs.evolve(
        job,
        job=attrs.evolve(job.job, **days),
        products=tuple(attrs.evolve(one, tax_code=roll.maybe("=T", 0.2)) for one in job.products),
        policy=attrs.evolve(job.policy, tax_code=roll.maybe("N", 0.3)),
        accounts=tuple(Account(account=roll.maybe("5200", 0.3), tax_code=roll.maybe("+T", 0.3)) for _ in OTHER_KINDS),
        terms=PaymentTerms(retainage=roll.maybe(dice.choice((0.0, 0.05, 0.1, 0.075)), 0.97)),
        hours_log=tuple(roll.hours(entry) for entry in job.hours_log),
        materials_log=tuple(roll.materials(entry) for entry in job.materials_log),
        costs_log=tuple(roll.cost() for _ in range(dice.randint(0, 10))),
        change_orders=tuple(roll.change_order(name) for name in roll.orders),
        bills=tuple(roll.bill() for _ in range(dice.randint(0, 6))),
        weather_log=tuple(roll.weather() for _ in range(dice.randint(0, 5))),
        progress=HowFar(
            way=roll.maybe(dice.choice(PROGRESS_WAYS), 0.95),
            to_go_own=roll.maybe(roll.money(0, 4000), 0.35),
            planned_share=roll.maybe(dice.choice((0.0, 0.25, 0.5, 1.0)), 0.6),
        ),
    )
