"""Survey: pull-off strengths, averaged for each mode of failure."""
# ruff: noqa: RUF009 - figure() returns an attrs field, which is no default that records would share

from __future__ import annotations

import math
from typing import TYPE_CHECKING, ClassVar

import attrs

from sheetgen.engine.blocks.limits import below
from sheetgen.engine.blocks.table import Row, table
from sheetgen.engine.lists import MODES
from sheetgen.engine.missing import known
from sheetgen.engine.survey import mean_strength, strengths_by_mode
from sheetgen.engine.values import figure

if TYPE_CHECKING:
    from collections.abc import Callable

    from sheetgen.engine.blocks.readings import Readings
    from sheetgen.engine.blocks.zone_survey import ZoneSurvey
    from sheetgen.engine.blocks.zones import ZoneNames
    from sheetgen.engine.inputs import Display
    from sheetgen.engine.totals import Column


@attrs.frozen(kw_only=True)
class StrengthCount:
    """Readings of each mode of failure."""

    block: ClassVar[str] = "strength_count"
    over: ClassVar[str | None] = "zones"
    scenario: ClassVar[bool] = False

    concrete: Column = figure("count")
    bond: Column = figure("count")
    glue: Column = figure("count")
    mixed: Column = figure("count")


@attrs.frozen(kw_only=True)
class _InPressure:
    concrete: Column = figure("reading", "pressure")
    bond: Column = figure("reading", "pressure")
    glue: Column = figure("reading", "pressure")
    mixed: Column = figure("reading", "pressure")


@attrs.frozen(kw_only=True)
class StrengthSum(_InPressure):
    """Their sum."""

    block: ClassVar[str] = "strength_sum"
    over: ClassVar[str | None] = "zones"
    scenario: ClassVar[bool] = False


@attrs.frozen(kw_only=True)
class StrengthByMode(_InPressure):
    """Their mean."""

    block: ClassVar[str] = "strength_by_mode"
    over: ClassVar[str | None] = "zones"
    scenario: ClassVar[bool] = False


@attrs.frozen(kw_only=True)
class StrengthBelow:
    """Whether the mean is below the limit."""

    block: ClassVar[str] = "strength_below"
    over: ClassVar[str | None] = "zones"
    scenario: ClassVar[bool] = False

    concrete: Column = figure("count")
    bond: Column = figure("count")
    glue: Column = figure("count")
    mixed: Column = figure("count")

    def modes_below(self, row: int) -> float:
        """Return how many modes of a zone are too weak, by the row of the zone [count]."""
        return float(sum(getattr(self, mode)[row] for mode in MODES))


@attrs.frozen(kw_only=True)
class Strength:
    """Count, sum and mean of the strengths, and whether it is enough."""

    count: StrengthCount
    sum: StrengthSum
    mean: StrengthByMode
    below: StrengthBelow


def make_strength(zones: ZoneNames, zone_survey: ZoneSurvey, readings: Readings, display: Display) -> Strength:
    """Average the judged readings of each zone, each mode for itself, and compare the means with the limit."""
    by_zone = [_groups(readings, number) if known(begun) else () for number, begun in enumerate(zones.started, start=1)]

    def each(figure_of: Callable[[tuple[float, ...], int], float]) -> list[Row]:
        return [{mode: figure_of(group, row) for mode, group in zip(MODES, groups, strict=False)} for row, groups in enumerate(by_zone)]

    def too_weak(group: tuple[float, ...], row: int) -> float:
        return below(mean_strength(group), zone_survey.pull_low[row], "pressure", display) if group else 0.0

    return Strength(
        count=table(StrengthCount, each(lambda group, _: float(len(group)))),
        sum=table(StrengthSum, each(lambda group, _: math.fsum(group))),
        mean=table(StrengthByMode, each(lambda group, _: mean_strength(group))),
        below=table(StrengthBelow, each(too_weak)),
    )


def _groups(readings: Readings, zone_no: float) -> tuple[tuple[float, ...], ...]:
    """Return the judged strengths of a zone, a group for each mode [psi]."""
    rows = zip(readings.zone_no, readings.strength_mode, readings.strength_judged, strict=True)
    of_zone = [(strength, mode_no) for zone, mode_no, strength in rows if zone == zone_no and known(mode_no)]
    return strengths_by_mode([strength for strength, _ in of_zone], [mode_no for _, mode_no in of_zone], len(MODES))
