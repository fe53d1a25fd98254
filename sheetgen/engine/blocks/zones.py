"""Takeoff: the zones, and the totals of what is measured."""
# ruff: noqa: RUF009 - figure() returns an attrs field, which is no default that records would share

from __future__ import annotations

from operator import add
from typing import TYPE_CHECKING, ClassVar

import attrs

from sheetgen.engine.blocks.limits import above, below, rounded, shown
from sheetgen.engine.blocks.table import Row, first_fault, flag, table
from sheetgen.engine.lists import LINEAR_KINDS, PLACES, POROSITIES, SURFACES, number_of
from sheetgen.engine.missing import MISSING, given, known, value
from sheetgen.engine.names import Register, keys, twins
from sheetgen.engine.records import ToppingSystem, any_filled, filled
from sheetgen.engine.totals import Column, Texts, counted, sum_known, total, totals_by_number
from sheetgen.engine.values import figure

if TYPE_CHECKING:
    from sheetgen.engine.blocks.areas import Areas
    from sheetgen.engine.blocks.joints import JointSums
    from sheetgen.engine.blocks.linear import Linears
    from sheetgen.engine.inputs import Display, Job

# What is typed of a zone for the takeoff, and what is seen of its slab.
_TAKEN_OFF = ("name", "surface", "place", "system", "finish", "thickness", "fill", "porosity")
_SEEN = (
    "concrete_age",
    "slab_thickness",
    "drying",
    "hollow_area",
    "moving_cracks",
    "contaminated",
    "doors",
    "slab_temperature",
)


@attrs.frozen(kw_only=True)
class ZoneNames:
    """The zones before anything is measured; their system is as typed, or as an accepted option changes it."""

    block: ClassVar[str] = "zones"
    over: ClassVar[str | None] = "zones"
    scenario: ClassVar[bool] = False

    typed_first: Column = figure("count")
    typed_seen: Column = figure("count")
    started: Column = figure("count")
    key: Texts = figure("text")
    twin: Column = figure("count")
    order: Column = figure("no")
    surface_no: Column = figure("no")
    place_no: Column = figure("no")
    porosity_no: Column = figure("no")
    typed_system_no: Column = figure("no")
    system_no: Column = figure("no")
    floor: Column = figure("count")
    wall: Column = figure("count")
    step: Column = figure("count")


@attrs.frozen(kw_only=True)
class Lone:
    """The only zone, where there is only one."""

    block: ClassVar[str] = "lone"
    over: ClassVar[str | None] = None
    scenario: ClassVar[bool] = False

    zones: float = figure("count")
    zone: float = figure("no")


@attrs.frozen(kw_only=True)
class RangeOfZones:
    """The range of the system that is typed for each zone, which options compare their thickness with."""

    block: ClassVar[str] = "zones"
    over: ClassVar[str | None] = "zones"
    scenario: ClassVar[bool] = False

    typed_least: Column = figure("depth")
    typed_most: Column = figure("depth")
    typed_target: Column = figure("depth")
    floored: Column = figure("count")
    roofed: Column = figure("count")
    typed_floor: Column = figure("depth")
    typed_roof: Column = figure("depth")


@attrs.frozen(kw_only=True)
class ZoneFigures:
    """The zones, measured."""

    block: ClassVar[str] = "zones"
    over: ClassVar[str | None] = "zones"
    scenario: ClassVar[bool] = False

    area: Column = figure("area")
    steps: Column = figure("count")
    edge: Column = figure("length")
    cove: Column = figure("length")
    crack: Column = figure("length")
    joint: Column = figure("length")
    saw_cut: Column = figure("length")
    masking: Column = figure("length")
    nosing: Column = figure("length")
    typed_depth: Column = figure("depth")
    typed_thin: Column = figure("count")
    typed_thick: Column = figure("count")
    depth: Column = figure("depth")
    least_depth: Column = figure("depth")
    most_depth: Column = figure("depth")
    too_thin: Column = figure("count")
    too_thick: Column = figure("count")
    coats_typed: Column = figure("count")
    range_fault: Column = figure("no")
    depth_fault: Column = figure("no")
    name_fault: Column = figure("no")
    typed_fault: Column = figure("no")
    thickness_fault: Column = figure("no")
    slab_fault: Column = figure("no")
    bare_fault: Column = figure("no")
    area_fault: Column = figure("no")
    fault: Column = figure("no")
    faulty: Column = figure("count")


@attrs.frozen(kw_only=True)
class Measured:
    """Totals of the takeoff."""

    block: ClassVar[str] = "measured"
    over: ClassVar[str | None] = None
    scenario: ClassVar[bool] = False

    area: float = figure("area")
    rows_area: float = figure("area")
    perimeter_known: float = figure("length")
    zones_with_fault: float = figure("count")
    rows_with_fault: float = figure("count")


def make_zone_names(job: Job, systems: Register) -> ZoneNames:
    """Match the choices of each zone; what is blank is a dense floor of system 1, where there is one."""
    first_system = 1.0 if job.systems and filled(job.systems[0]) else MISSING
    names = keys([zone.name for zone in job.zones])
    rows: list[Row] = []
    for number, (zone, name, twin) in enumerate(zip(job.zones, names, twins(names), strict=True), start=1):
        row: Row = {"key": name, "twin": twin, "typed_first": any_filled(zone, _TAKEN_OFF), "typed_seen": any_filled(zone, _SEEN)}
        if filled(zone):
            surface_no = number_of(SURFACES, zone.surface, blank=1)
            on = {code: flag(holds=surface_no == at) if known(surface_no) else MISSING for at, code in enumerate(SURFACES, 1)}
            system_no = systems.number(zone.system, blank=first_system)
            row |= on | {
                "started": 1.0,
                "order": float(number),
                "surface_no": surface_no,
                "place_no": number_of(PLACES, zone.place, blank=1),
                "porosity_no": number_of(POROSITIES, zone.porosity, blank=1),
                "typed_system_no": system_no,
                "system_no": system_no,
            }
        rows.append(row)
    return table(ZoneNames, rows)


def with_accepted(names: ZoneNames, system_no: Column) -> ZoneNames:
    """Return the zones with the systems that the accepted options give them."""
    return attrs.evolve(names, system_no=system_no)


def make_lone(names: ZoneNames) -> Lone:
    """Find the only zone."""
    begun = [number for number in names.order if known(number)]
    return Lone(zones=float(len(begun)), zone=begun[0] if len(begun) == 1 else MISSING)


def make_range_of_zones(job: Job, names: ZoneNames, display: Display) -> RangeOfZones:
    """Look the range of each zone's typed system up."""
    rows: list[Row] = []
    for begun, system_no in zip(names.started, names.typed_system_no, strict=True):
        if not known(begun):
            rows.append({})
            continue
        typed = system_of(job, system_no)
        least, most = value(typed.thickness_least), value(typed.thickness_most)
        rows.append(
            {
                "typed_least": least,
                "typed_most": most,
                "typed_target": value(typed.thickness),
                "floored": flag(holds=known(least)),
                "roofed": flag(holds=known(most)),
                "typed_floor": rounded(least, "depth", display) if known(least) else 0.0,
                "typed_roof": rounded(most, "depth", display) if known(most) else 0.0,
            }
        )
    return table(RangeOfZones, rows)


def make_zones(
    job: Job, names: ZoneNames, depths: Column, areas: Areas, linears: Linears, joints: JointSums, display: Display
) -> ZoneFigures:
    """Add up what belongs to each zone, what the survey found among it, and find its first fault.

    Its thickness is that of the accepted options; a zone must be sound both as typed and as they change it.
    """
    count = len(job.zones)
    areas_ft2 = totals_by_number(areas.area, areas.started, areas.zone_no, count)
    steps = totals_by_number(areas.step_count, areas.started, areas.zone_no, count)
    lengths = {kind: _lengths_ft(linears, float(number), count) for number, kind in enumerate(LINEAR_KINDS, start=1)}
    for kind, surveyed in (("crack", joints.crack_survey), ("joint", joints.joint_survey), ("saw_cut", joints.cut_survey)):
        lengths[kind] = tuple(map(add, lengths[kind], surveyed))
    rows: list[Row] = []
    for at, zone in enumerate(job.zones):
        if not known(names.started[at]):
            rows.append({})
            continue
        system, typed = system_of(job, names.system_no[at]), system_of(job, names.typed_system_no[at])
        depth, typed_depth = depths[at], given(zone.thickness, value(typed.thickness))
        row: Row = {kind: length[at] for kind, length in lengths.items()}
        row |= {"area": areas_ft2[at], "steps": steps[at], "depth": depth, "coats_typed": value(system.coats)}
        row |= _depth_figures(depth, system, display)
        row |= _typed_figures(names.typed_system_no[at], typed_depth, typed, row["depth_fault"], display)
        row |= _faults(names, at, areas_ft2[at], row["slab_fault"], display)
        rows.append(row)
    return table(ZoneFigures, rows)


def system_of(job: Job, system_no: float) -> ToppingSystem:
    """Return a zone's system; one that is not there says nothing."""
    there = known(system_no) and system_no <= len(job.systems)
    return job.systems[int(system_no) - 1] if there else ToppingSystem()


def _lengths_ft(linears: Linears, kind_no: float, zones: int) -> Column:
    of_kind = tuple(length if kind == kind_no else length * 0 for length, kind in zip(linears.total, linears.kind_no, strict=True))
    return totals_by_number(of_kind, linears.started, linears.zone_no, zones)


def _depth_figures(depth_in: float, system: ToppingSystem, display: Display) -> Row:
    least, most = value(system.thickness_least), value(system.thickness_most)
    thin, thick = below(depth_in, least, "depth", display), above(depth_in, most, "depth", display)
    range_fault = 5.0 * flag(holds=thin + thick > 0) if known(thin + thick) else MISSING
    return {
        "least_depth": least,
        "most_depth": most,
        "too_thin": thin,
        "too_thick": thick,
        "range_fault": range_fault,
        "depth_fault": range_fault if known(depth_in) else 4.0,
    }


def _typed_figures(system_no: float, depth_in: float, typed: ToppingSystem, accepted_fault: float, display: Display) -> Row:
    """Tell what is wrong with a zone's system and thickness: first as typed, then as the accepted options change them."""
    found = _depth_figures(depth_in, typed, display)
    beyond = found["too_thin"] + found["too_thick"]
    typed_fault = (5.0 if beyond > 0 else accepted_fault) if known(beyond) else MISSING
    thickness_fault = typed_fault if known(depth_in) else 4.0
    return {
        "typed_depth": depth_in,
        "typed_thin": found["too_thin"],
        "typed_thick": found["too_thick"],
        "typed_fault": typed_fault,
        "thickness_fault": thickness_fault,
        "slab_fault": thickness_fault if known(system_no) else 3.0,
    }


def _faults(names: ZoneNames, at: int, area_ft2: float, slab_fault: float, display: Display) -> Row:
    name_fault = 1.0 if names.key[at] is None else 2.0 if names.twin[at] > 1 else 0.0
    rounded = shown(area_ft2, "area", display)
    bare_fault = 8.0 * flag(holds=rounded == 0) if known(area_ft2) else MISSING
    area_fault = 6.0 if not known(area_ft2) else 7.0 if rounded < 0 else bare_fault
    fault = first_fault(name_fault, slab_fault, area_fault)
    return {
        "name_fault": name_fault,
        "bare_fault": bare_fault,
        "area_fault": area_fault,
        "fault": fault,
        "faulty": flag(holds=fault > 0),
    }


def make_measured(names: ZoneNames, zones: ZoneFigures, areas: Areas, linears: Linears) -> Measured:
    """Add the takeoff up."""
    return Measured(
        area=total(zones.area, names.started),
        rows_area=total(areas.area, areas.started),
        perimeter_known=sum_known(areas.added_perimeter),
        zones_with_fault=counted(zones.fault),
        rows_with_fault=counted((*areas.fault, *linears.fault)),
    )
