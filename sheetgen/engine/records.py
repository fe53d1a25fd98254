"""The inputs of a bid book: one frozen class per block, one attribute per input, blank is None.

A number stands in the display unit of the job's system of units; the word expression of the unit is in
the attribute's metadata. What has a default is the starter value that a new book shows. Those of the
survey, of the systems, of the pour plan, of the offer and of the logs stand in files of their own.
"""
# ruff: noqa: RUF009 - day() returns an attrs field, which is no default that records would share

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import attrs

from sheetgen.engine.bid_records import (
    BuyList,
    Firm,
    FixedBase,
    ListRow,
    Option,
    Payment,
    PaymentTerms,
    Proposal,
    StandingText,
    WhatIf,
)
from sheetgen.engine.declare import choice, day, number, text
from sheetgen.engine.log_records import (
    Account,
    Bill,
    ChangeOrder,
    CostEntry,
    HoursEntry,
    HowFar,
    MaterialsEntry,
    WeatherEntry,
)
from sheetgen.engine.missing import MISSING
from sheetgen.engine.plan_records import BatchRow, Crew, DayNote, DaySheet, Pour, Visit
from sheetgen.engine.risk import STARTER_JOB_WIDE, STARTER_TASK
from sheetgen.engine.survey_records import Joint, Level, Reading, SlabCheck, Survey, Weather
from sheetgen.engine.system_records import Layer, ToppingSystem

if TYPE_CHECKING:
    import datetime as dt
    from collections.abc import Iterable

__all__ = [
    "Account",
    "Area",
    "BatchRow",
    "Bill",
    "Burdens",
    "BuyList",
    "ChangeOrder",
    "CostEntry",
    "Costs",
    "Crew",
    "DayNote",
    "DaySheet",
    "Effort",
    "Equipment",
    "Firm",
    "FixedBase",
    "Heading",
    "HoursEntry",
    "HowFar",
    "Joint",
    "Layer",
    "Level",
    "Line",
    "Linear",
    "ListRow",
    "MaterialsEntry",
    "Offset",
    "Option",
    "Payment",
    "PaymentTerms",
    "Policy",
    "Pour",
    "Product",
    "Proposal",
    "Reading",
    "Role",
    "SlabCheck",
    "StandingText",
    "Survey",
    "Takeoff",
    "Task",
    "ToppingSystem",
    "Uncertainty",
    "Visit",
    "Weather",
    "WeatherEntry",
    "WhatIf",
    "Zone",
    "any_filled",
    "filled",
]


def filled(record: Any, *but: str) -> bool:
    """Tell whether anything is typed in a record, apart from the attributes named."""
    names = (attribute.name for attribute in attrs.fields(type(record)))
    return any(getattr(record, name) is not None for name in names if name not in but)


def any_filled(record: Any, names: Iterable[str]) -> float:
    """Return 1 where something is typed in one of the attributes named, if only "no limit", else missing [count]."""
    return 1.0 if any(getattr(record, name) is not None for name in names) else MISSING


@attrs.frozen(kw_only=True)
class Heading:
    """What the job is, and for whom."""

    number: str | None = text()
    name: str | None = text(optional=False)
    customer: str | None = text()
    site: str | None = text()
    status: str | None = choice("statuses", "bid")
    bid_date: dt.date | None = day()
    sent_date: dt.date | None = day()
    decided_date: dt.date | None = day()
    finished_date: dt.date | None = day()
    reason_lost: str | None = text()


@attrs.frozen(kw_only=True)
class Takeoff:
    """What holds for the whole takeoff."""

    waste: float | None = number("share", 0.10)


@attrs.frozen(kw_only=True)
class Zone:
    """A part of the job with one substrate, surface, exposure and system."""

    name: str | None = text(optional=False)
    surface: str | None = choice("surfaces")
    place: str | None = choice("places")
    system: str | None = choice("systems.name")
    finish: str | None = choice("finishes")
    colour: str | None = text()
    concrete_age: float | None = number("day")
    slab_thickness: float | None = number("depth")
    drying: str | None = choice("dryings")
    hollow_area: float | None = number("area")
    moving_cracks: str | None = choice("yes_no")
    contaminated: str | None = choice("yes_no")
    doors: str | None = choice("yes_no")
    slab_temperature: float | None = number("temperature")
    thickness: float | None = number("depth")
    fill: float | None = number("depth")
    porosity: str | None = choice("porosities")


@attrs.frozen(kw_only=True)
class Area:
    """A measured piece of a zone; in a US book a size is feet and inches."""

    label: str | None = text()
    zone: str | None = choice("zones.name")
    shape: str | None = choice("shapes")
    first: float | None = number("length")
    first_in: float | None = number("inch")
    second: float | None = number("length")
    second_in: float | None = number("inch")
    third: float | None = number("length")
    third_in: float | None = number("inch")
    typed: float | None = number("area")
    typed_perimeter: float | None = number("length")
    how_many: float | None = number("count")
    sign: str | None = choice("signs")


@attrs.frozen(kw_only=True)
class Offset:
    """One width of an area that is measured by offsets."""

    label: str | None = text()
    width: float | None = number("length")
    width_in: float | None = number("inch")


@attrs.frozen(kw_only=True)
class Linear:
    """Something measured by its length: an edge, a crack, a joint."""

    label: str | None = text()
    zone: str | None = choice("zones.name")
    kind: str | None = choice("linear_kinds")
    length: float | None = number("length")
    length_in: float | None = number("inch")
    how_many: float | None = number("count")


@attrs.frozen(kw_only=True)
class Burdens:
    """What an hour costs the employer beyond the wage."""

    payroll_taxes: float | None = number("share", 0.0845)
    compensation: float | None = number("share", 0.09)
    liability: float | None = number("share", 0.03)
    benefits: float | None = number("money/hour", 0)


@attrs.frozen(kw_only=True)
class Role:
    """Who does a task, and the wage."""

    name: str | None = text()
    wage: float | None = number("money/hour")
    source: str | None = text()


@attrs.frozen(kw_only=True)
class Product:
    """What is bought, in packages."""

    name: str | None = text()
    unit: str | None = text()
    size: float | None = number("pack/package")
    price: float | None = number("money/package")
    supplier: str | None = text()
    account: str | None = text()
    tax_code: str | None = text()
    lot_tracked: str | None = choice("yes_no")
    mass: float | None = number("mass/package")
    per_pallet: float | None = number("package")
    on_hand: float | None = number("package")


@attrs.frozen(kw_only=True)
class Line:
    """A product that the job takes besides the layers: so much per unit of a basis, within a scope."""

    name: str | None = text()
    product: str | None = choice("products.name")
    basis: str | None = choice("bases")
    dose: float | None = number("pack")
    per: float | None = number("basis", blank=1)
    waste: float | None = number("share")
    system: str | None = choice("systems.name")
    surface: str | None = choice("surfaces")
    repair: str | None = choice("criteria")
    source: str | None = text()
    zone: str | None = choice("zones.name")


@attrs.frozen(kw_only=True)
class Task:
    """Work of one kind: set-up, and a rate per person-hour."""

    name: str | None = text()
    role: str | None = choice("roles.name")
    basis: str | None = choice("bases")
    set_up: float | None = number("hour")
    set_up_per: str | None = choice("set_up_per")
    rate: float | None = number("basis/hour")
    floor: float | None = number("number")
    wall: float | None = number("number")
    step: float | None = number("number")
    system: str | None = choice("systems.name")
    surface: str | None = choice("surfaces")
    covers_area: str | None = choice("yes_no")
    account: str | None = text()
    repair: str | None = choice("criteria")
    caution: str | None = choice("cautions")
    stage: str | None = choice("stages")
    visit: str | None = choice("visit_kinds")
    source: str | None = text()
    spread: float | None = number("number")
    spread_jobs: float | None = number("count")
    zone: str | None = choice("zones.name")
    used: str | None = choice("yes_no")


@attrs.frozen(kw_only=True)
class Effort:
    """How hard the job is."""

    difficulty: float | None = number("number", 1)


@attrs.frozen(kw_only=True)
class Equipment:
    """A machine that is charged by the day."""

    name: str | None = text()
    day_rate: float | None = number("money/day")
    visit: str | None = choice("visit_kinds")
    source: str | None = text()
    days: float | None = number("day")


@attrs.frozen(kw_only=True)
class Costs:
    """Costs beside materials, labour and equipment, and the discount."""

    freight: float | None = number("money", 0)
    trips: float | None = number("number")
    vehicles: float | None = number("count", 1)
    distance: float | None = number("distance", 0)
    distance_rate: float | None = number("money/distance", 0.70)
    per_diem: float | None = number("money", 0)
    subcontract: float | None = number("money", 0)
    disposal: float | None = number("money", 0)
    permits: float | None = number("money", 0)
    sample_panel: float | None = number("money", 0)
    discount: float | None = number("money", 0)


@attrs.frozen(kw_only=True)
class Uncertainty:
    """How far hours may be from what is expected of them."""

    job_wide: float | None = number("number", STARTER_JOB_WIDE)
    job_wide_jobs: float | None = number("count")
    task_spread: float | None = number("number", STARTER_TASK)
    confidence: float | None = number("share", 0.80)


@attrs.frozen(kw_only=True)
class Policy:
    """How a price is made of a cost."""

    materials_tax: float | None = number("share", 0)
    overhead_way: str | None = choice("overhead_ways", "share")
    overhead: float | None = number("share", 0.15)
    overhead_hour: float | None = number("money/hour", 0)
    contingency: float | None = number("share", 0.05)
    contingency_way: str | None = choice("contingency_ways", "share")
    price_way: str | None = choice("price_ways", "margin")
    markup: float | None = number("share", 0.30)
    margin: float | None = number("share", 0.25)
    minimum: float | None = number("money", 0)
    round_to: float | None = number("money", 5)
    round_way: str | None = choice("round_ways", "up")
    price_tax: float | None = number("share", 0)
    tax_code: str | None = text()
