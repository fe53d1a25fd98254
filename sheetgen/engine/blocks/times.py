"""Survey: the times of the data sheets at the temperatures of the day."""
# ruff: noqa: RUF009 - figure() returns an attrs field, which is no default that records would share

from __future__ import annotations

from typing import TYPE_CHECKING, ClassVar

import attrs

from sheetgen.engine.blocks.limits import above, shown
from sheetgen.engine.blocks.table import Row, table
from sheetgen.engine.blocks.zones import system_of
from sheetgen.engine.lists import PLACES
from sheetgen.engine.missing import MISSING, given, known, value
from sheetgen.engine.ranges import OutOfRangeError
from sheetgen.engine.temperature import kelvin, time_factor
from sheetgen.engine.totals import Column, at
from sheetgen.engine.values import figure

if TYPE_CHECKING:
    from sheetgen.engine.blocks.systems import Layers
    from sheetgen.engine.blocks.weather import WeatherFigures
    from sheetgen.engine.blocks.zones import ZoneNames
    from sheetgen.engine.inputs import Display, Job


@attrs.frozen(kw_only=True)
class Times:
    """How long a mix can be worked in each zone."""

    block: ClassVar[str] = "times"
    over: ClassVar[str | None] = "zones"
    scenario: ClassVar[bool] = False

    temperature: Column = figure("temperature")
    reference: Column = figure("temperature")
    mix_kelvin: Column = figure("kelvin")
    reference_kelvin: Column = figure("kelvin")
    q: Column = figure("kelvin")
    factor: Column = figure("number")
    sun: Column = figure("number")
    working_time: Column = figure("minute")
    open_time: Column = figure("minute")
    second_earliest: Column = figure("minute")
    second_latest: Column = figure("minute")
    trowel_limit: Column = figure("minute")


@attrs.frozen(kw_only=True)
class LayerWaits:
    """When the next layer may follow each layer, inside and outside."""

    block: ClassVar[str] = "layers"
    over: ClassVar[str | None] = "layers"
    scenario: ClassVar[bool] = False

    reference_kelvin: Column = figure("kelvin")
    factor_inside: Column = figure("number")
    factor_outside: Column = figure("number")
    wait_inside: Column = figure("hour")
    wait_outside: Column = figure("hour")
    window_inside: Column = figure("hour")
    window_outside: Column = figure("hour")


def factor_at(temperature_f: float, reference_f: float, q_kelvin: float, display: Display) -> float:
    """Compute by how much a time changes, exactly 1 where the sheet shows the reference temperature.

    Parameters
    ----------
    temperature_f, reference_f : float
        Temperature, and the one that the data sheet gives the time for; perhaps missing [°F].
    q_kelvin : float
        How strongly it changes, perhaps missing [K].
    display : Display
        How the sheet shows the temperatures.

    Returns
    -------
    float
        Factor, missing where a number is missing or out of range [-].
    """
    if not known(temperature_f + reference_f + q_kelvin):
        return MISSING
    if shown(temperature_f, "temperature", display) == shown(reference_f, "temperature", display):
        return 1.0
    return warmed_at(temperature_f, reference_f, q_kelvin)


def warmed_at(temperature_f: float, reference_f: float, q_kelvin: float) -> float:
    """Compute by how much a time changes, whatever the sheet shows.

    Parameters
    ----------
    temperature_f, reference_f : float
        Temperature, and the one that the data sheet gives the time for; perhaps missing [°F].
    q_kelvin : float
        How strongly it changes, perhaps missing [K].

    Returns
    -------
    float
        Factor, missing where a number is missing or out of range [-].
    """
    try:
        return time_factor(temperature_f, reference_f, q_kelvin)
    except (OutOfRangeError, OverflowError):
        return MISSING


def make_times(job: Job, names: ZoneNames, weather: WeatherFigures, display: Display) -> Times:
    """Scale each zone's times; the sun shortens the open time only, and what the trowel may wait for is not scaled."""
    rows: list[Row] = []
    for begun, place_no, system_no in zip(names.started, names.place_no, names.system_no, strict=True):
        if not known(begun):
            rows.append({})
            continue
        system = system_of(job, system_no)
        temperature, reference = at(weather.mix_used, place_no), value(system.reference_temperature)
        q = MISSING
        if known(temperature + reference):
            q = value(system.q_hot if above(temperature, reference, "temperature", display) else system.q_cold)
        factor = factor_at(temperature, reference, q, display)
        sunny = at(weather.sunny, place_no)
        in_sun = given(system.sun_factor, 1) if known(system_no) else MISSING
        sun = 1.0 if sunny == 0 else in_sun if sunny == 1 else MISSING
        rows.append(
            {
                "temperature": temperature,
                "reference": reference,
                "mix_kelvin": kelvin(temperature),
                "reference_kelvin": kelvin(reference),
                "q": q,
                "factor": factor,
                "sun": sun,
                "working_time": value(system.working_time) * factor,
                "open_time": value(system.open_time) * factor * sun,
                "second_earliest": value(system.second_earliest) * factor,
                "second_latest": value(system.second_latest) * factor,
                "trowel_limit": value(system.trowel_limit),
            }
        )
    return table(Times, rows)


def make_layer_waits(job: Job, layers: Layers, weather: WeatherFigures, display: Display) -> LayerWaits:
    """Scale the waits of each layer that has a Q of its own; the others stay as the data sheet prints them."""
    rows: list[Row] = []
    for layer, begun, system_no in zip(job.layers, layers.started, layers.system_no, strict=True):
        reference = value(system_of(job, system_no).reference_temperature)
        row: Row = {"reference_kelvin": kelvin(reference)}
        for place, slab_f in zip(PLACES, weather.slab_used, strict=True):
            factor = 1.0 if layer.q is None else factor_at(slab_f, reference, layer.q, display)
            row |= {
                f"factor_{place}": factor,
                f"wait_{place}": value(layer.wait) * factor,
                f"window_{place}": value(layer.window) * factor,
            }
        rows.append(row if known(begun) else {})
    return table(LayerWaits, rows)
