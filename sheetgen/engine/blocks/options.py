"""Price: the options, matched, checked and priced."""
# ruff: noqa: RUF009 - figure() returns an attrs field, which is no default that records would share

from __future__ import annotations

from typing import TYPE_CHECKING, Any, ClassVar, Final

import attrs

from sheetgen.engine.blocks.limits import above, below, rounded
from sheetgen.engine.blocks.table import Row, first_fault, flag, table
from sheetgen.engine.blocks.zones import system_of
from sheetgen.engine.missing import MISSING, cents, given, known, value
from sheetgen.engine.names import keys, twins
from sheetgen.engine.records import filled
from sheetgen.engine.totals import at
from sheetgen.engine.values import figure

if TYPE_CHECKING:
    from collections.abc import Mapping

    from sheetgen.engine.blocks.bare_zones import BareZones
    from sheetgen.engine.blocks.layer_sums import LayerSums
    from sheetgen.engine.blocks.registers import Registers
    from sheetgen.engine.blocks.zones import Lone, RangeOfZones, ZoneNames
    from sheetgen.engine.inputs import Display, Job
    from sheetgen.engine.records import Option
    from sheetgen.engine.totals import Column, Texts

NO_NAME, TWIN, NO_ZONE, NO_SYSTEM, NO_COLOUR, NO_SEALER, WHICH_ZONE, OUT_OF_RANGE = map(float, range(1, 9))
EVERY_ZONE: Final = 0.0
NOT_CHANGED: Final = 0.0
# What an option may bring that takes the place of layers of the system.
KINDS: Final = ("colour", "sealer")


@attrs.frozen(kw_only=True)
class Options:
    """The options, with their names matched."""

    block: ClassVar[str] = "options"
    over: ClassVar[str | None] = "options"
    scenario: ClassVar[bool] = False

    weight: Column = figure("number")
    order: Column = figure("no")
    started: Column = figure("count")
    key: Texts = figure("text")
    twin: Column = figure("count")
    zone_no: Column = figure("no")
    system_no: Column = figure("no")
    colour_no: Column = figure("no")
    sealer_no: Column = figure("no")
    thick: Column = figure("depth")
    own_least: Column = figure("depth")
    own_most: Column = figure("depth")
    own_thin: Column = figure("count")
    own_thick: Column = figure("count")
    thin_zones: Column = figure("count")
    thick_zones: Column = figure("count")
    outside: Column = figure("count")
    loose: Column = figure("count")
    range_fault: Column = figure("no")
    area_fault: Column = figure("no")
    sealer_fault: Column = figure("no")
    product_fault: Column = figure("no")
    scope_fault: Column = figure("no")
    fault: Column = figure("no")
    faulty: Column = figure("count")
    taken: Column = figure("count")
    changes: Column = figure("count")
    idle: Column = figure("count")
    unfixed: Column = figure("count")


@attrs.frozen(kw_only=True)
class OptionDoubts:
    """Which options bring a product of which nobody knows how much is needed."""

    block: ClassVar[str] = "options"
    over: ClassVar[str | None] = "options"
    scenario: ClassVar[bool] = False

    bare_colours: Column = figure("count")
    bare_sealers: Column = figure("count")
    colour_bare: Column = figure("count")
    sealer_bare: Column = figure("count")
    no_colour: Column = figure("count")
    no_sealer: Column = figure("count")
    lacks: Column = figure("count")
    doubtful: Column = figure("count")


@attrs.frozen(kw_only=True)
class OptionPrices:
    """What each option adds to the price."""

    block: ClassVar[str] = "options"
    over: ClassVar[str | None] = "options"
    scenario: ClassVar[bool] = False

    net_alone: Column = figure("money")
    price_now: Column = figure("money")
    price: Column = figure("money")
    taken_price: Column = figure("money")
    taken_now: Column = figure("money")


def make_options(job: Job, registers: Registers, names: ZoneNames, ranges: RangeOfZones, lone: Lone, display: Display) -> Options:
    """Match the names of each option and find its first fault."""
    own_names = keys([option.name for option in job.options])
    rows: list[Row] = []
    for number, (option, name, twin) in enumerate(zip(job.options, own_names, twins(own_names), strict=True), start=1):
        row: Row = {"key": name, "twin": twin}
        if filled(option, "accepted"):
            row |= {
                "started": 1.0,
                "weight": 2.0 ** (number - 1),
                "order": float(number),
                "zone_no": registers.zones.number(option.zone, blank=EVERY_ZONE),
                "system_no": registers.systems.number(option.system, blank=NOT_CHANGED),
                "colour_no": registers.products.number(option.colour, blank=NOT_CHANGED),
                "sealer_no": registers.products.number(option.sealer, blank=NOT_CHANGED),
            }
            row |= _range(job, option, row, display)
            row |= _outside(option, row, names, ranges, lone)
            row |= _faults(row)
            row |= _said(job, option, row)
        rows.append(row)
    return table(Options, rows)


def _range(job: Job, option: Option, row: Row, display: Display) -> Row:
    """Compare a thickness with the range of the option's own system."""
    system = system_of(job, row["system_no"] or MISSING)
    least, most, depth = value(system.thickness_least), value(system.thickness_most), value(option.thickness)
    return {
        "thick": rounded(depth, "depth", display),
        "own_least": least,
        "own_most": most,
        "own_thin": below(depth, least, "depth", display),
        "own_thick": above(depth, most, "depth", display),
    }


def _outside(option: Option, row: Row, names: ZoneNames, ranges: RangeOfZones, lone: Lone) -> Row:
    """Tell whether a thickness is outside the range of the option's system, else of the system of any zone that it is for."""
    zone_no, depth, more = row["zone_no"], row["thick"], given(option.extra_area, 0)
    there = [zone for zone, number in enumerate(names.order) if known(number) and zone_no in {EVERY_ZONE, number}]
    thin = thick = MISSING
    if known(zone_no + depth):
        thin = float(sum(ranges.floored[zone] == 1 and ranges.typed_floor[zone] > depth for zone in there))
        thick = float(sum(ranges.roofed[zone] == 1 and ranges.typed_roof[zone] < depth for zone in there))
    beyond = row["own_thin"] + row["own_thick"] if row["system_no"] != NOT_CHANGED else thin + thick
    return {
        "thin_zones": thin,
        "thick_zones": thick,
        "outside": beyond if option.thickness is not None else 0.0,
        "loose": flag(holds=zone_no == EVERY_ZONE and more != 0 and lone.zones > 1),
    }


def _faults(row: Row) -> Row:
    """Return each fault, or what hides behind it."""
    range_fault = (OUT_OF_RANGE * flag(holds=row["outside"] > 0)) if known(row["outside"]) else MISSING
    area_fault = WHICH_ZONE if row["loose"] == 1 else range_fault
    sealer_fault = area_fault if known(row["sealer_no"]) else NO_SEALER
    product_fault = sealer_fault if known(row["colour_no"]) else NO_COLOUR
    system_fault = product_fault if known(row["system_no"]) else NO_SYSTEM
    scope_fault = system_fault if known(row["zone_no"]) else NO_ZONE
    fault = first_fault(NO_NAME if row["key"] is None else TWIN if row["twin"] > 1 else 0.0, scope_fault)
    return {
        "range_fault": range_fault,
        "area_fault": area_fault,
        "sealer_fault": sealer_fault,
        "product_fault": product_fault,
        "scope_fault": scope_fault,
        "fault": fault,
        "faulty": flag(holds=fault > 0),
    }


def _said(job: Job, option: Option, row: Row) -> Row:
    """Tell whether an option is taken, changes anything, and has the price that the customer was given."""
    changes = row["system_no"] + row["colour_no"] + row["sealer_no"] + flag(holds=option.thickness is not None)
    more, sound = given(option.extra_area, 0), row["fault"] == 0
    return {
        "taken": flag(holds=option.accepted == "yes"),
        "changes": changes,
        "idle": flag(holds=sound and changes == 0 and more == 0),
        "unfixed": flag(holds=sound and job.proposal.date is not None and option.fixed is None),
    }


def make_option_doubts(job: Job, options: Options, names: ZoneNames, bare: BareZones, sums: LayerSums) -> OptionDoubts:
    """Find the options whose colour or sealer has neither a coverage nor a layer that it replaces."""
    rows: list[Row] = []
    for row, option in enumerate(job.options):
        if not known(options.started[row]):
            rows.append({})
            continue
        found: Row = {}
        for kind in KINDS:
            found |= _bare(option, row, kind, options, names, bare, sums)
        lacks = options.fault[row] == 0 and found["no_colour"] + found["no_sealer"] > 0
        found |= {"lacks": flag(holds=lacks), "doubtful": min(1.0, options.idle[row] + lacks)}
        rows.append(found)
    return table(OptionDoubts, rows)


def _bare(option: Option, row: int, kind: str, options: Options, names: ZoneNames, bare: BareZones, sums: LayerSums) -> Row:
    zone_no, system_no = options.zone_no[row], options.system_no[row]
    column: Column = getattr(bare, f"{kind}less")
    zones = MISSING
    if known(zone_no):
        there = (number for number in names.order if known(number) and zone_no in {EVERY_ZONE, number})
        zones = float(sum(at(column, number) for number in there))
    own = flag(holds=at(sums.of(kind, "layers"), system_no) == 0) if known(system_no) else MISSING
    of_zones = min(1.0, zones) if known(zones) else MISSING
    found = own if system_no != NOT_CHANGED else of_zones
    number, coverage = getattr(options, f"{kind}_no")[row], getattr(option, f"{kind}_coverage")
    unsaid = flag(holds=number > 0 and found == 1 and coverage is None) if known(number) else MISSING
    return {
        f"bare_{kind}s": zones,
        f"{kind}_bare": found,
        f"no_{kind}": unsaid,
    }


def make_option_prices(job: Job, options: Options, alone: Mapping[int, float], as_bid: float) -> OptionPrices:
    """Price each option as the difference it makes alone.

    Parameters
    ----------
    job : Job
        With the prices that were given to the customer.
    options : Options
        The options, checked.
    alone : dict of int to float
        Price of the job with one option alone, by the number of the option [money].
    as_bid : float
        Price of the job without any [money].
    """
    rows: list[Row] = []
    for row, option in enumerate(job.options):
        found: dict[str, Any] = {}
        if known(options.started[row]):
            found["net_alone"] = alone.get(row + 1, MISSING)
            now = cents(found["net_alone"] - as_bid)
            price, taken = given(option.fixed, now) if options.fault[row] == 0 else MISSING, options.taken[row] == 1
            found |= {"price_now": now, "price": price, "taken_price": price if taken else 0.0, "taken_now": now if taken else 0.0}
        rows.append(found)
    return table(OptionPrices, rows)
