"""Systems: the limits that each holds a slab to, and where they come from."""
# ruff: noqa: RUF009 - figure() returns an attrs field, which is no default that records would share

from __future__ import annotations

import math
from typing import TYPE_CHECKING, ClassVar

import attrs

from sheetgen.engine.blocks.table import Row, flag, table
from sheetgen.engine.lists import GRADES, READING_UNITS, TESTS, number_of
from sheetgen.engine.missing import MISSING, known
from sheetgen.engine.records import ToppingSystem, filled
from sheetgen.engine.slab_limits import GRADE_PROFILES, LIMITS, NOT_STATED, RULE, Limit, limit_used, source_no
from sheetgen.engine.totals import Column, at
from sheetgen.engine.values import figure

if TYPE_CHECKING:
    from sheetgen.engine.inputs import Job

# No moisture at all may show under the plastic sheet; ASTM D4263.
_PLASTIC_SHEET_MOST = 0.0
# That a grade gives a profile on both sides; which one does not matter to where the limit comes from.
_ANY_PROFILE = GRADE_PROFILES["trowel"]


@attrs.frozen(kw_only=True)
class LimitOf:
    """The limit of one criterion for one zone.

    Parameters
    ----------
    low, high : float
        Least and most, missing where there is none [unit of the criterion].
    source_no : float
        Where they come from, from the list of sources [no].
    """

    low: float = MISSING
    high: float = MISSING
    source_no: float = MISSING


@attrs.frozen(kw_only=True)
class SystemLimits:
    """What a slab must be for each system."""

    block: ClassVar[str] = "systems"
    over: ClassVar[str | None] = "systems"
    scenario: ClassVar[bool] = False

    humidity_high: Column = figure("reading", "percent")
    humidity_source: Column = figure("no")
    mver_high: Column = figure("reading", "mver")
    mver_source: Column = figure("no")
    ph_low: Column = figure("reading", "number")
    ph_high: Column = figure("reading", "number")
    ph_source: Column = figure("no")
    strength_low: Column = figure("reading", "pressure")
    strength_source: Column = figure("no")
    absorption_high: Column = figure("reading", "second")
    absorption_source: Column = figure("no")
    profile_low: Column = figure("reading", "number")
    profile_high: Column = figure("reading", "number")
    grade_no: Column = figure("no")
    profile_sides: Column = figure("count")
    profile_filled: Column = figure("count")
    profile_graded: Column = figure("no")
    profile_plain: Column = figure("no")
    profile_source: Column = figure("no")
    age_low: Column = figure("day")
    age_source: Column = figure("no")
    temperature_low: Column = figure("temperature")
    temperature_high: Column = figure("temperature")
    temperature_sides: Column = figure("count")
    temperature_source: Column = figure("no")

    def of(self, criterion: str, system_no: float) -> LimitOf:
        """Return the limit of a criterion for a system; one that is not there states nothing."""
        if criterion not in LIMITS:
            high = _PLASTIC_SHEET_MOST if criterion in TESTS else MISSING
            return LimitOf(high=high, source_no=RULE)
        source = at(getattr(self, f"{criterion}_source"), system_no)
        if not known(source):
            return LimitOf(source_no=NOT_STATED)
        low, high = (at(getattr(self, f"{criterion}_{side}", ()), system_no) for side in ("low", "high"))
        return LimitOf(low=low, high=high, source_no=source)

    def all_of(self, criterion: str) -> list[LimitOf]:
        """Return the limit of a criterion for every system; a blank column has none."""
        begun = map(known, self.humidity_source)
        return [self.of(criterion, float(number)) if here else LimitOf() for number, here in enumerate(begun, start=1)]


@attrs.frozen(kw_only=True)
class _Readings:
    """A column for each test, in their order, each in the unit of its test."""

    humidity: Column = figure("reading", READING_UNITS["humidity"])
    mver: Column = figure("reading", READING_UNITS["mver"])
    plastic_sheet: Column = figure("reading", READING_UNITS["plastic_sheet"])
    strength: Column = figure("reading", READING_UNITS["strength"])
    ph: Column = figure("reading", READING_UNITS["ph"])
    absorption: Column = figure("reading", READING_UNITS["absorption"])
    profile: Column = figure("reading", READING_UNITS["profile"])


@attrs.frozen(kw_only=True)
class LowLimits(_Readings):
    """The least of each test, by system."""

    block: ClassVar[str] = "low_limits"
    over: ClassVar[str | None] = "systems"
    scenario: ClassVar[bool] = False


@attrs.frozen(kw_only=True)
class HighLimits(_Readings):
    """The most of each test, by system."""

    block: ClassVar[str] = "high_limits"
    over: ClassVar[str | None] = "systems"
    scenario: ClassVar[bool] = False


def make_low_limits(limits: SystemLimits) -> LowLimits:
    """Gather the least of each test."""
    return LowLimits(**{test: tuple(limit.low for limit in limits.all_of(test)) for test in TESTS})


def make_high_limits(limits: SystemLimits) -> HighLimits:
    """Gather the most of each test."""
    return HighLimits(**{test: tuple(limit.high for limit in limits.all_of(test)) for test in TESTS})


def make_system_limits(job: Job) -> SystemLimits:
    """Resolve the limits of each system: as typed, else a default."""
    return table(SystemLimits, [_row(system) if filled(system) else {} for system in job.systems])


def _row(system: ToppingSystem) -> Row:
    profile = (system.profile_least, system.profile_most)
    row: Row = {
        "grade_no": number_of(GRADES, system.grade),
        "profile_sides": _count_of_numbers(*profile),
        "profile_filled": flag(holds=None not in profile),
        "temperature_sides": _count_of_numbers(system.temperature_least, system.temperature_most),
        "profile_graded": source_no(list(zip(profile, _ANY_PROFILE, strict=True))),
        "profile_plain": source_no([(typed, MISSING) for typed in profile]),
    }
    for criterion, limit in LIMITS.items():
        sides = _sides(system, criterion, limit)
        row |= {f"{criterion}_{side}": limit_used(*typed) for side, typed in sides.items()}
        row[f"{criterion}_source"] = source_no(list(sides.values()))
    return row


def _sides(system: ToppingSystem, criterion: str, limit: Limit) -> dict[str, tuple[float | None, float]]:
    """Return what is typed and the default, for each side that the limit has."""
    least, most = limit.default_least, limit.default_most
    if criterion == "profile":
        least, most = GRADE_PROFILES.get(system.grade or "", (MISSING, MISSING))
    sides = {}
    if limit.least:
        sides["low"] = (getattr(system, f"{criterion}_least"), least)
    if limit.most:
        sides["high"] = (getattr(system, f"{criterion}_most"), most)
    return sides


def _count_of_numbers(*typed: float | None) -> float:
    return float(sum(one is not None and math.isfinite(one) for one in typed))
