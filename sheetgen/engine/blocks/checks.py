"""Start and Checks: the steps to a price, and what to look at."""

from __future__ import annotations

from typing import TYPE_CHECKING, ClassVar

import attrs

from sheetgen.engine.blocks.offsets import offset_rows_astray
from sheetgen.engine.blocks.table import flag
from sheetgen.engine.missing import known, sixth
from sheetgen.engine.names import key
from sheetgen.engine.totals import counted, sum_known
from sheetgen.engine.values import figure

if TYPE_CHECKING:
    from sheetgen.engine.blocks.afterwards import Afterwards
    from sheetgen.engine.blocks.areas import Areas
    from sheetgen.engine.blocks.needs import Buying
    from sheetgen.engine.blocks.options import OptionDoubts
    from sheetgen.engine.blocks.plan import Plan
    from sheetgen.engine.blocks.price import Price
    from sheetgen.engine.blocks.proposal import Lists
    from sheetgen.engine.blocks.rate_book import RateBook
    from sheetgen.engine.blocks.surveyed import Surveyed
    from sheetgen.engine.blocks.taken_off import TakenOff
    from sheetgen.engine.blocks.zones import ZoneNames
    from sheetgen.engine.inputs import Display, Job

# How far a check may be off before it says LOOK, beside those that may not be off at all.
TOLERANCES = {"areas_add_up": 1e-6, "build_up": 0.005, "payments": 0.005}
GROUPS = {
    "takeoff_looks": ("zones", "rows", "offsets"),
    "survey_looks": ("slab", "survey_rows", "weather"),
    "pour_looks": ("pour_plan", "pours", "visits"),
    "systems_looks": ("systems", "layers", "data_sheets"),
    "rates_looks": ("roles", "products", "lines", "tasks", "texts"),
    "offer_looks": ("options", "options_said", "fixed", "page"),
    "pay_looks": ("payment_rows", "payment_last"),
    "paid_looks": ("payments",),
    "log_looks": ("log", "log_dates"),
    "sum_looks": ("areas_add_up",),
    "built_looks": ("build_up",),
    "floor_looks": ("price_floor",),
}


@attrs.frozen(kw_only=True)
class Steps:
    """What is still missing for a price: 0 done, 1 missing."""

    block: ClassVar[str] = "steps"
    over: ClassVar[str | None] = None
    scenario: ClassVar[bool] = False

    job_name: float = figure("count")
    zone: float = figure("count")
    system: float = figure("count")
    area: float = figure("count")
    price: float = figure("count")


@attrs.frozen(kw_only=True)
class Checks:
    """What to look at, beside its tolerance."""

    block: ClassVar[str] = "checks"
    over: ClassVar[str | None] = None
    scenario: ClassVar[bool] = False

    slab: float = figure("count")
    survey_rows: float = figure("count")
    weather: float = figure("count")
    zones: float = figure("count")
    rows: float = figure("count")
    offsets: float = figure("count")
    pour_plan: float = figure("count")
    pours: float = figure("count")
    visits: float = figure("count")
    systems: float = figure("count")
    layers: float = figure("count")
    data_sheets: float = figure("count")
    roles: float = figure("count")
    products: float = figure("count")
    lines: float = figure("count")
    tasks: float = figure("count")
    texts: float = figure("count")
    options: float = figure("count")
    options_said: float = figure("count")
    fixed: float = figure("count")
    payment_rows: float = figure("count")
    payment_last: float = figure("count")
    page: float = figure("count")
    payments: float = figure("money")
    log: float = figure("count")
    log_dates: float = figure("count")
    areas_add_up: float = figure("area")
    build_up: float = figure("money")
    price_floor: float = figure("money")


@attrs.frozen(kw_only=True)
class Master:
    """How many checks say LOOK."""

    block: ClassVar[str] = "master"
    over: ClassVar[str | None] = None
    scenario: ClassVar[bool] = False

    survey_looks: float = figure("count")
    takeoff_looks: float = figure("count")
    pour_looks: float = figure("count")
    systems_looks: float = figure("count")
    rates_looks: float = figure("count")
    offer_looks: float = figure("count")
    pay_looks: float = figure("count")
    paid_looks: float = figure("count")
    log_looks: float = figure("count")
    sum_looks: float = figure("count")
    built_looks: float = figure("count")
    floor_looks: float = figure("count")
    sums_looks: float = figure("count")
    looks: float = figure("count")


def make_steps(job: Job, zones: ZoneNames, areas: Areas, price: Price) -> Steps:
    """Tell which steps to a price are still missing."""
    begun = [system for system, started in zip(zones.system_no, zones.started, strict=True) if known(started)]
    return Steps(
        job_name=flag(holds=key(job.job.name) is None),
        zone=flag(holds=not begun),
        system=flag(holds=not begun or not all(map(known, begun))),
        area=flag(holds=not any(map(known, areas.area))),
        price=flag(holds=not known(price.total)),
    )


def make_checks(
    *,
    surveyed: Surveyed,
    taken: TakenOff,
    of: RateBook,
    plan: Plan,
    products: Buying,
    doubts: OptionDoubts,
    lists: Lists,
    after: Afterwards,
    price: Price,
) -> Checks:
    """Gather what every check finds."""
    measured, compare, agreed = taken.measured, after.compare, after.agreed
    apart = abs(measured.area - measured.rows_area)
    below = price.cost - price.net
    return Checks(
        slab=sum_known(surveyed.verdicts.not_ready),
        survey_rows=counted((*surveyed.readings.fault, *surveyed.joints.fault, *surveyed.levels.fault)),
        weather=sum_known((*surveyed.weather.warnings, *surveyed.weather.range_fault)),
        data_sheets=sum_known(surveyed.data_sheets.doubt_counts),
        zones=measured.zones_with_fault,
        rows=measured.rows_with_fault,
        offsets=offset_rows_astray(taken.offsets),
        pour_plan=plan.planned.uncovered + sum_known(plan.poured.batches.times.faulty),
        pours=plan.planned.looks,
        visits=sum_known((*plan.visits.faulty, plan.work.left_out)),
        systems=counted(of.systems.fault),
        layers=counted(of.layers.fault),
        roles=counted(of.roles.faulty),
        products=counted(products.fault),
        lines=counted(of.lines.fault),
        tasks=counted(of.tasks.fault),
        texts=sum_known(lists.texts.faulty),
        options=sum_known(taken.scenes.options.faulty),
        options_said=sum_known(doubts.doubtful),
        fixed=agreed.contract.unfixed,
        payment_rows=sum_known(agreed.payments.faulty),
        payment_last=sum_known(agreed.payments.only_look),
        page=lists.page.texts_left,
        payments=abs(agreed.paying.sum - agreed.contract.total) if agreed.paying.used > 0 else 0.0,
        log=compare.log_faults,
        log_dates=compare.log_looks,
        areas_add_up=apart if known(apart) else 0.0,
        build_up=abs(price.direct + price.overhead + price.contingency - price.cost),
        price_floor=max(below, 0.0) if known(below) else below,
    )


def make_master(checks: Checks, display: Display) -> Master:
    """Count the checks that say LOOK; one without a value does not."""

    def looks(name: str) -> float:
        found = getattr(checks, name)
        if name == "areas_add_up":
            found = display(found, "area")
        return flag(holds=sixth(found) > TOLERANCES.get(name, 0.0))

    groups = {group: sum(map(looks, names)) for group, names in GROUPS.items()}
    every = sum(groups.values())
    # Sums that stand within others on the sheet.
    groups["pay_looks"] += groups["paid_looks"]
    groups["offer_looks"] += groups["pay_looks"]
    return Master(**groups, sums_looks=groups["sum_looks"] + groups["built_looks"] + groups["floor_looks"], looks=every)
