"""Price: the options, matched and checked, which of them each scenario takes, and what they change zone by zone."""
# ruff: noqa: RUF009 - figure() returns an attrs field, which is no default that records would share

from __future__ import annotations

import math
from typing import TYPE_CHECKING, ClassVar, Final

import attrs

from sheetgen.engine.blocks.limits import above, below
from sheetgen.engine.blocks.table import Row, first_fault, flag, table
from sheetgen.engine.blocks.zones import system_of
from sheetgen.engine.missing import MISSING, cents, given, known, value
from sheetgen.engine.names import keys, twins
from sheetgen.engine.records import filled
from sheetgen.engine.scenarios import moved_factor, moved_waste
from sheetgen.engine.totals import sum_known
from sheetgen.engine.values import figure

if TYPE_CHECKING:
    from collections.abc import Callable

    from sheetgen.engine.blocks.registers import Registers
    from sheetgen.engine.blocks.zones import Lone, ZoneNames
    from sheetgen.engine.inputs import Display, Job
    from sheetgen.engine.records import Option
    from sheetgen.engine.scenarios import Scenario
    from sheetgen.engine.totals import Column, Texts

NO_NAME, TWIN, NO_ZONE, NO_SYSTEM, NO_COLOUR, NO_SEALER, WHICH_ZONE, OUT_OF_RANGE = map(float, range(1, 9))
EVERY_ZONE: Final = 0.0
NOT_CHANGED: Final = 0.0
# What turns a zone into something else; without any of it an option changes nothing.
_CHANGES = ("system", "thickness", "colour", "sealer")


@attrs.frozen(kw_only=True)
class Options:
    """The options, with their names matched."""

    block: ClassVar[str] = "options"
    over: ClassVar[str | None] = "options"
    scenario: ClassVar[bool] = False

    started: Column = figure("count")
    key: Texts = figure("text")
    twin: Column = figure("count")
    zone_no: Column = figure("no")
    system_no: Column = figure("no")
    colour_no: Column = figure("no")
    sealer_no: Column = figure("no")
    fault: Column = figure("no")
    faulty: Column = figure("count")
    taken: Column = figure("count")
    idle: Column = figure("count")


@attrs.frozen(kw_only=True)
class OptionPrices:
    """What each option adds to the price."""

    block: ClassVar[str] = "options"
    over: ClassVar[str | None] = "options"
    scenario: ClassVar[bool] = False

    price_now: Column = figure("money")
    price: Column = figure("money")


@attrs.frozen(kw_only=True)
class OptionOn:
    """Whether a scenario takes an option."""

    block: ClassVar[str] = "option_on"
    over: ClassVar[str | None] = "options"
    scenario: ClassVar[bool] = True

    on: Column = figure("count")


@attrs.frozen(kw_only=True)
class Scene:
    """What a scenario is reckoned with."""

    block: ClassVar[str] = "scene"
    over: ClassVar[str | None] = None
    scenario: ClassVar[bool] = True

    faults: float = figure("count")
    waste: float = figure("share")
    difficulty: float = figure("number")
    depth_factor: float = figure("number")


@attrs.frozen(kw_only=True)
class Choices:
    """What the options of a scenario make of each zone; 0 where no option says anything.

    Parameters
    ----------
    system_option, depth_option, colour_option, sealer_option : tuple of float
        The option that is heard: the last one that says something of it [no].
    extra : tuple of float
        Area that options add [ft²].
    system_no, depth : tuple of float
        System and thickness of a coat that follow [no, in].
    """

    system_option: Column
    depth_option: Column
    colour_option: Column
    sealer_option: Column
    extra: Column
    system_no: Column
    depth: Column


def make_options(job: Job, known_names: Registers, of: ZoneNames, lone: Lone, display: Display) -> Options:
    """Match the names of each option and find its first fault."""
    names = keys([option.name for option in job.options])
    rows: list[Row] = []
    for option, name, twin in zip(job.options, names, twins(names), strict=True):
        row: Row = {"key": name, "twin": twin}
        if filled(option, "accepted"):
            row |= {
                "zone_no": known_names.zones.number(option.zone, blank=EVERY_ZONE),
                "system_no": known_names.systems.number(option.system, blank=NOT_CHANGED),
                "colour_no": known_names.products.number(option.colour, blank=NOT_CHANGED),
                "sealer_no": known_names.products.number(option.sealer, blank=NOT_CHANGED),
            }
            fault = _fault(job, option, row, of, lone, display)
            more = given(option.extra_area, 0)
            idle = fault == 0 and more == 0 and not any(getattr(option, name) is not None for name in _CHANGES)
            row |= {
                "started": 1.0,
                "fault": fault,
                "faulty": flag(holds=fault > 0),
                "taken": flag(holds=option.accepted == "yes"),
                "idle": flag(holds=idle),
            }
        rows.append(row)
    return table(Options, rows)


def _fault(job: Job, option: Option, row: Row, of: ZoneNames, lone: Lone, display: Display) -> float:
    name_fault = NO_NAME if row["key"] is None else TWIN if row["twin"] > 1 else 0.0
    unmatched = (
        fault * flag(holds=not known(row[number]))
        for fault, number in (
            (NO_ZONE, "zone_no"),
            (NO_SYSTEM, "system_no"),
            (NO_COLOUR, "colour_no"),
            (NO_SEALER, "sealer_no"),
        )
    )
    lost_area = row["zone_no"] == EVERY_ZONE and given(option.extra_area, 0) != 0 and lone.zones > 1
    return first_fault(
        name_fault,
        *unmatched,
        WHICH_ZONE * flag(holds=lost_area),
        OUT_OF_RANGE * flag(holds=_out_of_range(job, option, row, of, display)),
    )


def _out_of_range(job: Job, option: Option, row: Row, of: ZoneNames, display: Display) -> bool:
    """Tell whether a thickness is outside the range of the option's system, else of the system of any zone that it is for."""
    if option.thickness is None:
        return False
    system_nos = [row["system_no"]]
    if row["system_no"] == NOT_CHANGED:
        pairs = zip(of.order, of.typed_system_no, strict=True)
        system_nos = [system_no for number, system_no in pairs if known(number) and row["zone_no"] in {EVERY_ZONE, number}]
    systems = [system_of(job, system_no) for system_no in system_nos]
    return any(
        below(option.thickness, value(system.thickness_least), "depth", display)
        or above(option.thickness, value(system.thickness_most), "depth", display)
        for system in systems
    )


def make_option_on(options: Options, scenario: Scenario) -> OptionOn:
    """Tell which options a scenario takes: one alone, or those that are accepted."""
    on = (
        flag(holds=scenario.alone == number or (scenario.takes_accepted and taken == 1)) if known(begun) else 0.0
        for number, (begun, taken) in enumerate(zip(options.started, options.taken, strict=True), start=1)
    )
    return OptionOn(on=tuple(on))


def make_scene(job: Job, options: Options, on: OptionOn, scenario: Scenario) -> Scene:
    """Turn waste, difficulty and thickness up or down."""
    steps = job.what_if
    return Scene(
        faults=sum_known(here * fault for here, fault in zip(on.on, options.faulty, strict=True)),
        waste=moved_waste(value(job.takeoff.waste), scenario.waste, value(steps.waste_step)),
        difficulty=moved_factor(value(job.effort.difficulty), scenario.difficulty, value(steps.difficulty_step)),
        depth_factor=moved_factor(1.0, scenario.thickness, value(steps.thickness_step)),
    )


def make_choices(job: Job, options: Options, on: OptionOn, names: ZoneNames, lone: Lone) -> Choices:
    """Tell what the options that are on, and have no fault, make of each zone."""
    active = [row for row, here in enumerate(on.on) if here == 1 and options.fault[row] == 0]

    def heard(zone_no: float, says: Callable[[int], bool]) -> float:
        """Return the last option for a zone that says something [no]."""
        return max((row + 1.0 for row in active if options.zone_no[row] in {EVERY_ZONE, zone_no} and says(row)), default=0.0)

    rows: list[Row] = []
    for zone, number, typed_system_no in zip(job.zones, names.order, names.typed_system_no, strict=True):
        if not known(number):
            rows.append({})
            continue
        system_option = heard(number, lambda row: options.system_no[row] > 0)
        depth_option = system_option or heard(number, lambda row: job.options[row].thickness is not None)
        system_no = options.system_no[int(system_option) - 1] if system_option else typed_system_no
        target = value(system_of(job, system_no).thickness)
        # Another system is laid at its own target, whatever was typed for the system of the zone.
        blank = target if system_option else given(zone.thickness, target)
        rows.append(
            {
                "system_option": system_option,
                "depth_option": depth_option,
                "colour_option": heard(number, lambda row: options.colour_no[row] > 0),
                "sealer_option": heard(number, lambda row: options.sealer_no[row] > 0),
                "extra": _extra_ft2(job, options, active, number, lone),
                "system_no": system_no,
                "depth": given(job.options[int(depth_option) - 1].thickness, blank) if depth_option else blank,
            }
        )
    return table(Choices, rows)


def _extra_ft2(job: Job, options: Options, active: list[int], zone_no: float, lone: Lone) -> float:
    """Return the area that options add to a zone; one for every zone adds it to the only one [ft²]."""
    own = [row for row in active if options.zone_no[row] == zone_no or (options.zone_no[row] == EVERY_ZONE and lone.zone == zone_no)]
    return math.fsum(given(job.options[row].extra_area, 0) for row in own)


def make_option_prices(job: Job, options: Options, alone: dict[int, float], as_bid: float) -> OptionPrices:
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
        if not known(options.started[row]):
            rows.append({})
            continue
        now = cents(alone.get(row + 1, MISSING) - as_bid)
        rows.append({"price_now": now, "price": given(option.fixed, now) if options.fault[row] == 0 else MISSING})
    return table(OptionPrices, rows)
