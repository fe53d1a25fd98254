"""The inputs of the survey: one frozen class per block, as `records` describes them."""
# ruff: noqa: RUF009 - day() returns an attrs field, which is no default that records would share

from __future__ import annotations

from typing import TYPE_CHECKING

import attrs

from sheetgen.engine.declare import choice, day, number, text
from sheetgen.engine.survey import DISH_AREA_FT2

if TYPE_CHECKING:
    import datetime as dt


@attrs.frozen(kw_only=True)
class Survey:
    """What holds for the whole survey."""

    dish_area: float | None = number("area", DISH_AREA_FT2)
    dew_margin: float | None = number("temperature_step", 5)


@attrs.frozen(kw_only=True)
class Reading:
    """One reading of a test on the slab; a dish may be given by its gain and its hours."""

    zone: str | None = choice("zones.name")
    test: str | None = choice("tests")
    value: float | None = number("reading")
    grams: float | None = number("gram")
    hours: float | None = number("hour")
    mode: str | None = choice("modes")
    location: str | None = text()
    instrument: str | None = text()
    date: dt.date | None = day()
    valid_until: dt.date | None = day()
    note: str | None = text()


@attrs.frozen(kw_only=True)
class Joint:
    """A joint or crack found in the slab."""

    label: str | None = text()
    zone: str | None = choice("zones.name")
    kind: str | None = choice("joint_kinds")
    length: float | None = number("length")
    length_in: float | None = number("inch")
    how_many: float | None = number("count")
    recut: str | None = choice("yes_no")


@attrs.frozen(kw_only=True)
class Level:
    """A door or a change of level at the edge of a zone."""

    label: str | None = text()
    zone: str | None = choice("zones.name")
    kind: str | None = choice("level_kinds")
    now: float | None = number("depth")
    need: float | None = number("depth")


@attrs.frozen(kw_only=True)
class SlabCheck:
    """What was decided on one criterion of one zone."""

    reason: str | None = text()
    by: str | None = text()
    repair: str | None = choice("yes_no")


@attrs.frozen(kw_only=True)
class Weather:
    """Air, wind and temperatures of a place, inside or outside."""

    air: float | None = number("temperature")
    humidity: float | None = number("percent")
    wind: float | None = number("speed")
    slab: float | None = number("temperature")
    mix: float | None = number("temperature")
    sun: str | None = choice("yes_no")
