"""The inputs of the systems: one frozen class per block, as `records` describes them."""
# ruff: noqa: RUF009 - day() returns an attrs field, which is no default that records would share

from __future__ import annotations

from typing import TYPE_CHECKING

import attrs

from sheetgen.engine.declare import choice, day, number, text

if TYPE_CHECKING:
    import datetime as dt


@attrs.frozen(kw_only=True)
class ToppingSystem:
    """A topping as its maker's data sheet describes it."""

    name: str | None = text()
    grade: str | None = choice("grades")
    data_sheet: str | None = text()
    data_sheet_date: dt.date | None = day()
    typed_by: str | None = text()
    typed_on: dt.date | None = day()
    product: str | None = choice("products.name")
    bag_mass: float | None = number("mass/bag")
    yield_: float | None = number("volume/bag")
    water_least: float | None = number("water/bag")
    water_most: float | None = number("water/bag")
    thickness_least: float | None = number("depth")
    thickness: float | None = number("depth")
    thickness_most: float | None = number("depth")
    coats: float | None = number("count")
    bags_per_batch: float | None = number("bag/batch")
    mixing_minutes: float | None = number("minute")
    working_time: float | None = number("minute")
    open_time: float | None = number("minute")
    sun_factor: float | None = number("number")
    trowel_limit: float | None = number("minute")
    second_earliest: float | None = number("minute")
    second_latest: float | None = number("minute")
    reference_temperature: float | None = number("temperature")
    q_hot: float | None = number("kelvin")
    q_cold: float | None = number("kelvin")
    topping_wait: float | None = number("hour")
    foot_traffic: float | None = number("hour")
    full_traffic: float | None = number("hour")
    humidity_most: float | None = number("percent", no_limit=True)
    mver_most: float | None = number("mver", no_limit=True)
    ph_least: float | None = number("number", no_limit=True)
    ph_most: float | None = number("number", no_limit=True)
    strength_least: float | None = number("pressure", no_limit=True)
    absorption_most: float | None = number("second", no_limit=True)
    profile_least: float | None = number("number", no_limit=True)
    profile_most: float | None = number("number", no_limit=True)
    age_least: float | None = number("day", no_limit=True)
    temperature_least: float | None = number("temperature", no_limit=True)
    temperature_most: float | None = number("temperature", no_limit=True)


@attrs.frozen(kw_only=True)
class Layer:
    """A primer, colour or sealer coat of a system."""

    system: str | None = choice("systems.name")
    kind: str | None = choice("layer_kinds")
    product: str | None = choice("products.name")
    coverage: float | None = number("area/pack")
    dose: float | None = number("pack")
    per: float | None = number("area")
    coats: float | None = number("count")
    waste: float | None = number("share")
    wait: float | None = number("hour")
    window: float | None = number("hour")
    q: float | None = number("kelvin")
