"""Survey: what was seen of each criterion in each zone, and by which limit it is judged."""
# ruff: noqa: RUF009 - figure() returns an attrs field, which is no default that records would share

from __future__ import annotations

from typing import TYPE_CHECKING, ClassVar

import attrs

from sheetgen.engine.blocks.limits import below
from sheetgen.engine.blocks.table import Row, flag, table
from sheetgen.engine.climate import CLOSE, dew_no
from sheetgen.engine.lists import CRITERIA, TESTS
from sheetgen.engine.missing import known, value
from sheetgen.engine.totals import Column
from sheetgen.engine.values import figure

if TYPE_CHECKING:
    from sheetgen.engine.blocks.joints import JointSums
    from sheetgen.engine.blocks.levels import Levels
    from sheetgen.engine.blocks.readings import Readings
    from sheetgen.engine.blocks.strength import Strength
    from sheetgen.engine.blocks.system_limits import SystemLimits
    from sheetgen.engine.blocks.zone_survey import ZoneSurvey
    from sheetgen.engine.blocks.zones import ZoneNames
    from sheetgen.engine.inputs import Display, Job
    from sheetgen.engine.records import Zone


@attrs.frozen(kw_only=True)
class ByCriterion:
    """A column for each criterion, in their order."""

    humidity: Column = figure("count")
    mver: Column = figure("count")
    plastic_sheet: Column = figure("count")
    strength: Column = figure("count")
    ph: Column = figure("count")
    absorption: Column = figure("count")
    profile: Column = figure("count")
    hollow: Column = figure("count")
    cracks: Column = figure("count")
    contamination: Column = figure("count")
    age: Column = figure("count")
    temperature: Column = figure("count")
    dew: Column = figure("count")
    level: Column = figure("count")

    def of(self, criterion: str) -> Column:
        """Return the column of a criterion [count]."""
        column: Column = getattr(self, criterion)
        return column


@attrs.frozen(kw_only=True)
class ObservedCount(ByCriterion):
    """How much was seen of each criterion."""

    block: ClassVar[str] = "observed_count"
    over: ClassVar[str | None] = "zones"
    scenario: ClassVar[bool] = False


@attrs.frozen(kw_only=True)
class ObservedBad(ByCriterion):
    """How much of it says no."""

    block: ClassVar[str] = "observed_bad"
    over: ClassVar[str | None] = "zones"
    scenario: ClassVar[bool] = False


@attrs.frozen(kw_only=True)
class ObservedSource(ByCriterion):
    """Where the limit of each criterion comes from."""

    block: ClassVar[str] = "observed_source"
    over: ClassVar[str | None] = "zones"
    scenario: ClassVar[bool] = False


@attrs.frozen(kw_only=True)
class Evidence:
    """All that the survey found.

    Parameters
    ----------
    zones, zone_survey, readings, strength, joints, levels
        Figures of those blocks.
    display
        How the sheet shows what is compared.
    """

    zones: ZoneNames
    zone_survey: ZoneSurvey
    readings: Readings
    strength: Strength
    joints: JointSums
    levels: Levels
    display: Display


@attrs.frozen(kw_only=True)
class Observed:
    """What was seen, how much of it says no, and by which limit: a table each."""

    count: ObservedCount
    bad: ObservedBad
    source: ObservedSource


# How much was seen, and how much of it says no.
_Seen = tuple[float, float]


def make_sources(zones: ZoneNames, limits: SystemLimits) -> ObservedSource:
    """Tell for each zone where the limit of every criterion comes from."""
    rows: list[Row] = []
    for begun, system_no in zip(zones.started, zones.system_no, strict=True):
        here = {criterion: limits.of(criterion, system_no).source_no for criterion in CRITERIA}
        rows.append(here if known(begun) else {})
    return table(ObservedSource, rows)


def make_observed(job: Job, source: ObservedSource, found: Evidence) -> Observed:
    """Gather what was seen of every criterion, zone by zone."""
    counts: list[Row] = []
    bads: list[Row] = []
    for row, zone in enumerate(job.zones):
        seen: dict[str, _Seen] = {}
        if known(found.zones.started[row]):
            seen = _tested(found, row) | _looked_at(job, zone, row, found)
        counts.append({criterion: count for criterion, (count, _) in seen.items()})
        bads.append({criterion: bad for criterion, (_, bad) in seen.items()})
    return Observed(count=table(ObservedCount, counts), bad=table(ObservedBad, bads), source=source)


def _tested(found: Evidence, row: int) -> dict[str, _Seen]:
    """Return what was seen of the criteria that are read by a test; strength is judged by its means."""
    counts, beyonds = dict.fromkeys(TESTS, 0.0), dict.fromkeys(TESTS, 0.0)
    on = found.readings
    for zone_no, test_no, judged, beyond in zip(on.zone_no, on.test_no, on.judged, on.beyond, strict=True):
        if zone_no == row + 1 and known(test_no):
            test = TESTS[int(test_no) - 1]
            counts[test] += judged
            beyonds[test] += beyond
    beyonds["strength"] = found.strength.below.modes_below(row)
    return {test: (counts[test], beyonds[test]) for test in TESTS}


def _looked_at(job: Job, zone: Zone, row: int, found: Evidence) -> dict[str, _Seen]:
    """Return what was seen of the criteria that are told by looking, or by what is known of the slab."""
    slab = found.zone_survey
    moving = found.joints.moving[row]
    return {
        "hollow": (flag(holds=zone.hollow_area is not None), flag(holds=value(zone.hollow_area) > 0)),
        "cracks": (flag(holds=zone.moving_cracks is not None or moving > 0), flag(holds=zone.moving_cracks == "yes" or moving > 0)),
        "contamination": _contamination(zone),
        "age": _age(value(zone.concrete_age), slab.age_low[row], found.display),
        "temperature": _temperature(slab, row),
        "dew": _dew(slab.above_dew[row], value(job.survey.dew_margin), found.display),
        "level": _level(zone, found.levels, row + 1.0),
    }


def _contamination(zone: Zone) -> _Seen:
    covered = zone.finish not in {None, "bare"}
    return flag(holds=zone.contaminated is not None or covered), flag(holds=zone.contaminated == "yes" or covered)


def _age(days: float, least: float, display: Display) -> _Seen:
    return (1.0, below(days, least, "day", display)) if known(days + least) else (0.0, 0.0)


def _temperature(slab: ZoneSurvey, row: int) -> _Seen:
    limited = known(slab.temperature_low[row]) or known(slab.temperature_high[row])
    if not (limited and known(slab.surface_temperature[row])):
        return 0.0, 0.0
    return 1.0, flag(holds=slab.too_cold[row] + slab.too_hot[row] > 0)


def _dew(gap_f: float, margin_f: float, display: Display) -> _Seen:
    state = dew_no(display(gap_f, "temperature_step"), display(margin_f, "temperature_step"))
    return flag(holds=known(state)), flag(holds=state == CLOSE)


def _level(zone: Zone, levels: Levels, zone_no: float) -> _Seen:
    here = [row for row, of in enumerate(levels.zone_no) if of == zone_no]
    judged = sum(levels.judged[row] for row in here)
    return judged + flag(holds=zone.doors == "no"), float(sum(levels.to_mend[row] == 1 for row in here))
