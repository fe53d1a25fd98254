"""Checks, the steps on Start, and the master check."""

from __future__ import annotations

from typing import ClassVar, Final

import attrs

from sheetgen.engine.blocks.areas import Areas, Offsets, offset_rows_started
from sheetgen.engine.blocks.done import Done
from sheetgen.engine.blocks.needs import Buying
from sheetgen.engine.blocks.rates import Lines, Roles, Tasks
from sheetgen.engine.blocks.systems import Layers, Systems
from sheetgen.engine.blocks.zones import Measured, ZoneFigures, ZoneNames
from sheetgen.engine.inputs import Display, Job
from sheetgen.engine.missing import known
from sheetgen.engine.names import key
from sheetgen.engine.price import Price
from sheetgen.engine.totals import counted, sum_known
from sheetgen.engine.values import figure


@attrs.frozen(kw_only=True)
class Checks:
    """What each check of the book comes to."""

    block: ClassVar = "checks"
    over: ClassVar = None
    scenario: ClassVar = False

    zones: float = figure("count")
    rows: float = figure("count")
    offsets: float = figure("count")
    systems: float = figure("count")
    layers: float = figure("count")
    roles: float = figure("count")
    products: float = figure("count")
    lines: float = figure("count")
    tasks: float = figure("count")
    log: float = figure("count")
    log_dates: float = figure("count")
    areas_add_up: float = figure("area")
    build_up: float = figure("money")
    price_floor: float = figure("money")


# What a check may come to and still be in order, in the display unit of the job; 0 where none is named.
TOLERANCES: Final = {"areas_add_up": 1e-6, "build_up": 0.005}


@attrs.frozen(kw_only=True)
class Steps:
    """What is still missing before there is a price: 0 done, 1 missing."""

    block: ClassVar = "steps"
    over: ClassVar = None
    scenario: ClassVar = False

    job_name: float = figure("count")
    zone: float = figure("count")
    system: float = figure("count")
    area: float = figure("count")
    price: float = figure("count")


@attrs.frozen(kw_only=True)
class Master:
    """The master check."""

    block: ClassVar = "master"
    over: ClassVar = None
    scenario: ClassVar = False

    looks: float = figure("count")


@attrs.frozen(kw_only=True)
class Checked:
    """Everything that is checked."""

    names: ZoneNames
    zones: ZoneFigures
    areas: Areas
    offsets: Offsets
    measured: Measured
    systems: Systems
    layers: Layers
    roles: Roles
    buying: Buying
    lines: Lines
    tasks: Tasks
    done: Done
    price: Price


def make_checks(job: Job, found: Checked) -> Checks:
    """Count what is to be looked at."""
    price = found.price
    begun = offset_rows_started(job)
    lost = [row and not known(no) for row, no in zip(begun, found.offsets.area_no, strict=True)]
    below_cost = price.cost - price.net
    return Checks(
        zones=found.measured.zones_with_fault,
        rows=found.measured.rows_with_fault,
        offsets=float(sum(lost)),
        systems=counted(found.systems.fault),
        layers=counted(found.layers.fault),
        roles=float(sum(alike > 1 for alike in found.roles.twin)),
        products=counted(found.buying.fault),
        lines=counted(found.lines.fault),
        tasks=counted(found.tasks.fault),
        log=found.done.log_faults,
        log_dates=found.done.log_looks,
        areas_add_up=abs(sum_known(found.zones.area) - sum_known(found.areas.area)),
        build_up=abs(price.direct + price.overhead + price.contingency - price.cost),
        price_floor=0.0 if below_cost <= 0 else below_cost,
    )


def make_steps(job: Job, found: Checked) -> Steps:
    """Tell which of the steps to a price are still missing."""
    begun = [known(started) for started in found.names.started]
    without_system = (
        started and not known(number)
        for started, number in zip(begun, found.names.system_no, strict=True)
    )
    return Steps(
        job_name=_missing(key(job.job.name) is not None),
        zone=_missing(any(begun)),
        system=_missing(any(begun) and not any(without_system)),
        area=_missing(any(map(known, found.areas.area))),
        price=_missing(known(found.price.total)),
    )


def _missing(there: bool) -> float:  # noqa: FBT001 - the one thing asked
    return 0.0 if there else 1.0


def make_master(checks: Checks, display: Display) -> Master:
    """Count the checks that are beyond their tolerance; one without a value is not."""
    looks = 0
    for one in attrs.fields(Checks):
        shown = getattr(checks, one.name)
        if one.metadata["unit"] == "area":
            shown = display(shown, "area")
        looks += shown > TOLERANCES.get(one.name, 0.0)
    return Master(looks=float(looks))
