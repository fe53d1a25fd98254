"""Log: the weather while the work is done."""
# ruff: noqa: RUF009 - figure() returns an attrs field, which is no default that records would share

from __future__ import annotations

from typing import TYPE_CHECKING, ClassVar

import attrs

from sheetgen.engine import climate
from sheetgen.engine.blocks.table import Row, table
from sheetgen.engine.blocks.weather import INSIDE, dew_figures, evaporation_figures, is_outside, water_warnings
from sheetgen.engine.lists import PLACES, number_of
from sheetgen.engine.missing import value
from sheetgen.engine.records import filled
from sheetgen.engine.temperature import celsius
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
    place_no: Column = figure("no")
    air_out: Column = figure("count")
    humidity_out: Column = figure("count")
    wind_out: Column = figure("count")
    slab_out: Column = figure("count")
    range_fault: Column = figure("count")
    wind_used: Column = figure("speed")
    slab_used: Column = figure("temperature")
    air_f: Column = figure("number")
    air_c: Column = figure("number")
    slab_term: Column = figure("number")
    air_term: Column = figure("number")
    wind_term: Column = figure("number")
    evaporation_raw: Column = figure("number")
    evaporation: Column = figure("mass/area/hour")
    thin_no: Column = figure("no")
    fresh_no: Column = figure("no")
    evaporation_no: Column = figure("no")
    dew_term: Column = figure("number")
    dew_c: Column = figure("number")
    dew_point: Column = figure("temperature")
    above_dew: Column = figure("temperature_step")
    dew_no: Column = figure("no")
    evaporation_warns: Column = figure("count")
    dew_warns: Column = figure("count")


def make_weather_log(job: Job, display: Display) -> WeatherLog:
    """Compute evaporation and dew point as the survey does; the concrete is as warm as the slab."""
    margin = value(job.survey.dew_margin)
    return table(WeatherLog, [_row(entry, margin, display) if filled(entry, "place") else {} for entry in job.weather_log])


def _row(entry: WeatherEntry, margin_f: float, display: Display) -> Row:
    outside = {f"{name}_out": is_outside(entry, name, display) for name in _READ}
    range_fault = sum(outside.values())
    place_no = number_of(PLACES, entry.place, blank=INSIDE)
    row = {} if range_fault > 0 else _figures(entry, margin_f, display, inside=place_no == INSIDE)
    return row | outside | water_warnings(row) | {"started": 1.0, "place_no": place_no, "range_fault": range_fault}


def _figures(entry: WeatherEntry, margin_f: float, display: Display, *, inside: bool) -> Row:
    air, humidity = value(entry.air), value(entry.humidity)
    slab = air if entry.slab is None else entry.slab
    wind = value(0.0 if entry.wind is None and inside else entry.wind)
    dew = dew_figures(air, humidity, slab, margin_f, display)
    return {
        "wind_used": wind,
        "slab_used": slab,
        "air_f": air,
        "air_c": celsius(air),
        "slab_term": climate.pressure_term(slab),
        **evaporation_figures(slab, air, humidity, wind, display),
        **dew,
        "above_dew": slab - dew["dew_point"],
    }
