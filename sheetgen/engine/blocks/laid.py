"""What is laid: zones without a fault, what their work is counted by, and the toppings."""

from __future__ import annotations

from typing import ClassVar

import attrs

from sheetgen.engine.blocks.systems import Layers, Systems
from sheetgen.engine.blocks.zones import ZoneFigures, ZoneNames
from sheetgen.engine.inputs import Job
from sheetgen.engine.lists import BASES, LAYER_KINDS, POROSITY_FACTORS, SURFACES
from sheetgen.engine.materials import (
    bags_before_rounding,
    mixed_volume_ft3,
    need_of_basis,
    primed_area_ft2,
    whole_bags,
)
from sheetgen.engine.missing import MISSING, above_zero, given, known, value
from sheetgen.engine.totals import Column, at, per_record, totals_by_number
from sheetgen.engine.values import figure

_PRIMER_FIRST = LAYER_KINDS.index("primer_first") + 1.0
_WALL = SURFACES.index("wall") + 1.0


@attrs.frozen(kw_only=True)
class Laid:
    """The zones as they are laid; nothing of a zone with a fault."""

    block: ClassVar = "laid"
    over: ClassVar = "zones"
    scenario: ClassVar = True

    system_no: Column = figure("no")
    area: Column = figure("area")
    depth: Column = figure("depth")
    coats: Column = figure("count")
    fill: Column = figure("depth")
    mixed: Column = figure("volume")


@attrs.frozen(kw_only=True)
class Basis:
    """What doses and rates are counted by, for each zone."""

    block: ClassVar = "basis"
    over: ClassVar = "zones"
    scenario: ClassVar = True

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

    def of(self, basis_no: float) -> Column:
        """Return the column of a basis by its place in the list."""
        column: Column = getattr(self, BASES[int(basis_no) - 1])
        return column


@attrs.frozen(kw_only=True)
class LayerNeeds:
    """What each layer needs of its product."""

    block: ClassVar = "layer_needs"
    over: ClassVar = "layers"
    scenario: ClassVar = True

    covered: Column = figure("area")
    need: Column = figure("pack")


@attrs.frozen(kw_only=True)
class Topping:
    """The topping of each system."""

    block: ClassVar = "topping"
    over: ClassVar = "systems"
    scenario: ClassVar = True

    area: Column = figure("area")
    mixed: Column = figure("volume")
    bags_raw: Column = figure("bag")
    bags: Column = figure("bag")


def coats_of(job: Job, system_no: float) -> float:
    """Return the coats of a system: 1 where that is left blank, even where all of it is [count]."""
    typed = at([value(system.coats) for system in job.systems], system_no)
    return typed if known(typed) else 1.0


def make_laid(job: Job, names: ZoneNames, zones: ZoneFigures) -> Laid:
    """Lay every zone that has no fault."""
    waste = value(job.takeoff.waste)
    rows = []
    for row, zone in enumerate(job.zones):
        if zones.fault[row] != 0:
            rows.append((MISSING,) * 6)
            continue
        system_no, area, depth = names.system_no[row], zones.area[row], zones.depth[row]
        coats = coats_of(job, system_no)
        fill = given(zone.fill, 0)
        mixed = mixed_volume_ft3(area, depth, coats, fill, waste)
        rows.append((system_no, area, depth, coats, fill, mixed))
    system_nos, areas, depths, coats_laid, fills, mixeds = (
        zip(*rows, strict=True) if rows else ((),) * 6
    )
    return Laid(
        system_no=system_nos,
        area=areas,
        depth=depths,
        coats=coats_laid,
        fill=fills,
        mixed=mixeds,
    )


def make_basis(job: Job, names: ZoneNames, zones: ZoneFigures, laid: Laid) -> Basis:
    """Count what doses and rates refer to, zone by zone."""

    def sound(column: Column) -> Column:
        pairs = zip(zones.fault, column, strict=True)
        return tuple(one if fault == 0 else MISSING for fault, one in pairs)

    count = len(job.zones)
    yields = [above_zero(value(system.yield_)) for system in job.systems]
    coat_area = tuple(a * k for a, k in zip(laid.area, laid.coats, strict=True))
    wall_area = tuple(
        MISSING if not known(surface) else area if surface == _WALL else 0.0
        for surface, area in zip(names.surface_no, laid.area, strict=True)
    )
    bags = tuple(
        bags_before_rounding(mixed, bag)
        for mixed, bag in zip(laid.mixed, per_record(yields, laid.system_no), strict=True)
    )
    return Basis(
        once=sound((0.0,) * count),
        area=laid.area,
        coat_area=coat_area,
        wall_area=sound(wall_area),
        steps=sound(zones.steps),
        edge=sound(zones.edge),
        cove=sound(zones.cove),
        crack=sound(zones.crack),
        joint=sound(zones.joint),
        saw_cut=sound(zones.saw_cut),
        masking=sound(zones.masking),
        nosing=sound(zones.nosing),
        volume=laid.mixed,
        bags=bags,
        zones=sound((1.0,) * count),
    )


def make_layer_needs(job: Job, layers: Layers, names: ZoneNames, laid: Laid) -> LayerNeeds:
    """Compute what each layer covers and needs; a layer with a fault has no need."""
    factors = per_record(POROSITY_FACTORS, names.porosity_no)
    covered, needs = [], []
    for row, layer in enumerate(job.layers):
        first = layers.kind_no[row] == _PRIMER_FIRST
        coats = given(layer.coats, 1)
        per_zone = tuple(
            primed_area_ft2(area, coats, factor if first else 1.0)
            for area, factor in zip(laid.area, factors, strict=True)
        )
        sums = totals_by_number(per_zone, names.started, laid.system_no, len(job.systems))
        area = at(sums, layers.system_no[row]) if known(layers.kind_no[row]) else MISSING
        need = need_of_basis(area, layers.rate[row], given(layer.waste, 0))
        covered.append(area)
        needs.append(need if layers.fault[row] == 0 else MISSING)
    return LayerNeeds(covered=tuple(covered), need=tuple(needs))


def make_topping(job: Job, systems: Systems, names: ZoneNames, laid: Laid) -> Topping:
    """Compute the bags of each system; one that no zone uses needs none."""
    count = len(job.systems)
    areas = totals_by_number(laid.area, names.started, laid.system_no, count)
    volumes = totals_by_number(laid.mixed, names.started, laid.system_no, count)
    rows = []
    for row, system in enumerate(job.systems):
        if not known(systems.started[row]):
            rows.append((MISSING,) * 4)
            continue
        mixed = volumes[row]
        bags = bags_before_rounding(mixed, above_zero(value(system.yield_))) if mixed != 0 else 0.0
        # Bags of no product would be bags that cost nothing.
        whole = whole_bags(bags) if mixed == 0 or known(systems.product_no[row]) else MISSING
        rows.append((areas[row], mixed, bags, whole))
    area, mixed_ft3, bags_raw, bags_whole = zip(*rows, strict=True) if rows else ((),) * 4
    return Topping(area=area, mixed=mixed_ft3, bags_raw=bags_raw, bags=bags_whole)
