"""Pour plan: the zones as pours see them: how many coats they want, and which pours cover them."""
# ruff: noqa: RUF009 - figure() returns an attrs field, which is no default that records would share

from __future__ import annotations

import math
from typing import TYPE_CHECKING, ClassVar

import attrs

from sheetgen.engine.blocks.table import Row, flag, table
from sheetgen.engine.missing import MISSING, given, known
from sheetgen.engine.totals import Column, sum_known
from sheetgen.engine.values import figure

if TYPE_CHECKING:
    from sheetgen.engine.blocks.laid import Laid
    from sheetgen.engine.blocks.pour_zones import PourZones
    from sheetgen.engine.blocks.zones import ZoneNames
    from sheetgen.engine.inputs import Job


@attrs.frozen(kw_only=True)
class ZoneCoats:
    """How many coats each zone wants, and how many come before, where nobody has typed the pours."""

    block: ClassVar[str] = "zones"
    over: ClassVar[str | None] = "zones"
    scenario: ClassVar[bool] = False

    coats_planned: Column = figure("count")
    coats_before: Column = figure("count")
    coats_after: Column = figure("count")
    fill_used: Column = figure("depth")

    def zone_of(self, coat: float) -> float:
        """Return the zone that a coat falls to, counted over all zones, 0 beyond the last [no]."""
        spans = enumerate(zip(self.coats_before, self.coats_after, strict=True), start=1)
        return next((float(zone) for zone, (before, after) in spans if before < coat <= after), 0.0)


@attrs.frozen(kw_only=True)
class ZoneUses:
    """Which pours each zone stands in."""

    block: ClassVar[str] = "zones"
    over: ClassVar[str | None] = "zones"
    scenario: ClassVar[bool] = False

    uses: Column = figure("count")
    coat_sum: Column = figure("count")
    uncovered: Column = figure("count")


@attrs.frozen(kw_only=True)
class ZoneShares:
    """How many batches and pours there are to an area of each zone: a pour of several zones is shared by area."""

    block: ClassVar[str] = "zones"
    over: ClassVar[str | None] = "zones"
    scenario: ClassVar[bool] = False

    pour_faults: Column = figure("count")
    batch_density: Column = figure("batch/area")
    pour_density: Column = figure("number/area")
    area_laid: Column = figure("area")
    batches_laid: Column = figure("batch")


def make_zone_coats(job: Job, names: ZoneNames, laid: Laid) -> ZoneCoats:
    """Count the coats before each zone; a zone with a fault is not poured."""
    rows: list[Row] = []
    before = 0.0
    for zone, begun, coats in zip(job.zones, names.started, laid.coats, strict=True):
        if not known(begun):
            rows.append({})
            continue
        own = coats if known(coats) else 0.0
        after = before + own
        rows.append({"coats_planned": own, "coats_before": before, "coats_after": after, "fill_used": given(zone.fill, 0)})
        before = after
    return table(ZoneCoats, rows)


def make_zone_uses(names: ZoneNames, pours: PourZones, coats: ZoneCoats, laid: Laid) -> ZoneUses:
    """Tell which zones are not covered exactly once by each of their coats."""
    rows: list[Row] = []
    for number, begun in enumerate(names.started, start=1):
        poured = [pours.coat_no[row] for row in pours.rows_of(number)]
        if not known(begun):
            rows.append({})
            continue
        wanted, coat_sum = coats.coats_planned[number - 1], sum_known(poured)
        wrong = len(poured) != wanted or coat_sum != wanted * (wanted + 1) / 2
        uncovered = flag(holds=wrong and known(laid.coats[number - 1]))
        rows.append({"uses": float(len(poured)), "coat_sum": coat_sum, "uncovered": uncovered})
    return table(ZoneUses, rows)


def make_zone_shares(names: ZoneNames, laid: Laid, pours: PourZones, lost: Column, densities: Column, portions: Column) -> ZoneShares:
    """Share batches and pours out among the zones."""
    rows: list[Row] = []
    for number, begun in enumerate(names.started, start=1):
        if not known(begun):
            rows.append({})
            continue
        own = pours.rows_of(number)
        area, density = laid.area[number - 1], math.fsum(densities[row] for row in own)
        faults = sum_known(lost[row] for row in own)
        rows.append(
            {
                "pour_faults": faults,
                "batch_density": density,
                "pour_density": math.fsum(portions[row] for row in own),
                "area_laid": area if known(area) else 0.0,
                "batches_laid": area * density if faults == 0 else MISSING,
            }
        )
    return table(ZoneShares, rows)
