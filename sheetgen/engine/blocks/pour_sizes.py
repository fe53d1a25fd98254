"""Pour plan: what each pour takes: batches, bags, ribbons and strips; and what is wrong with it but for the clock."""
# ruff: noqa: RUF009 - figure() returns an attrs field, which is no default that records would share

from __future__ import annotations

import math
from typing import TYPE_CHECKING, ClassVar

import attrs

from sheetgen.engine import pour as one_pour
from sheetgen.engine.blocks.limits import shown
from sheetgen.engine.blocks.table import Row, flag, table
from sheetgen.engine.blocks.zones import system_of
from sheetgen.engine.missing import MISSING, above_zero, given, known, larger, sixth, value
from sheetgen.engine.totals import Column, at
from sheetgen.engine.values import figure

if TYPE_CHECKING:
    from sheetgen.engine.blocks.laid import Laid
    from sheetgen.engine.blocks.pour_hands import PourHands
    from sheetgen.engine.blocks.pour_zones import PourZones
    from sheetgen.engine.blocks.systems import Systems
    from sheetgen.engine.blocks.zone_pours import ZoneCoats
    from sheetgen.engine.blocks.zones import ZoneNames
    from sheetgen.engine.inputs import Display, Job
    from sheetgen.engine.records import Pour

# What is wrong with a pour.
NO_SUCH_ZONE, UNLIKE, NO_SUCH_COAT, ZONE_FAULT, NO_DATA, NO_HANDS, NO_ROWS, NO_CLOCK = map(float, range(1, 9))


@attrs.frozen(kw_only=True)
class PourAsked:
    """What each pour would take, whatever is wrong with it, and what that is."""

    block: ClassVar[str] = "pours"
    over: ClassVar[str | None] = "pours"
    scenario: ClassVar[bool] = False

    zone_faults: Column = figure("count")
    coat_depth: Column = figure("depth")
    first_fill: Column = figure("depth")
    unlike_system: Column = figure("count")
    unlike_depth: Column = figure("count")
    unlike_surface: Column = figure("count")
    unlike_fill: Column = figure("count")
    sheet_bags: Column = figure("bag/batch")
    depth_asked: Column = figure("depth")
    area_asked: Column = figure("area")
    bags_asked: Column = figure("bag/batch")
    reach_asked: Column = figure("area/batch")
    batches_asked: Column = figure("batch")
    hands_fault: Column = figure("no")
    data_fault: Column = figure("no")
    coat_fault: Column = figure("no")
    unlike_fault: Column = figure("no")
    slab_fault: Column = figure("no")
    plain_fault: Column = figure("no")
    batches_sound: Column = figure("batch")
    batches_before: Column = figure("batch")
    row_asked: Column = figure("no")
    early_fault: Column = figure("no")
    lost: Column = figure("count")


@attrs.frozen(kw_only=True)
class PourSizes:
    """What each pour takes; nothing of a pour with a fault, but nobody has asked for its day and clock yet."""

    block: ClassVar[str] = "pours"
    over: ClassVar[str | None] = "pours"
    scenario: ClassVar[bool] = False

    depth: Column = figure("depth")
    area: Column = figure("area")
    bags_each: Column = figure("bag/batch")
    batch_area: Column = figure("area/batch")
    batches: Column = figure("batch")
    bags_all: Column = figure("bag")
    bags_counted: Column = figure("bag")
    weight: Column = figure("mass")
    density: Column = figure("batch/area")
    portion: Column = figure("number/area")
    first_row: Column = figure("no")
    last_row: Column = figure("no")
    width: Column = figure("length")
    ribbon: Column = figure("length")
    bay_across: Column = figure("length")
    bay_along: Column = figure("length")
    ribbons: Column = figure("count")
    strips: Column = figure("count")


@attrs.frozen(kw_only=True)
class Slabs:
    """The zones that pours may cover."""

    names: ZoneNames
    laid: Laid
    coats: ZoneCoats
    display: Display


def make_pour_asked(job: Job, pours: PourZones, hands: PourHands, slabs: Slabs) -> PourAsked:
    """Reckon what each pour would take, and find what is wrong with it."""
    rows: list[Row] = []
    before = 0.0  # rows of batches
    for row, pour in enumerate(job.pours):
        if not known(pours.started[row]):
            rows.append({})
            continue
        found = _likeness(row, pours, slabs) | _asked(job, row, pour, pours, slabs)
        found |= _faults(row, found, pours, hands)
        found |= _rows_asked(found, before, float(len(job.batches)))
        before += found["batches_sound"]
        rows.append(found)
    return table(PourAsked, rows)


def _likeness(row: int, pours: PourZones, slabs: Slabs) -> Row:
    """Return how the zones of a pour differ from the first of them, and how many have a fault."""
    first, *others = pours.numbers_at(row)
    faulty = {number for number in pours.numbers_at(row) if at(slabs.laid.faulty, number) > 0}
    named = known(first + sum(others))
    columns = {
        "system": (slabs.names.system_no, "no"),
        "depth": (slabs.laid.depth, "depth"),
        "surface": (slabs.names.surface_no, "no"),
        "fill": (slabs.coats.fill_used, "depth"),
    }
    found: Row = {
        "zone_faults": float(len(faulty)) if named else MISSING,
        "coat_depth": at(slabs.laid.depth, first),
        "first_fill": at(slabs.coats.fill_used, first),
    }
    for name, (column, unit) in columns.items():
        wanted = shown(at(column, first), unit, slabs.display)
        differing = sum(shown(at(column, other), unit, slabs.display) != wanted for other in others if other != 0)
        found[f"unlike_{name}"] = float(differing) if named and known(wanted) else MISSING
    return found


def _asked(job: Job, row: int, pour: Pour, pours: PourZones, slabs: Slabs) -> Row:
    """Return what a pour takes before anybody looks for faults, missing where something that it needs is."""
    first, *others = pours.numbers_at(row)
    system = system_of(job, pours.system_no[row])
    area = math.fsum(at(slabs.laid.area, number) for number in (first, *others) if number != 0)
    depth = one_pour.coat_depth_in(at(slabs.laid.depth, first), at(slabs.coats.fill_used, first), pours.coat_no[row])
    sheet_bags = value(system.bags_per_batch)
    bags = given(pour.bags, sheet_bags if known(sheet_bags) else 1.0)
    reach = one_pour.batch_area_ft2(bags, value(system.yield_), above_zero(depth))
    return {
        "sheet_bags": sheet_bags,
        "depth_asked": depth,
        "area_asked": area,
        "bags_asked": bags,
        "reach_asked": reach,
        "batches_asked": one_pour.whole_batches(area, value(job.takeoff.waste), above_zero(reach)),
    }


def _faults(row: int, found: Row, pours: PourZones, hands: PourHands) -> Row:
    """Return each fault, or what hides behind it; one that cannot be told hides those after it."""
    coat, coats = sixth(pours.coat_no[row]), pours.coats_there[row]
    unlike = sum(found[f"unlike_{name}"] for name in ("system", "depth", "surface", "fill"))
    hands_fault = NO_HANDS if hands.lacks_at(row) > 0 else 0.0
    data_fault = hands_fault if known(found["batches_asked"]) else NO_DATA
    coat_fault = (data_fault if coat == coat // 1 and 1 <= coat <= coats else NO_SUCH_COAT) if known(coat + coats) else MISSING
    unlike_fault = (UNLIKE if unlike > 0 else coat_fault) if known(unlike) else MISSING
    zone_faults = found["zone_faults"]
    slab_fault = (ZONE_FAULT if zone_faults > 0 else unlike_fault) if known(zone_faults) else MISSING
    return {
        "hands_fault": hands_fault,
        "data_fault": data_fault,
        "coat_fault": coat_fault,
        "unlike_fault": unlike_fault,
        "slab_fault": slab_fault,
        "plain_fault": slab_fault if known(sum(pours.numbers_at(row))) else NO_SUCH_ZONE,
    }


def _rows_asked(found: Row, before: float, rows: float) -> Row:
    """Return the rows that the batches of a pour want: once a pour does not fit, those after it do not either."""
    plain = found["plain_fault"]
    sound = found["batches_asked"] if plain == 0 else 0.0
    asked = before + sound
    early = plain if plain != 0 else NO_ROWS if asked > rows else 0.0
    return {
        "batches_sound": sound,
        "batches_before": before,
        "row_asked": asked,
        "early_fault": early,
        "lost": flag(holds=early > 0) if known(early) else MISSING,
    }


def make_pour_sizes(job: Job, pours: PourZones, asked: PourAsked) -> PourSizes:
    """Size each pour that has no fault."""
    rows: list[Row] = []
    for row, pour in enumerate(job.pours):
        if not known(pours.started[row]):
            rows.append({})
            continue
        if asked.early_fault[row] != 0:
            rows.append({"bags_counted": 0.0, "density": 0.0, "portion": 0.0})
            continue
        sizes = _sizes(job, row, pours, asked)
        place = {"first_row": asked.batches_before[row] + 1, "last_row": asked.row_asked[row]}
        rows.append(sizes | _bay(job, pour, sizes) | place)
    return table(PourSizes, rows)


def _sizes(job: Job, row: int, pours: PourZones, asked: PourAsked) -> Row:
    area, batches = asked.area_asked[row], asked.batches_asked[row]
    bags = batches * asked.bags_asked[row]
    return {
        "depth": asked.depth_asked[row],
        "area": area,
        "bags_each": asked.bags_asked[row],
        "batch_area": asked.reach_asked[row],
        "batches": batches,
        "bags_all": bags,
        "bags_counted": bags,
        "weight": bags * value(system_of(job, pours.system_no[row]).bag_mass),
        "density": batches / area,
        "portion": 1 / area,
    }


def _bay(job: Job, pour: Pour, sizes: Row) -> Row:
    """Return how the batches lie in the bay."""
    width = given(pour.ribbon_width, value(job.crew.ribbon_width))
    ribbon = one_pour.ribbon_length_ft(sizes["batch_area"], above_zero(width))
    across = given(pour.bay_width, one_pour.square_side_ft(sizes["area"]))
    along = given(pour.bay_length, sizes["area"] / above_zero(across))
    return {
        "width": width,
        "ribbon": ribbon,
        "bay_across": across,
        "bay_along": along,
        "ribbons": above_zero(one_pour.whole_lengths(across, above_zero(width))),
        "strips": one_pour.whole_lengths(along, ribbon),
    }


@attrs.frozen(kw_only=True)
class PouredBags:
    """The bags of each system by whole batches, as far as they are known, and these less what may be a part bag."""

    block: ClassVar[str] = "systems"
    over: ClassVar[str | None] = "systems"
    scenario: ClassVar[bool] = False

    pour_bags: Column = figure("bag")
    whole_bags: Column = figure("bag")


def make_poured_bags(job: Job, systems: Systems, pours: PourZones, sizes: PourSizes) -> PouredBags:
    """Count the bags of each system by whole batches."""
    rows: list[Row] = []
    for number, begun in enumerate(systems.started, start=1):
        if not known(begun):
            rows.append({})
            continue
        bags = math.fsum(sizes.bags_counted[row] for row, of in enumerate(pours.system_no) if of == number)
        rows.append({"pour_bags": bags, "whole_bags": larger(0.0, bags - value(job.crew.part_bags))})
    return table(PouredBags, rows)


def count_lost_pours(job: Job, pours: PourZones, asked: PourAsked) -> Column:
    """Count the pours of each system that have no bags that are known [count]."""
    numbers = range(1, len(job.systems) + 1)
    return tuple(math.fsum(asked.lost[row] for row, of in enumerate(pours.system_no) if of == number) for number in numbers)
