"""Takeoff: the zones, what is measured by length, and the totals."""

from __future__ import annotations

from typing import ClassVar

import attrs

from sheetgen.engine.blocks.areas import Areas, added_perimeter_ft, is_whole
from sheetgen.engine.inputs import Display, Job, feet
from sheetgen.engine.lists import (
    LINEAR_KINDS,
    POROSITIES,
    SURFACES,
    number_of,
)
from sheetgen.engine.missing import MISSING, given, known, sixth, value
from sheetgen.engine.names import Register, keys, twins
from sheetgen.engine.records import Zone, filled
from sheetgen.engine.totals import Column, Texts, at, counted, total, totals_by_number
from sheetgen.engine.values import figure


@attrs.frozen(kw_only=True)
class Linears:
    """What is measured by length."""

    block: ClassVar = "linear"
    over: ClassVar = "linear"
    scenario: ClassVar = False

    started: Column = figure("count")
    zone_no: Column = figure("no")
    kind_no: Column = figure("no")
    total: Column = figure("length")
    fault: Column = figure("no")


@attrs.frozen(kw_only=True)
class ZoneNames:
    """The zones before anything is measured."""

    block: ClassVar = "zones"
    over: ClassVar = "zones"
    scenario: ClassVar = False

    started: Column = figure("count")
    key: Texts = figure("text")
    twin: Column = figure("count")
    surface_no: Column = figure("no")
    porosity_no: Column = figure("no")
    system_no: Column = figure("no")


@attrs.frozen(kw_only=True)
class ZoneFigures:
    """The zones, measured."""

    block: ClassVar = "zones"
    over: ClassVar = "zones"
    scenario: ClassVar = False

    area: Column = figure("area")
    steps: Column = figure("count")
    edge: Column = figure("length")
    cove: Column = figure("length")
    crack: Column = figure("length")
    joint: Column = figure("length")
    saw_cut: Column = figure("length")
    masking: Column = figure("length")
    nosing: Column = figure("length")
    depth: Column = figure("depth")
    fault: Column = figure("no")


@attrs.frozen(kw_only=True)
class Measured:
    """Totals of the takeoff."""

    block: ClassVar = "measured"
    over: ClassVar = None
    scenario: ClassVar = False

    area: float = figure("area")
    perimeter_known: float = figure("length")
    zones_with_fault: float = figure("count")
    rows_with_fault: float = figure("count")


def make_zone_names(job: Job, systems: Register) -> ZoneNames:
    """Match the choices of each zone; what is blank is a dense floor of system 1."""
    begun = tuple(filled(zone) for zone in job.zones)

    def where(numbers: list[float]) -> Column:
        pairs = zip(begun, numbers, strict=True)
        return tuple(number if started else MISSING for started, number in pairs)

    names = keys([zone.name for zone in job.zones])
    return ZoneNames(
        started=where([1.0] * len(begun)),
        key=names,
        twin=twins(names),
        surface_no=where([number_of(SURFACES, zone.surface, blank=1) for zone in job.zones]),
        porosity_no=where([number_of(POROSITIES, zone.porosity, blank=1) for zone in job.zones]),
        system_no=where([systems.number(zone.system, blank=1) for zone in job.zones]),
    )


def make_linears(job: Job, zones: Register) -> Linears:
    """Measure each linear item."""
    started, zone_no, kind_no, totals, faults = [], [], [], [], []
    for row in job.linear:
        length = value(feet(row.length, row.length_in))
        begun = row.label is not None or known(length)
        zone = zones.number(row.zone, blank=1)
        kind = number_of(LINEAR_KINDS, row.kind, blank=1)
        how_many = given(row.how_many, 1)
        fault = _linear_fault(zone, kind, length, how_many)
        started.append(1.0 if begun else MISSING)
        zone_no.append(zone if begun else MISSING)
        kind_no.append(kind if begun else MISSING)
        totals.append(length * how_many if begun and fault == 0 else MISSING)
        faults.append(fault if begun else MISSING)
    return Linears(
        started=tuple(started),
        zone_no=tuple(zone_no),
        kind_no=tuple(kind_no),
        total=tuple(totals),
        fault=tuple(faults),
    )


def _linear_fault(zone_no: float, kind_no: float, length: float, how_many: float) -> float:
    if not known(zone_no):
        return 1
    if not known(kind_no):
        return 2
    if not length > 0:
        return 3
    return 0 if is_whole(how_many) else 6


def make_zones(job: Job, names: ZoneNames, areas: Areas, linears: Linears, display: Display) -> ZoneFigures:
    """Add up what belongs to each zone, choose its thickness, and find its first fault."""

    def only_started(column: Column) -> Column:
        pairs = zip(names.started, column, strict=True)
        return tuple(figure if known(begun) else MISSING for begun, figure in pairs)

    count = len(job.zones)
    areas_ft2 = only_started(totals_by_number(areas.area, areas.started, areas.zone_no, count))
    steps = totals_by_number(_steps(job, areas), areas.started, areas.zone_no, count)
    lengths = {
        kind: only_started(_lengths_ft(linears, float(number), count)) for number, kind in enumerate(LINEAR_KINDS, start=1)
    }
    targets = [value(system.thickness) for system in job.systems]
    depths = only_started(
        tuple(given(zone.thickness, at(targets, system_no)) for zone, system_no in zip(job.zones, names.system_no, strict=True))
    )
    faults = tuple(
        _zone_fault(job, zone, names, row, areas_ft2[row], depths[row], display) if known(names.started[row]) else MISSING
        for row, zone in enumerate(job.zones)
    )
    return ZoneFigures(area=areas_ft2, steps=only_started(steps), depth=depths, fault=faults, **lengths)


def _steps(job: Job, areas: Areas) -> Column:
    """Return how many steps each area row adds; a row without an area has no number of steps."""
    counts = []
    for row, area in zip(job.areas, areas.area, strict=True):
        how_many = given(row.how_many, 1) if row.shape == "steps" else 0.0
        signed = -how_many if row.sign == "deduct" else how_many
        counts.append(signed if known(area) else MISSING)
    return tuple(counts)


def _lengths_ft(linears: Linears, kind_no: float, zones: int) -> Column:
    of_kind = tuple(
        length if kind == kind_no else length * 0 for length, kind in zip(linears.total, linears.kind_no, strict=True)
    )
    return totals_by_number(of_kind, linears.started, linears.zone_no, zones)


def _zone_fault(
    job: Job,
    zone: Zone,
    names: ZoneNames,
    row: int,
    area_ft2: float,
    depth_in: float,
    display: Display,
) -> float:
    if names.key[row] is None:
        return 1
    if names.twin[row] > 1:
        return 2
    if not known(names.system_no[row]):
        return 3
    if not known(depth_in):
        return 4
    least, most = _limits_in(job, names.system_no[row])
    if not within(depth_in, least, most, display):
        return 5
    if not known(area_ft2):
        return 6
    shown = sixth(display(area_ft2, "area"))
    if shown < 0:
        return 7
    return 8 if shown == 0 else 0


def _limits_in(job: Job, system_no: float) -> tuple[float | None, float | None]:
    if system_no > len(job.systems):
        return None, None
    system = job.systems[int(system_no) - 1]
    return system.thickness_least, system.thickness_most


def within(depth_in: float, least: float | None, most: float | None, display: Display) -> bool:
    """Tell whether a depth is within limits as the sheet shows them; one not given does not limit."""

    def shown(depth: float) -> float:
        return sixth(display(depth, "depth"))

    return not ((least is not None and shown(depth_in) < shown(least)) or (most is not None and shown(depth_in) > shown(most)))


def make_measured(job: Job, names: ZoneNames, zones: ZoneFigures, areas: Areas, linears: Linears) -> Measured:
    """Add the takeoff up."""
    return Measured(
        area=total(zones.area, names.started),
        perimeter_known=added_perimeter_ft(job, areas),
        zones_with_fault=counted(zones.fault),
        rows_with_fault=counted((*areas.fault, *linears.fault)),
    )
