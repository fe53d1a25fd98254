"""Log: the weather while the work is done."""
# ruff: noqa: RUF009 - figure() returns an attrs field, which is no default that records would share

from __future__ import annotations

from typing import TYPE_CHECKING, ClassVar

import attrs

from sheetgen.engine import climate
from sheetgen.engine.blocks.table import Row, table
from sheetgen.engine.blocks.weather import INSIDE, is_outside
from sheetgen.engine.lists import PLACES, number_of
from sheetgen.engine.missing import value
from sheetgen.engine.records import filled
from sheetgen.engine.values import figure

if TYPE_CHECKING:
    from sheetgen.engine.inputs import Display, Job
    from sheetgen.engine.records import WeatherEntry
    from sheetgen.engine.totals import Column

_READ = ("air", "humidity", "wind", "slab")


@attrs.frozen(kw_only=True)
class WeatherLog:
    """What each reading of the weather means; nothing of one with a value that cannot be."""

    block: ClassVar[str] = "weather_log"
    over: ClassVar[str | None] = "weather_log"
    scenario: ClassVar[bool] = False

    started: Column = figure("count")
    evaporation: Column = figure("mass/area/hour")
    above_dew: Column = figure("temperature_step")


def make_weather_log(job: Job, display: Display) -> WeatherLog:
    """Compute evaporation and dew point as the survey does; the concrete is as warm as the slab."""
    return table(WeatherLog, [_row(entry, display) if filled(entry, "place") else {} for entry in job.weather_log])


def _row(entry: WeatherEntry, display: Display) -> Row:
    if any(is_outside(entry, name, display) == 1 for name in _READ):
        return {"started": 1.0}
    air, humidity = value(entry.air), value(entry.humidity)
    slab = air if entry.slab is None else entry.slab
    inside = number_of(PLACES, entry.place, blank=INSIDE) == INSIDE
    wind = value(0.0 if entry.wind is None and inside else entry.wind)
    return {
        "started": 1.0,
        "evaporation": climate.evaporation_lb_per_ft2_h(slab, air, humidity, wind),
        "above_dew": slab - climate.dew_point_f(air, humidity),
    }
