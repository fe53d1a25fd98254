"""Pour plan: how long things may take at the temperature of each pour."""
# ruff: noqa: RUF009 - figure() returns an attrs field, which is no default that records would share

from __future__ import annotations

from typing import TYPE_CHECKING, ClassVar

import attrs

from sheetgen.engine.blocks.limits import above, shown
from sheetgen.engine.blocks.table import Row, flag, table
from sheetgen.engine.blocks.times import warmed_at
from sheetgen.engine.blocks.zones import system_of
from sheetgen.engine.hands import cycle_min
from sheetgen.engine.missing import MISSING, given, known, sixth, value
from sheetgen.engine.pour import widest_bay_ft
from sheetgen.engine.pour_checks import window_closes
from sheetgen.engine.totals import Column, at
from sheetgen.engine.values import figure

if TYPE_CHECKING:
    from sheetgen.engine.blocks.pour_hands import PourHands
    from sheetgen.engine.blocks.pour_sizes import PourSizes
    from sheetgen.engine.blocks.pour_zones import PourZones
    from sheetgen.engine.blocks.times import Times
    from sheetgen.engine.inputs import Display, Job
    from sheetgen.engine.records import Pour, ToppingSystem


@attrs.frozen(kw_only=True)
class PourLimits:
    """The data sheet's times, as warm as the pour is, and what follows from them before the clock."""

    block: ClassVar[str] = "pours"
    over: ClassVar[str | None] = "pours"
    scenario: ClassVar[bool] = False

    zone_temperature: Column = figure("temperature")
    reference: Column = figure("temperature")
    temperature_used: Column = figure("temperature")
    q_used: Column = figure("kelvin")
    warmed: Column = figure("number")
    sun: Column = figure("number")
    sheet_mixing: Column = figure("minute")
    factor: Column = figure("number")
    working_limit: Column = figure("minute")
    trowel_limit: Column = figure("minute")
    open_limit: Column = figure("minute")
    earliest: Column = figure("minute")
    latest: Column = figure("minute")
    cycle: Column = figure("minute")
    widest_bay: Column = figure("length")
    border_time: Column = figure("minute")
    window: Column = figure("count")
    mixing_short: Column = figure("count")


def make_pour_limits(job: Job, pours: PourZones, hands: PourHands, sizes: PourSizes, times: Times, display: Display) -> PourLimits:
    """Scale the times of each pour; a pour with a fault has none but its temperatures."""
    rows: list[Row] = []
    for row, pour in enumerate(job.pours):
        if not known(pours.started[row]):
            rows.append({})
            continue
        system = system_of(job, pours.system_no[row])
        warm = _warm(pour, system, at(times.temperature, pours.zone_no[row]), display)
        warm |= {"sun": at(times.sun, pours.zone_no[row]), "sheet_mixing": value(system.mixing_minutes)}
        if known(sizes.batches[row]):
            limits = _limits(system, warm, _factor(warm, display))
            warm |= limits | _lengths(job, row, hands, sizes, limits)
            warm["mixing_short"] = _mixing_short(warm["sheet_mixing"], hands.mix_used[row])
        rows.append(warm)
    return table(PourLimits, rows)


def _warm(pour: Pour, system: ToppingSystem, of_zone: float, display: Display) -> Row:
    """Return how warm the pour is, and by how much that changes a time."""
    reference = value(system.reference_temperature)
    used = given(pour.temperature, of_zone if known(of_zone) else reference)
    q = MISSING
    if known(used + reference):
        q = value(system.q_hot if above(used, reference, "temperature", display) else system.q_cold)
    return {
        "zone_temperature": of_zone,
        "reference": reference,
        "temperature_used": used,
        "q_used": q,
        "warmed": warmed_at(used, reference, q),
    }


def _factor(warm: Row, display: Display) -> float:
    """Return the factor of the day: 1 where nothing is known of temperatures, or it is as warm as on the data sheet [-]."""
    used = warm["temperature_used"]
    if not known(used) or shown(used, "temperature", display) == shown(warm["reference"], "temperature", display):
        return 1.0
    factor: float = warm["warmed"]
    return factor


def _limits(system: ToppingSystem, warm: Row, factor: float) -> Row:
    return {
        "factor": factor,
        "working_limit": value(system.working_time) * factor,
        "trowel_limit": value(system.trowel_limit),
        "open_limit": value(system.open_time) * factor * warm["sun"],
        "earliest": value(system.second_earliest) * factor,
        "latest": value(system.second_latest) * factor,
    }


def _lengths(job: Job, row: int, hands: PourHands, sizes: PourSizes, limits: Row) -> Row:
    crew, minutes = hands.hands_at(row), hands.minutes_at(row)
    known_work = crew is not None and known(minutes.mix + minutes.place + minutes.trowel)
    cycle = sixth(cycle_min(minutes, crew)) if crew is not None and known_work else MISSING
    return {
        "cycle": cycle,
        "widest_bay": widest_bay_ft(sizes.width[row], limits["open_limit"], cycle),
        "border_time": given(job.pours[row].border, 0) * value(job.crew.border_minutes),
        "window": window_closes(hands.second_used[row], limits["earliest"], limits["latest"]),
    }


def _mixing_short(asked_min: float, mix_min: float) -> float:
    """Tell whether a batch is mixed for less time than the data sheet asks, if it asks for any [count]."""
    if not known(asked_min):
        return 0.0
    return flag(holds=sixth(mix_min) < sixth(asked_min)) if known(mix_min) else MISSING
