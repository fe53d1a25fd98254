"""What is laid: zones without a fault, what their work is counted by, and the toppings."""
# ruff: noqa: RUF009 - figure() returns an attrs field, which is no default that records would share

from __future__ import annotations

from typing import TYPE_CHECKING, ClassVar

import attrs

from sheetgen.engine.blocks.limits import shown
from sheetgen.engine.blocks.table import Row, flag, table
from sheetgen.engine.lists import BASES, LINEAR_KINDS, POROSITY_FACTORS, SURFACES
from sheetgen.engine.materials import bags_before_rounding, mixed_volume_ft3, primed_area_ft2
from sheetgen.engine.missing import MISSING, above_zero, given, known, ratio, value
from sheetgen.engine.totals import Column, at
from sheetgen.engine.values import figure

if TYPE_CHECKING:
    from sheetgen.engine.blocks.option_on import Scene
    from sheetgen.engine.blocks.wins import Wins
    from sheetgen.engine.blocks.zone_pours import ZoneShares
    from sheetgen.engine.blocks.zones import ZoneFigures, ZoneNames
    from sheetgen.engine.inputs import Display, Job

# What is counted for the whole job, so that no zone has any of it, and every zone is in it.
_ONCE, _VISITS = "once", "visits"
_WALL = SURFACES.index("wall") + 1.0


def column_of(basis_no: float) -> float:
    """Return the column of a basis: visits have none of their own, for the whole job counts them as it does what counts once [no]."""
    return BASES.index(_ONCE) + 1.0 if basis_no == BASES.index(_VISITS) + 1 else basis_no


@attrs.frozen(kw_only=True)
class Laid:
    """The zones as a scenario lays them; nothing of a zone with a fault."""

    block: ClassVar[str] = "laid"
    over: ClassVar[str | None] = "zones"
    scenario: ClassVar[bool] = True

    faulty: Column = figure("count")
    system_option: Column = figure("no")
    colour_option: Column = figure("no")
    sealer_option: Column = figure("no")
    system_no: Column = figure("no")
    area: Column = figure("area")
    depth: Column = figure("depth")
    coats: Column = figure("count")
    fill: Column = figure("depth")
    mixed: Column = figure("volume")
    porous: Column = figure("area")
    per_accepted: Column = figure("number")
    yield_: Column = figure("volume/bag")


@attrs.frozen(kw_only=True)
class Basis:
    """What doses and rates are counted by, for each zone."""

    block: ClassVar[str] = "basis"
    over: ClassVar[str | None] = "zones"
    scenario: ClassVar[bool] = True

    once: Column = figure("basis", "count")
    area: Column = figure("basis", "area")
    coat_area: Column = figure("basis", "area")
    wall_area: Column = figure("basis", "area")
    steps: Column = figure("basis", "count")
    edge: Column = figure("basis", "length")
    cove: Column = figure("basis", "length")
    crack: Column = figure("basis", "length")
    joint: Column = figure("basis", "length")
    saw_cut: Column = figure("basis", "length")
    masking: Column = figure("basis", "length")
    nosing: Column = figure("basis", "length")
    volume: Column = figure("basis", "volume")
    bags: Column = figure("basis", "bag")
    zones: Column = figure("basis", "count")
    hollow: Column = figure("basis", "area")
    batches: Column = figure("basis", "batch")
    pours: Column = figure("basis", "count")

    def of(self, basis_no: float) -> Column:
        """Return the column of a basis.

        Parameters
        ----------
        basis_no : float
            Place in the list of bases [no].

        Returns
        -------
        tuple of float
            One figure for each zone [unit of the basis].
        """
        column: Column = getattr(self, BASES[int(column_of(basis_no)) - 1])
        return column


@attrs.frozen(kw_only=True)
class Has:
    """Whether a zone has any of each basis; every zone has what counts once."""

    block: ClassVar[str] = "has"
    over: ClassVar[str | None] = "zones"
    scenario: ClassVar[bool] = True

    once: Column = figure("count")
    area: Column = figure("count")
    coat_area: Column = figure("count")
    wall_area: Column = figure("count")
    steps: Column = figure("count")
    edge: Column = figure("count")
    cove: Column = figure("count")
    crack: Column = figure("count")
    joint: Column = figure("count")
    saw_cut: Column = figure("count")
    masking: Column = figure("count")
    nosing: Column = figure("count")
    volume: Column = figure("count")
    bags: Column = figure("count")
    zones: Column = figure("count")
    hollow: Column = figure("count")
    batches: Column = figure("count")
    pours: Column = figure("count")

    def of(self, basis_no: float) -> Column:
        """Return the column of a basis.

        Parameters
        ----------
        basis_no : float
            Place in the list of bases [no].

        Returns
        -------
        tuple of float
            One figure for each zone [unit of the basis].
        """
        column: Column = getattr(self, BASES[int(column_of(basis_no)) - 1])
        return column


@attrs.frozen(kw_only=True)
class PlannedPours:
    """The pours of the scenario that they are planned for, which every other one follows.

    Parameters
    ----------
    laid : Laid
        The zones in that scenario.
    shares : ZoneShares
        Its batches and pours by area.
    """

    laid: Laid
    shares: ZoneShares

    def of(self, row: int) -> tuple[float, float]:
        """Return the batches and pours of a zone, missing where one of its pours has a fault [batch, count]."""
        poured = self.laid.area[row] if self.shares.pour_faults[row] == 0 else MISSING
        return self.shares.batches_laid[row], self.shares.pour_density[row] * poured


def make_laid(job: Job, names: ZoneNames, zones: ZoneFigures, wins: Wins, scene: Scene, display: Display) -> Laid:
    """Lay every zone that has no fault, as the options of a scenario have it; none where an option has a fault."""
    coats_of = [given(system.coats, 1) for system in job.systems]
    yields = [value(system.yield_) for system in job.systems]
    rows: list[Row] = []
    for row, zone in enumerate(job.zones):
        if not known(names.started[row]):
            rows.append({})
            continue
        area = zones.area[row] + wins.extra[row]
        if zones.fault[row] != 0 or scene.faults > 0 or shown(area, "area", display) <= 0:
            rows.append({"faulty": 1.0})
            continue
        system_no, depth = wins.system_no[row], wins.depth[row] * scene.depth_factor
        # A zone without a choice is of system 1, even where nothing is typed for it.
        coats = at(coats_of, system_no) if system_no <= len(job.systems) else 1.0
        fill = given(zone.fill, 0)
        factor = at(POROSITY_FACTORS, names.porosity_no[row])
        rows.append(
            {
                "faulty": 0.0,
                "system_option": wins.system[row],
                "colour_option": wins.colour[row],
                "sealer_option": wins.sealer[row],
                "system_no": system_no,
                "area": area,
                "depth": depth,
                "coats": coats,
                "fill": fill,
                "mixed": mixed_volume_ft3(area, depth, coats, fill, scene.waste),
                "porous": primed_area_ft2(area, 0, factor),
                "per_accepted": 1.0,
                "yield_": at(yields, system_no),
            }
        )
    return table(Laid, rows)


def with_shares(laid: Laid, accepted: Laid) -> Laid:
    """Return the zones with how much is mixed for each, against what the pours are planned for."""
    shares = tuple(map(ratio, laid.mixed, accepted.mixed))
    return attrs.evolve(laid, per_accepted=shares)


def make_basis(job: Job, names: ZoneNames, zones: ZoneFigures, laid: Laid, planned: PlannedPours) -> Basis:
    """Count what doses and rates refer to, zone by zone; batches follow the mixed volume from those that are planned."""
    rows: list[Row] = []
    for row in range(len(job.zones)):
        if laid.faulty[row] != 0:
            rows.append({})
            continue
        area, surface = laid.area[row], names.surface_no[row]
        batches, pours = planned.of(row)
        counts: Row = {kind: getattr(zones, kind)[row] for kind in LINEAR_KINDS}
        rows.append(
            counts
            | {
                "once": 0.0,
                "area": area,
                "coat_area": area * laid.coats[row],
                "wall_area": (area if surface == _WALL else 0.0) if known(surface) else MISSING,
                "steps": zones.steps[row],
                "volume": laid.mixed[row],
                "bags": bags_before_rounding(laid.mixed[row], above_zero(laid.yield_[row])),
                "zones": 1.0,
                "hollow": given(job.zones[row].hollow_area, 0),
                "batches": batches * laid.per_accepted[row],
                "pours": pours,
            }
        )
    return table(Basis, rows)


def make_has(basis: Basis) -> Has:
    """Tell for each zone which bases it has any of."""
    columns = {
        name: tuple(flag(holds=name == _ONCE or amount > 0) if known(amount) else MISSING for amount in getattr(basis, name))
        for name in BASES
        if name != _VISITS
    }
    return Has(**columns)
