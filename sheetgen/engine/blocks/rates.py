"""Rates: wages, products, lines, tasks and equipment, checked and matched."""

from __future__ import annotations

from typing import ClassVar

import attrs

from sheetgen.engine.inputs import Job
from sheetgen.engine.labour import loaded_wage
from sheetgen.engine.lists import BASES, SURFACES, number_of
from sheetgen.engine.missing import MISSING, cents, given, known, value
from sheetgen.engine.names import Register, keys, twins
from sheetgen.engine.records import Task, filled
from sheetgen.engine.tables import blank_row, from_rows
from sheetgen.engine.totals import Column, Texts
from sheetgen.engine.values import figure

# A scope left blank holds for all.
ANY = 0.0


@attrs.frozen(kw_only=True)
class Roles:
    """Wages, loaded."""

    block: ClassVar = "roles"
    over: ClassVar = "roles"
    scenario: ClassVar = False

    key: Texts = figure("text")
    twin: Column = figure("count")
    loaded: Column = figure("money/hour")


@attrs.frozen(kw_only=True)
class Products:
    """The products' names."""

    block: ClassVar = "products"
    over: ClassVar = "products"
    scenario: ClassVar = False

    key: Texts = figure("text")
    twin: Column = figure("count")
    started: Column = figure("count")


@attrs.frozen(kw_only=True)
class Lines:
    """The lines, with their names matched."""

    block: ClassVar = "lines"
    over: ClassVar = "lines"
    scenario: ClassVar = False

    started: Column = figure("count")
    product_no: Column = figure("no")
    basis_no: Column = figure("no")
    system_no: Column = figure("no")
    surface_no: Column = figure("no")
    zone_no: Column = figure("no")
    fault: Column = figure("no")


@attrs.frozen(kw_only=True)
class Tasks:
    """The tasks, with their names matched."""

    block: ClassVar = "tasks"
    over: ClassVar = "tasks"
    scenario: ClassVar = False

    started: Column = figure("count")
    key: Texts = figure("text")
    twin: Column = figure("count")
    role_no: Column = figure("no")
    basis_no: Column = figure("no")
    system_no: Column = figure("no")
    surface_no: Column = figure("no")
    zone_no: Column = figure("no")
    on: Column = figure("count")
    fault: Column = figure("no")


@attrs.frozen(kw_only=True)
class EquipmentCosts:
    """What equipment costs."""

    block: ClassVar = "equipment"
    over: ClassVar = "equipment"
    scenario: ClassVar = False

    started: Column = figure("count")
    cost: Column = figure("money")


def burden_on_wage(job: Job) -> float:
    """Return what follows a wage as a share of it, benefits left out [-]."""
    burdens = job.burdens
    return (
        value(burdens.payroll_taxes) + value(burdens.compensation) + value(burdens.liability)
    )


def make_roles(job: Job) -> Roles:
    """Load each wage."""
    names = keys([role.name for role in job.roles])
    burdens = job.burdens
    loaded = tuple(
        loaded_wage(
            value(role.wage),
            value(burdens.payroll_taxes),
            value(burdens.compensation),
            value(burdens.liability),
            value(burdens.benefits),
        )
        for role in job.roles
    )
    return Roles(key=names, twin=twins(names), loaded=loaded)


def make_products(job: Job) -> Products:
    """Name the products; what is on hand does not begin a row."""
    names = keys([product.name for product in job.products])
    started = tuple(
        1.0 if filled(product, "account", "lot_tracked", "on_hand") else MISSING
        for product in job.products
    )
    return Products(key=names, twin=twins(names), started=started)


def make_lines(job: Job, products: Register, systems: Register, zones: Register) -> Lines:
    """Match the names of each line and find its first fault."""
    rows = []
    for line in job.lines:
        if not filled(line):
            rows.append(blank_row(Lines))
            continue
        product = products.number(line.product)
        basis = number_of(BASES, line.basis)
        system = systems.number(line.system, blank=ANY)
        surface = number_of(SURFACES, line.surface, blank=ANY)
        zone = zones.number(line.zone, blank=ANY)
        needed = (product, basis, value(line.dose), system, surface, zone)
        fault = next((float(n) for n, one in enumerate(needed, start=1) if not known(one)), 0.0)
        rows.append((1.0, product, basis, system, surface, zone, fault))
    return from_rows(Lines, rows)


def make_tasks(job: Job, roles: Register, systems: Register, zones: Register) -> Tasks:
    """Match the names of each task and find its first fault."""
    names = keys([task.name for task in job.tasks])
    twin = twins(names)
    rows = []
    for task, alike in zip(job.tasks, twin, strict=True):
        if not filled(task, "zone", "used"):
            rows.append(blank_row(Tasks, "key", "twin"))
            continue
        role = roles.number(task.role)
        basis = number_of(BASES, task.basis)
        system = systems.number(task.system, blank=ANY)
        surface = number_of(SURFACES, task.surface, blank=ANY)
        zone = zones.number(task.zone, blank=ANY)
        fault = _task_fault(task, alike, (role, basis), (system, surface, zone))
        on = 0.0 if task.used == "no" else 1.0
        rows.append((1.0, role, basis, system, surface, zone, on, fault))
    return from_rows(Tasks, rows, key=names, twin=twin)


def _task_fault(
    task: Task, twin: float, work: tuple[float, float], scope: tuple[float, float, float]
) -> float:
    if not known(twin):
        return 1
    if twin > 1:
        return 2
    role, basis = work
    system, surface, zone = scope
    rate = value(task.rate) > 0
    there = (known(role), known(basis), rate, known(system), known(surface), known(zone))
    return next((n for n, one in enumerate(there, start=3) if not one), 0)


def make_equipment(job: Job) -> EquipmentCosts:
    """Charge each machine for its days; days left blank cost nothing."""
    started = tuple(1.0 if filled(machine) else MISSING for machine in job.equipment)
    costs = []
    for machine, begun in zip(job.equipment, started, strict=True):
        days = given(machine.days, 0)
        cost = cents(days * value(machine.day_rate)) if days != 0 else 0.0
        costs.append(cost if known(begun) else MISSING)
    return EquipmentCosts(started=started, cost=tuple(costs))
