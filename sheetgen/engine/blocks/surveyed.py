"""Survey: all its blocks, one after the other."""

from __future__ import annotations

from typing import TYPE_CHECKING

import attrs

from sheetgen.engine.blocks.data_sheet import DataSheets, make_data_sheets
from sheetgen.engine.blocks.joints import Joints, JointSums
from sheetgen.engine.blocks.levels import Levels, make_levels
from sheetgen.engine.blocks.observed import Evidence, Observed, make_observed, make_sources
from sheetgen.engine.blocks.readings import Judges, Readings, make_readings
from sheetgen.engine.blocks.slab import Repairs, Slab, Verdicts, make_repairs, make_slab, make_verdicts
from sheetgen.engine.blocks.strength import Strength, make_strength
from sheetgen.engine.blocks.system_limits import (
    HighLimits,
    LowLimits,
    SystemLimits,
    make_high_limits,
    make_low_limits,
    make_system_limits,
)
from sheetgen.engine.blocks.times import LayerWaits, Times, make_layer_waits, make_times
from sheetgen.engine.blocks.weather import WeatherFigures, make_weather
from sheetgen.engine.blocks.zone_survey import ZoneSurvey, make_zone_survey

if TYPE_CHECKING:
    from sheetgen.engine.blocks.systems import Layers
    from sheetgen.engine.blocks.zones import ZoneFigures, ZoneNames
    from sheetgen.engine.inputs import Display, Job
    from sheetgen.engine.names import Register
    from sheetgen.engine.values import Figures


@attrs.frozen(kw_only=True)
class Surveyed:
    """What the survey comes to."""

    limits: SystemLimits
    low_limits: LowLimits
    high_limits: HighLimits
    data_sheets: DataSheets
    weather: WeatherFigures
    zone_survey: ZoneSurvey
    joints: Joints
    joint_sums: JointSums
    levels: Levels
    readings: Readings
    strength: Strength
    observed: Observed
    slab: Slab
    verdicts: Verdicts
    repairs: Repairs
    times: Times
    layer_waits: LayerWaits

    def blocks(self) -> tuple[Figures, ...]:
        """Return all blocks of figures."""
        groups: tuple[Observed | Strength, ...] = (self.observed, self.strength)
        tables = [getattr(group, one.name) for group in groups for one in attrs.fields(type(group))]
        own = [getattr(self, one.name) for one in attrs.fields(Surveyed)]
        return (*tables, *(one for one in own if one not in groups))


def make_surveyed(
    job: Job,
    *,
    zone_register: Register,
    names: ZoneNames,
    zones: ZoneFigures,
    joints: Joints,
    joint_sums: JointSums,
    layers: Layers,
    display: Display,
) -> Surveyed:
    """Judge the slab of each zone, and scale the times of the systems to the weather."""
    limits = make_system_limits(job)
    weather = make_weather(job, display)
    zone_survey = make_zone_survey(job, names, zones, weather, limits, display)
    levels = make_levels(job, zone_register, zone_survey.build, display)
    sources = make_sources(names, limits)
    judges = Judges(zone_register=zone_register, zones=names, limits=limits, sources=sources)
    readings = make_readings(job, judges, display)
    strength = make_strength(names, zone_survey, readings, display)
    evidence = Evidence(
        zones=names,
        zone_survey=zone_survey,
        readings=readings,
        strength=strength,
        joints=joint_sums,
        levels=levels,
        display=display,
    )
    observed = make_observed(job, sources, evidence)
    slab = make_slab(job, names, zones, observed)
    return Surveyed(
        limits=limits,
        low_limits=make_low_limits(limits),
        high_limits=make_high_limits(limits),
        data_sheets=make_data_sheets(job, names, display),
        weather=weather,
        zone_survey=zone_survey,
        joints=joints,
        joint_sums=joint_sums,
        levels=levels,
        readings=readings,
        strength=strength,
        observed=observed,
        slab=slab,
        verdicts=make_verdicts(names, slab),
        repairs=make_repairs(names, slab),
        times=make_times(job, names, weather, display),
        layer_waits=make_layer_waits(job, layers, weather, display),
    )
