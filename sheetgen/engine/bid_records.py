"""The inputs of what the customer is offered: one frozen class per block, as `records` describes them."""
# ruff: noqa: RUF009 - day() returns an attrs field, which is no default that records would share

from __future__ import annotations

from typing import TYPE_CHECKING

import attrs

from sheetgen.engine.declare import choice, day, number, text

if TYPE_CHECKING:
    import datetime as dt


@attrs.frozen(kw_only=True)
class Option:
    """Something that the customer may choose: another system, thickness, colour or sealer, more or less area."""

    name: str | None = text()
    zone: str | None = choice("zones.name")
    system: str | None = choice("systems.name")
    thickness: float | None = number("depth")
    colour: str | None = choice("products.name")
    colour_coverage: float | None = number("area/pack")
    sealer: str | None = choice("products.name")
    sealer_coverage: float | None = number("area/pack")
    extra_area: float | None = number("area")
    fixed: float | None = number("money")
    accepted: str | None = choice("yes_no")
    note: str | None = text()


@attrs.frozen(kw_only=True)
class WhatIf:
    """By how much the bid may be off."""

    waste_step: float | None = number("share", 0.05)
    difficulty_step: float | None = number("share", 0.15)
    thickness_step: float | None = number("share", 0.15)


@attrs.frozen(kw_only=True)
class FixedBase:
    """The price that was given to the customer."""

    base_fixed: float | None = number("money")


@attrs.frozen(kw_only=True)
class PaymentTerms:
    """What the customer holds back, and how long the price is good for."""

    retainage: float | None = number("share", 0)
    valid_days: float | None = number("day", 30)


@attrs.frozen(kw_only=True)
class Payment:
    """A payment step: a share of the price or an amount; the last takes what is left."""

    name: str | None = text()
    share: float | None = number("share")
    amount: float | None = number("money")
    due: str | None = text()


@attrs.frozen(kw_only=True)
class Firm:
    """Who offers."""

    name: str | None = text()
    address_1: str | None = text()
    address_2: str | None = text()
    phone: str | None = text()
    email: str | None = text()
    web: str | None = text()
    licence: str | None = text()
    insurance: str | None = text()
    tax_number: str | None = text()


@attrs.frozen(kw_only=True)
class StandingText:
    """A paragraph that stands on every proposal."""

    kind: str | None = choice("text_kinds")
    text: str | None = text()


@attrs.frozen(kw_only=True)
class Proposal:
    """What is written on one proposal."""

    date: dt.date | None = day()
    number: str | None = text()
    contact: str | None = text()
    intro: str | None = text()
    start_text: str | None = text()
    duration_text: str | None = text()


@attrs.frozen(kw_only=True)
class BuyList:
    """How long before the first visit the goods are there."""

    lead_days: float | None = number("day", 5)


@attrs.frozen(kw_only=True)
class ListRow:
    """A row prepared for a list that fills itself; nothing is typed in it."""
