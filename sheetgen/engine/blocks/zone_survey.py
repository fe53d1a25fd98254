"""Survey: what each zone's slab is, how high it comes to stand, and the limits that look at it alone."""
# ruff: noqa: RUF009 - figure() returns an attrs field, which is no default that records would share

from __future__ import annotations

from typing import TYPE_CHECKING, ClassVar

import attrs

from sheetgen.engine.blocks.limits import above, below
from sheetgen.engine.blocks.table import Row, table
from sheetgen.engine.blocks.zones import ZoneFigures, ZoneNames, system_of
from sheetgen.engine.lists import DRYINGS, FINISHES, PROBE_SHARES, number_of
from sheetgen.engine.missing import given, known, value
from sheetgen.engine.slab_limits import NOT_STATED
from sheetgen.engine.survey import probe_depth_in
from sheetgen.engine.totals import Column, at
from sheetgen.engine.values import figure

if TYPE_CHECKING:
    from sheetgen.engine.blocks.system_limits import SystemLimits
    from sheetgen.engine.blocks.weather import WeatherFigures
    from sheetgen.engine.inputs import Display, Job


@attrs.frozen(kw_only=True)
class ZoneSurvey:
    """The slab of each zone."""

    block: ClassVar[str] = "zones"
    over: ClassVar[str | None] = "zones"
    scenario: ClassVar[bool] = False

    finish_no: Column = figure("no")
    drying_no: Column = figure("no")
    probe_depth: Column = figure("depth")
    surface_temperature: Column = figure("temperature")
    above_dew: Column = figure("temperature_step")
    build: Column = figure("depth")
    no_system: Column = figure("no")
    age_low: Column = figure("day")
    temperature_low: Column = figure("temperature")
    temperature_high: Column = figure("temperature")
    too_cold: Column = figure("count")
    too_hot: Column = figure("count")
    pull_low: Column = figure("reading", "pressure")


def make_zone_survey(
    job: Job, names: ZoneNames, zones: ZoneFigures, weather: WeatherFigures, limits: SystemLimits, display: Display
) -> ZoneSurvey:
    """Tell how deep to probe, how warm the slab is, and how much the topping raises the floor."""
    rows: list[Row] = []
    for row, zone in enumerate(job.zones):
        if not known(names.started[row]):
            rows.append({})
            continue
        system_no, place_no = names.system_no[row], names.place_no[row]
        drying_no = number_of(DRYINGS, zone.drying, blank=1)
        surface = given(zone.slab_temperature, at(weather.slab_used, place_no))
        coldest, hottest = at(limits.temperature_low, system_no), at(limits.temperature_high, system_no)
        rows.append(
            {
                "finish_no": number_of(FINISHES, zone.finish, blank=1),
                "drying_no": drying_no,
                "probe_depth": probe_depth_in(value(zone.slab_thickness), at(PROBE_SHARES, drying_no)),
                "surface_temperature": surface,
                "above_dew": surface - at(weather.dew_point, place_no),
                "build": zones.depth[row] * given(system_of(job, system_no).coats, 1) + given(zone.fill, 0),
                "no_system": 0.0 if known(system_no) else NOT_STATED,
                "age_low": at(limits.age_low, system_no),
                "temperature_low": coldest,
                "temperature_high": hottest,
                "too_cold": below(surface, coldest, "temperature", display),
                "too_hot": above(surface, hottest, "temperature", display),
                "pull_low": at(limits.strength_low, system_no),
            }
        )
    return table(ZoneSurvey, rows)
