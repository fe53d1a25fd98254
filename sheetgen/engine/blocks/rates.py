"""Rates: wages, products and equipment."""
# ruff: noqa: RUF009 - figure() returns an attrs field, which is no default that records would share

from __future__ import annotations

from typing import TYPE_CHECKING, ClassVar

import attrs

from sheetgen.engine.blocks.table import Row, flag, table
from sheetgen.engine.labour import loaded_wage
from sheetgen.engine.lists import VISIT_KINDS, number_of
from sheetgen.engine.missing import MISSING, above_zero, cents, given, known, value
from sheetgen.engine.names import keys, twins
from sheetgen.engine.records import filled
from sheetgen.engine.totals import at, totals_by_number
from sheetgen.engine.values import figure

if TYPE_CHECKING:
    from sheetgen.engine.blocks.visits import Visits
    from sheetgen.engine.inputs import Job
    from sheetgen.engine.totals import Column, Texts


# Equipment that is not kept for any kind of visit.
_NO_VISIT = 0.0


@attrs.frozen(kw_only=True)
class OnWages:
    """What follows every wage."""

    block: ClassVar[str] = "burdens"
    over: ClassVar[str | None] = None
    scenario: ClassVar[bool] = False

    on_wages: float = figure("share")


@attrs.frozen(kw_only=True)
class Roles:
    """Wages, loaded."""

    block: ClassVar[str] = "roles"
    over: ClassVar[str | None] = "roles"
    scenario: ClassVar[bool] = False

    key: Texts = figure("text")
    twin: Column = figure("count")
    faulty: Column = figure("count")
    loaded: Column = figure("money/hour")


@attrs.frozen(kw_only=True)
class Products:
    """The products' names and packages."""

    block: ClassVar[str] = "products"
    over: ClassVar[str | None] = "products"
    scenario: ClassVar[bool] = False

    key: Texts = figure("text")
    twin: Column = figure("count")
    started: Column = figure("count")
    pack_size: Column = figure("pack/package")
    price_fault: Column = figure("no")


@attrs.frozen(kw_only=True)
class EquipmentCosts:
    """What equipment costs."""

    block: ClassVar[str] = "equipment"
    over: ClassVar[str | None] = "equipment"
    scenario: ClassVar[bool] = False

    started: Column = figure("count")
    visit_no: Column = figure("no")
    kept_for: Column = figure("day")
    days_used: Column = figure("day")
    cost: Column = figure("money")


def make_on_wages(job: Job) -> OnWages:
    """Add up the shares that follow a wage; benefits come by the hour."""
    burdens = job.burdens
    return OnWages(on_wages=value(burdens.payroll_taxes) + value(burdens.compensation) + value(burdens.liability))


def make_roles(job: Job) -> Roles:
    """Load each wage."""
    names = keys([role.name for role in job.roles])
    burdens = job.burdens
    shares = (value(burdens.payroll_taxes), value(burdens.compensation), value(burdens.liability))
    benefits = value(burdens.benefits)
    rows: list[Row] = [
        {
            "key": name,
            "twin": twin,
            "faulty": flag(holds=twin > 1) if known(twin) else MISSING,
            "loaded": loaded_wage(value(role.wage), *shares, benefits),
        }
        for role, name, twin in zip(job.roles, names, twins(names), strict=True)
    ]
    return table(Roles, rows)


def make_products(job: Job) -> Products:
    """Name the products; account, tax code, lots and what is on hand do not begin a row."""
    names = keys([product.name for product in job.products])
    rows: list[Row] = []
    for product, name, twin in zip(job.products, names, twins(names), strict=True):
        size = above_zero(value(product.size))
        begun = filled(product, "account", "tax_code", "lot_tracked", "on_hand")
        price_fault = 3.0 if not known(size) else 4.0 if product.price is None else 0.0
        rows.append(
            {
                "key": name,
                "twin": twin,
                "started": 1.0 if begun else MISSING,
                "pack_size": size,
                "price_fault": price_fault if begun else MISSING,
            }
        )
    return table(Products, rows)


def make_equipment(job: Job, visits: Visits, paid_visits: float) -> EquipmentCosts:
    """Charge each machine for its days: those typed, else the days of its visits and as long as it is kept after them."""
    rows: list[Row] = []
    for machine in job.equipment:
        if not filled(machine, "source"):
            rows.append({})
            continue
        visit_no = number_of(VISIT_KINDS, machine.visit, blank=_NO_VISIT)
        kept_for = _kept_for(visit_no, visits, paid_visits)
        days = given(machine.days, kept_for)
        cost = cents(days * value(machine.day_rate)) if days != 0 else 0.0
        rows.append({"started": 1.0, "visit_no": visit_no, "kept_for": kept_for, "days_used": days, "cost": cost})
    return table(EquipmentCosts, rows)


def _kept_for(visit_no: float, visits: Visits, paid_visits: float) -> float:
    """Return the days that equipment is there for visits of a kind, missing where the visits are [day]."""
    if visit_no == _NO_VISIT:
        return 0.0
    if not known(visit_no + paid_visits):
        return MISSING
    return at(totals_by_number(visits.kept_days, visits.started, visits.kind_no, len(VISIT_KINDS)), visit_no)
