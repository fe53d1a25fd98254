"""Survey: what air, wind and temperatures mean for the work, inside and outside."""
# ruff: noqa: RUF009 - figure() returns an attrs field, which is no default that records would share

from __future__ import annotations

import math
from typing import TYPE_CHECKING, ClassVar, Final

import attrs

from sheetgen.engine import climate, heat
from sheetgen.engine.blocks.limits import shown
from sheetgen.engine.blocks.table import Row, flag, table
from sheetgen.engine.missing import MISSING, sixth, value
from sheetgen.engine.temperature import celsius, kelvin
from sheetgen.engine.values import figure

if TYPE_CHECKING:
    from sheetgen.engine.inputs import Display, Job
    from sheetgen.engine.records import Weather, WeatherEntry
    from sheetgen.engine.totals import Column

INSIDE: Final = 1.0
# What may be typed: unit word and bounds.
_BOUNDS: Final[dict[str, tuple[str, tuple[float, float]]]] = {
    "air": ("temperature", climate.AIR_F),
    "humidity": ("percent", climate.HUMIDITY_PERCENT),
    "wind": ("speed", climate.WIND_MPH),
    "slab": ("temperature", climate.SLAB_F),
    "mix": ("temperature", climate.MIX_F),
}


@attrs.frozen(kw_only=True)
class WeatherFigures:
    """The weather of each place; nothing of one with a value that cannot be."""

    block: ClassVar[str] = "weather"
    over: ClassVar[str | None] = "weather"
    scenario: ClassVar[bool] = False

    air_out: Column = figure("count")
    humidity_out: Column = figure("count")
    wind_out: Column = figure("count")
    slab_out: Column = figure("count")
    mix_out: Column = figure("count")
    range_fault: Column = figure("count")
    sunny: Column = figure("count")
    wind_used: Column = figure("speed")
    slab_used: Column = figure("temperature")
    mix_used: Column = figure("temperature")
    slab_kelvin: Column = figure("kelvin")
    mix_kelvin: Column = figure("kelvin")
    air_f: Column = figure("number")
    air_c: Column = figure("number")
    damp: Column = figure("number")
    mix_term: Column = figure("number")
    air_term: Column = figure("number")
    wind_term: Column = figure("number")
    evaporation_raw: Column = figure("number")
    evaporation: Column = figure("mass/area/hour")
    evaporation_low: Column = figure("mass/area/hour")
    evaporation_high: Column = figure("mass/area/hour")
    thin_no: Column = figure("no")
    fresh_no: Column = figure("no")
    evaporation_no: Column = figure("no")
    dew_term: Column = figure("number")
    dew_c: Column = figure("number")
    dew_point: Column = figure("temperature")
    dew_gap: Column = figure("temperature_step")
    dew_no: Column = figure("no")
    heat_simple: Column = figure("number")
    heat_mean: Column = figure("number")
    heat_regression: Column = figure("number")
    dry_part: Column = figure("number")
    dry_root: Column = figure("number")
    heat_dry: Column = figure("number")
    damp_part: Column = figure("number")
    heat_damp: Column = figure("number")
    heat_f: Column = figure("number")
    heat_index: Column = figure("temperature")
    heat_no: Column = figure("no")
    evaporation_warns: Column = figure("count")
    dew_warns: Column = figure("count")
    heat_warns: Column = figure("count")
    warnings: Column = figure("count")
    faulty: Column = figure("count")


def make_weather(job: Job, display: Display) -> WeatherFigures:
    """Compute what each place's weather means; the wind inside is none unless typed."""
    margin = value(job.survey.dew_margin)
    rows: list[Row] = []
    for number, typed in enumerate(job.weather, start=1):
        outside = {f"{name}_out": is_outside(typed, name, display) for name in _BOUNDS}
        range_fault = sum(outside.values())
        row = {} if range_fault > 0 else _figures(typed, margin, display, inside=number == INSIDE)
        warns = water_warnings(row) | {"heat_warns": flag(holds=row.get("heat_no", MISSING) >= heat.EXTREME_CAUTION)}
        warnings = sum(warns.values())
        rows.append(
            row
            | outside
            | warns
            | {
                "range_fault": range_fault,
                "sunny": flag(holds=typed.sun == "yes"),
                "warnings": warnings,
                "faulty": flag(holds=warnings + range_fault > 0),
            }
        )
    return table(WeatherFigures, rows)


def is_outside(typed: Weather | WeatherEntry, name: str, display: Display) -> float:
    """Return 1 where a reading lies outside its bounds, as the sheet shows both, else 0 [count]."""
    unit, bounds = _BOUNDS[name]
    here, least, most = (shown(x, unit, display) for x in (value(getattr(typed, name)), *bounds))
    return flag(holds=here < least or here > most)


def _figures(typed: Weather, margin_f: float, display: Display, *, inside: bool) -> Row:
    air, humidity = value(typed.air), value(typed.humidity)
    wind = value(0.0 if typed.wind is None and inside else typed.wind)
    slab = air if typed.slab is None else typed.slab
    mix = slab if typed.mix is None else typed.mix
    temperatures: Row = {
        "wind_used": wind,
        "slab_used": slab,
        "mix_used": mix,
        "slab_kelvin": kelvin(slab),
        "mix_kelvin": kelvin(mix),
        "air_f": air,
        "air_c": celsius(air),
        "damp": humidity,
    }
    evaporation = evaporation_figures(mix, air, humidity, wind, display)
    low, high = (evaporation["evaporation"] * share for share in climate.REAL_SHARES)
    evaporation |= {"mix_term": climate.pressure_term(mix), "evaporation_low": low, "evaporation_high": high}
    dew = dew_figures(air, humidity, slab, margin_f, display)
    dew["dew_gap"] = slab - dew["dew_point"]
    return temperatures | evaporation | dew | _heat(air, humidity, display)


def evaporation_figures(concrete_f: float, air_f: float, humidity: float, wind_mph: float, display: Display) -> Row:
    """Return how fast a surface dries, and what that means."""

    def shown_rate(rate: float) -> float:
        return display(rate, "mass/area/hour")

    signed = climate.evaporation_signed_lb_per_ft2_h(concrete_f, air_f, humidity, wind_mph)
    rate = climate.evaporation_lb_per_ft2_h(concrete_f, air_f, humidity, wind_mph)
    here = shown_rate(rate)
    thin_alarm, alarm = shown_rate(climate.THIN_ALARM_LB_PER_FT2_H), shown_rate(climate.ALARM_LB_PER_FT2_H)
    return {
        "air_term": climate.pressure_term(air_f) * humidity / 100,
        "wind_term": climate.wind_term(wind_mph),
        "evaporation_raw": signed,
        "evaporation": rate,
        "thin_no": climate.evaporation_no(here, thin_alarm, math.inf, condensing=False),
        "fresh_no": climate.evaporation_no(here, thin_alarm, alarm, condensing=False),
        "evaporation_no": climate.evaporation_no(here, thin_alarm, alarm, condensing=sixth(signed) < 0),
    }


def dew_figures(air_f: float, humidity: float, slab_f: float, margin_f: float, display: Display) -> Row:
    """Return the dew point, and whether the slab is near it."""
    dew_point = climate.dew_point_f(air_f, humidity)
    gap = slab_f - dew_point
    return {
        "dew_term": climate.vapour_term(celsius(air_f), humidity),
        "dew_c": celsius(dew_point),
        "dew_point": dew_point,
        "dew_no": climate.dew_no(display(gap, "temperature_step"), display(margin_f, "temperature_step")),
    }


def _heat(air_f: float, humidity: float, display: Display) -> Row:
    index = heat.heat_index_f(air_f, humidity)
    bands = tuple(display(begins, "temperature") for begins in heat.HEAT_BANDS_F)
    return {
        "heat_simple": heat.simple_heat_f(air_f, humidity),
        "heat_mean": heat.mean_heat_f(air_f, humidity),
        "heat_regression": heat.regression_f(air_f, humidity),
        "dry_part": heat.dry_part(humidity),
        "dry_root": heat.dry_root(air_f),
        "heat_dry": heat.dry_adjustment_f(air_f, humidity),
        "damp_part": heat.damp_part(air_f, humidity),
        "heat_damp": heat.damp_adjustment_f(air_f, humidity),
        "heat_f": index,
        "heat_index": index,
        "heat_no": heat.heat_no(display(index, "temperature"), bands),
    }


def water_warnings(row: Row) -> Row:
    """Tell what of evaporation and dew is known to be a warning."""
    return {
        "evaporation_warns": flag(holds=row.get("evaporation_no", MISSING) >= climate.HIGH_FOR_THIN),
        "dew_warns": flag(holds=row.get("dew_no", MISSING) == climate.CLOSE),
    }
