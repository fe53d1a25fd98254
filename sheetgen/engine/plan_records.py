"""Records of the pour plan's inputs: the crew, pours, visits, and what the day sheet asks for."""
# ruff: noqa: RUF009 - day() returns an attrs field, which is no default that records would share

from __future__ import annotations

from typing import TYPE_CHECKING, Final

import attrs

from sheetgen.engine.declare import choice, day, number, text
from sheetgen.engine.hands import SEPARATE

if TYPE_CHECKING:
    import datetime as dt

# Starter clock: from eight in the morning until six in the evening; common practice, no source.
STARTER_OPENS: Final = 8 / 24
STARTER_LATEST: Final = 18 / 24


@attrs.frozen(kw_only=True)
class Crew:
    """What holds for every pour that does not say otherwise, and what visits are planned by."""

    ribbon_width: float | None = number("length", 3)
    mix: float | None = number("minute", 5)
    place: float | None = number("minute", 8)
    trowel: float | None = number("minute", 10)
    second: float | None = number("minute", 9)
    mixers: float | None = number("count", 1)
    placers: float | None = number("count", 1)
    trowellers: float | None = number("count", 1)
    grouping: str | None = choice("groupings", SEPARATE)
    pace: str | None = choice("paces", "held")
    opens: float | None = number("clock", STARTER_OPENS)
    latest: float | None = number("clock", STARTER_LATEST)
    part_bags: float | None = number("bag", 0)
    border_minutes: float | None = number("minute/length", 0)
    start_date: dt.date | None = day()
    chosen_pour: float | None = number("no")
    people_prepare: float | None = number("count", 2)
    people_seal: float | None = number("count", 2)
    people_pour: float | None = number("count")
    day_hours: float | None = number("hour", 8)
    least_paid: float | None = number("hour", 4)
    first_weekday: float | None = number("count", 1)
    week_limit: float | None = number("hour", 40)
    day_limit: float | None = number("hour")
    overtime_rate: float | None = number("number", 1.5)


@attrs.frozen(kw_only=True)
class Pour:
    """A pour: a coat of one zone, or of up to three alike."""

    zone: str | None = choice("zones.name")
    zone_2: str | None = choice("zones.name")
    zone_3: str | None = choice("zones.name")
    coat: float | None = number("count")
    day: float | None = number("count")
    opens: float | None = number("clock")
    temperature: float | None = number("temperature")
    bags: float | None = number("bag/batch")
    bay_width: float | None = number("length")
    bay_length: float | None = number("length")
    ribbon_width: float | None = number("length")
    mix: float | None = number("minute")
    place: float | None = number("minute")
    trowel: float | None = number("minute")
    second: float | None = number("minute")
    mixers: float | None = number("count")
    placers: float | None = number("count")
    trowellers: float | None = number("count")
    grouping: str | None = choice("groupings")
    pace: str | None = choice("paces")
    border: float | None = number("length")


@attrs.frozen(kw_only=True)
class BatchRow:
    """A row prepared for a batch; nothing is typed in it."""


@attrs.frozen(kw_only=True)
class Visit:
    """A day or part of a day on site."""

    kind: str | None = choice("visit_kinds")
    day: float | None = number("count")
    people: float | None = number("count")
    hours: float | None = number("hour")
    overnight: str | None = choice("yes_no")
    kept: float | None = number("day")
    note: str | None = text()


@attrs.frozen(kw_only=True)
class DaySheet:
    """Which visit the day sheet is for."""

    visit: float | None = number("no", 1)


@attrs.frozen(kw_only=True)
class DayNote:
    """A line of the day sheet to write on."""

    what: str | None = text()
    value: str | None = text()
