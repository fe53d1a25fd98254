"""Systems: whether what was typed from the data sheet can be true."""
# ruff: noqa: RUF009 - figure() returns an attrs field, which is no default that records would share

from __future__ import annotations

import math
from typing import TYPE_CHECKING, ClassVar, Final

import attrs

from sheetgen.engine.blocks.limits import above, below
from sheetgen.engine.blocks.table import Row, first_fault, flag, table
from sheetgen.engine.data_sheet import DENSITY_LEAST_LB_PER_FT3, DENSITY_MOST_LB_PER_FT3, STALE_DAYS, mixed_density_lb_per_ft3
from sheetgen.engine.missing import MISSING, above_zero, given, known, value
from sheetgen.engine.records import ToppingSystem, any_filled, filled
from sheetgen.engine.slab_limits import LIMITS
from sheetgen.engine.temperature import kelvin
from sheetgen.engine.values import figure

if TYPE_CHECKING:
    import datetime as dt

    from sheetgen.engine.blocks.zones import ZoneNames
    from sheetgen.engine.inputs import Display, Job
    from sheetgen.engine.totals import Column

# What is typed of a system, part by part of the sheet.
_PARTS: Final[dict[str, tuple[str, ...]]] = {
    "typed_sheet": (
        "name",
        "grade",
        "data_sheet",
        "data_sheet_date",
        "typed_by",
        "typed_on",
        "product",
        "bag_mass",
        "yield_",
        "water_least",
        "water_most",
    ),
    "typed_depth": (
        "thickness_least",
        "thickness",
        "thickness_most",
        "coats",
        "bags_per_batch",
        "mixing_minutes",
        "working_time",
        "open_time",
    ),
    "typed_times": ("sun_factor", "trowel_limit", "second_earliest", "second_latest", "reference_temperature", "q_hot", "q_cold"),
    "typed_waits": (
        "topping_wait",
        "foot_traffic",
        "full_traffic",
        "humidity_most",
        "mver_most",
        "ph_least",
        "ph_most",
        "strength_least",
    ),
    "typed_limits": (
        "absorption_most",
        "profile_least",
        "profile_most",
        "age_least",
        "temperature_least",
        "temperature_most",
    ),
}


@attrs.frozen(kw_only=True)
class DataSheets:
    """What is doubtful in the data sheets, and how many zones rest on each."""

    block: ClassVar[str] = "systems"
    over: ClassVar[str | None] = "systems"
    scenario: ClassVar[bool] = False

    typed_sheet: Column = figure("count")
    typed_depth: Column = figure("count")
    typed_times: Column = figure("count")
    typed_waits: Column = figure("count")
    typed_limits: Column = figure("count")
    water_used: Column = figure("water/bag")
    density: Column = figure("mass/volume")
    reference_kelvin: Column = figure("kelvin")
    sun_used: Column = figure("number")
    days_old: Column = figure("day")
    density_odd: Column = figure("count")
    water_odd: Column = figure("count")
    window_odd: Column = figure("count")
    ph_odd: Column = figure("count")
    profile_odd: Column = figure("count")
    temperature_odd: Column = figure("count")
    old_doubt: Column = figure("no")
    limits_doubt: Column = figure("no")
    water_doubt: Column = figure("no")
    density_doubt: Column = figure("no")
    doubt: Column = figure("no")
    doubtful: Column = figure("count")
    used: Column = figure("count")
    doubt_counts: Column = figure("count")


def make_data_sheets(job: Job, zones: ZoneNames, display: Display) -> DataSheets:
    """Compute the density of each mix and find the first doubt; what is missing gives none."""
    rows: list[Row] = []
    for number, system in enumerate(job.systems, start=1):
        row: Row = {part: any_filled(system, names) for part, names in _PARTS.items()}
        if filled(system):
            water = value(system.water_least if system.water_most is None else system.water_most)
            density = mixed_density_lb_per_ft3(value(system.bag_mass), water, above_zero(value(system.yield_)))
            days_old = _days(system.data_sheet_date, job.job.bid_date)
            row |= _doubts(system, density, days_old, display)
            doubt = first_fault(row["density_doubt"], row["water_doubt"])
            used = float(sum(system_no == number for system_no in zones.system_no))
            row |= {
                "water_used": water,
                "density": density,
                "reference_kelvin": kelvin(value(system.reference_temperature)),
                "sun_used": given(system.sun_factor, 1),
                "days_old": days_old,
                "doubt": doubt,
                "doubtful": flag(holds=doubt > 0),
                "used": used,
                "doubt_counts": flag(holds=doubt > 0 and used > 0),
            }
        rows.append(row)
    return table(DataSheets, rows)


def _days(since: dt.date | None, until: dt.date | None) -> float:
    return MISSING if since is None or until is None else float((until - since).days)


def _doubts(system: ToppingSystem, density: float, days_old: float, display: Display) -> Row:
    """Tell what is odd, and the first doubt of each part on."""

    def crossed(least: float | None, most: float | None, unit: str) -> float:
        """Tell whether two numbers stand the wrong way round; "no limit" is no number."""
        there = least is not None and most is not None and math.isfinite(least + most)
        return above(value(least), value(most), unit, display) if there else 0.0

    row: Row = {
        "water_odd": crossed(system.water_least, system.water_most, "water/bag"),
        "window_odd": crossed(system.second_earliest, system.second_latest, "minute"),
        "ph_odd": crossed(system.ph_least, system.ph_most, LIMITS["ph"].unit),
        "profile_odd": crossed(system.profile_least, system.profile_most, LIMITS["profile"].unit),
        "temperature_odd": crossed(system.temperature_least, system.temperature_most, LIMITS["temperature"].unit),
        "density_odd": MISSING,
    }
    if known(density):
        bounds = (DENSITY_LEAST_LB_PER_FT3, DENSITY_MOST_LB_PER_FT3)
        row["density_odd"] = below(density, bounds[0], "mass/volume", display) + above(density, bounds[1], "mass/volume", display)
    limits_cross = row["ph_odd"] + row["profile_odd"] + row["temperature_odd"] > 0
    old_doubt = 5.0 * flag(holds=days_old > STALE_DAYS)
    limits_doubt = 4.0 if limits_cross else old_doubt
    return row | {
        "old_doubt": old_doubt,
        "limits_doubt": limits_doubt,
        "water_doubt": 2.0 if row["water_odd"] else 3.0 if row["window_odd"] else limits_doubt,
        "density_doubt": flag(holds=row["density_odd"] == 1),
    }
