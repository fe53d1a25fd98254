"""The inputs of what is written down while a job runs: one frozen class per block, as `records` describes them."""
# ruff: noqa: RUF009 - day() returns an attrs field, which is no default that records would share

from __future__ import annotations

from typing import TYPE_CHECKING

import attrs

from sheetgen.engine.declare import choice, day, number, text

if TYPE_CHECKING:
    import datetime as dt


@attrs.frozen(kw_only=True)
class HoursEntry:
    """A row of the hours log."""

    date: dt.date | None = day()
    task: str | None = choice("tasks.name")
    zone: str | None = choice("zones.name")
    person: str | None = text()
    people: float | None = number("count")
    hours_each: float | None = number("hour")
    role: str | None = choice("roles.name")
    wage: float | None = number("money/hour")
    change_order: str | None = choice("change_orders.name")
    rework: str | None = choice("yes_no")
    area_done: float | None = number("area")
    note: str | None = text()


@attrs.frozen(kw_only=True)
class MaterialsEntry:
    """A row of the materials log; a credit has a negative amount and nothing taken."""

    date: dt.date | None = day()
    product: str | None = choice("products.name")
    zone: str | None = choice("zones.name")
    taken: float | None = number("package")
    opened: float | None = number("package")
    part_left: float | None = number("package")
    returned: float | None = number("package")
    on_site: float | None = number("package")
    amount: float | None = number("money")
    tax: float | None = number("money")
    receipt: str | None = text()
    lot: str | None = text()
    change_order: str | None = choice("change_orders.name")
    note: str | None = text()


@attrs.frozen(kw_only=True)
class CostEntry:
    """A row of the log of other costs; a credit has a negative amount."""

    date: dt.date | None = day()
    kind: str | None = choice("other_kinds")
    supplier: str | None = text()
    amount: float | None = number("money")
    tax: float | None = number("money")
    receipt: str | None = text()
    change_order: str | None = choice("change_orders.name")
    note: str | None = text()


@attrs.frozen(kw_only=True)
class ChangeOrder:
    """Work that was agreed on after the bid, or was offered and not accepted."""

    name: str | None = text()
    what: str | None = text()
    date: dt.date | None = day()
    hours: float | None = number("hour")
    materials: float | None = number("money")
    other: float | None = number("money")
    price: float | None = number("money")
    days: float | None = number("day")
    accepted: str | None = choice("yes_no")


@attrs.frozen(kw_only=True)
class Bill:
    """A bill, a payment that came in, or retainage that is billed at last."""

    date: dt.date | None = day()
    kind: str | None = choice("bill_kinds")
    amount: float | None = number("money")
    tax: float | None = number("money")
    retainage: float | None = number("money")
    note: str | None = text()
    number: str | None = text()  # last, because above it the name declares numbers


@attrs.frozen(kw_only=True)
class WeatherEntry:
    """What was read of the weather at a time."""

    date: dt.date | None = day()
    time: float | None = number("clock")
    air: float | None = number("temperature")
    humidity: float | None = number("percent")
    wind: float | None = number("speed")
    slab: float | None = number("temperature")
    place: str | None = choice("places")
    note: str | None = text()


@attrs.frozen(kw_only=True)
class HowFar:
    """How it is told how far the job is, and what is still to come."""

    way: str | None = choice("progress_ways", "cost")
    to_go_own: float | None = number("money")
    planned_share: float | None = number("share")


@attrs.frozen(kw_only=True)
class Account:
    """Where a kind of other costs is posted in the accounts."""

    account: str | None = text()
    tax_code: str | None = text()
