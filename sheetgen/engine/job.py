"""From a job to all its values: inputs in, figures of every formula out."""

from __future__ import annotations

from sheetgen.engine.blocks import (
    areas,
    checks,
    compare,
    done,
    laid,
    logs,
    needs,
    pricing,
    rates,
    systems,
    work,
    zones,
)
from sheetgen.engine.inputs import Display, Job, basis_unit, convert_job
from sheetgen.engine.names import Register, keys
from sheetgen.engine.values import SCENARIOS, Collector, Values

__all__ = ["Job", "Values", "compute", "convert_job"]


def compute(job: Job) -> Values:
    """Compute every formula of the bid book.

    Parameters
    ----------
    job : Job
        Inputs, in the display units of the job's system.

    Returns
    -------
    Values
        In US display units, in which the engine computes; `Values.in_job_system` gives those of the
        job. What cannot be computed for want of an input is missing; nothing is raised.
    """
    display = Display(job.system)
    us = convert_job(job, "us")
    into = Collector(job.system, _basis_of(job))
    _Bid(us, display, into).compute()
    return into.values()


def _basis_of(job: Job) -> dict[str, tuple[str, ...]]:
    return {
        "lines": tuple(basis_unit(line.basis) for line in job.lines),
        "tasks": tuple(basis_unit(task.basis) for task in job.tasks),
    }


class _Bid:
    """One job on its way through the blocks, in the order in which one needs the other."""

    def __init__(self, job: Job, display: Display, into: Collector) -> None:
        self.job = job
        self.display = display
        self.into = into

    def compute(self) -> None:
        self.measure()
        self.match()
        for scenario in SCENARIOS:
            self.bid(scenario)
        # What is bought and what is compared goes by what the customer accepted, the last scenario.
        self.compare()
        self.check()

    def measure(self) -> None:
        job, display, add = self.job, self.display, self.into.add
        self.system_names = Register(systems.system_keys(job))
        self.zone_names = zones.make_zone_names(job, self.system_names)
        self.zone_register = Register(self.zone_names.key)
        self.offsets = areas.make_offsets(job)
        self.areas = areas.make_areas(job, self.zone_register, self.offsets, display)
        self.linears = zones.make_linears(job, self.zone_register)
        self.zones = zones.make_zones(job, self.zone_names, self.areas, self.linears, display)
        self.measured = zones.make_measured(job, self.zone_names, self.zones, self.areas, self.linears)
        for figures in (self.zone_names, self.offsets, self.areas, self.linears, self.zones):
            add(figures)
        add(self.measured)

    def match(self) -> None:
        job, add = self.job, self.into.add
        self.roles = rates.make_roles(job)
        self.products = rates.make_products(job)
        self.product_register = Register(self.products.key)
        self.systems = systems.make_systems(job, self.product_register, self.display)
        self.layers = systems.make_layers(job, self.system_names, self.product_register)
        zone_names = self.zone_register
        self.lines = rates.make_lines(job, self.product_register, self.system_names, zone_names)
        self.tasks = rates.make_tasks(job, Register(self.roles.key), self.system_names, zone_names)
        self.equipment = rates.make_equipment(job)
        for figures in (self.roles, self.products, self.systems, self.layers):
            add(figures)
        for figures in (self.lines, self.tasks, self.equipment):
            add(figures)

    def bid(self, scenario: str) -> None:
        job, names = self.job, self.zone_names
        self.laid = laid.make_laid(job, names, self.zones)
        self.basis = laid.make_basis(job, names, self.zones, self.laid)
        self.topping = laid.make_topping(job, self.systems, names, self.laid)
        layer_needs = laid.make_layer_needs(job, self.layers, names, self.laid)
        line_needs = needs.make_line_needs(job, self.lines, names, self.basis)
        self.asked = needs.Suppliers(
            systems=self.systems,
            layers=self.layers,
            lines=self.lines,
            topping=self.topping,
            layer_needs=layer_needs,
            line_needs=line_needs,
        )
        self.needs = needs.make_needs(job, self.products, self.asked)
        stock = needs.make_stock(self.products, self.needs)
        self.labour = work.make_labour(job, self.tasks, self.roles, names, self.basis)
        self.work = work.make_work(self.tasks, self.labour)
        self.price = pricing.make_price(job, stock, self.work, self.equipment, names, self.laid)
        for figures in (self.laid, self.basis, self.topping, layer_needs, line_needs, self.needs):
            self.into.add(figures, scenario)
        for figures in (stock, self.labour, self.work, self.price):
            self.into.add(figures, scenario)

    def compare(self) -> None:
        job, names, add = self.job, self.zone_names, self.into.add
        self.buying = needs.make_buying(job, self.products, self.needs)
        hours = logs.make_hours_log(job, Register(self.tasks.key), names, self.zone_register)
        materials = logs.make_materials_log(job, self.product_register)
        area_by_system = done.area_by_system_ft2(job, hours, names)
        self.done = done.make_done(job, hours, materials, area_by_system, names, self.laid)
        products = compare.make_products(job, self.products, materials, self.asked, self.done)
        thickness = compare.make_thickness(
            job, self.systems, products, area_by_system, self.topping, self.laid
        )
        tasks = compare.make_tasks(job, self.tasks, self.roles, self.labour, hours, self.done)
        whole = compare.make_comparison(
            job, self.done, self.work, hours, self.systems, products, tasks
        )
        for figures in (self.buying, hours, materials, self.done, products):
            add(figures)
        for figures in (thickness, tasks, whole):
            add(figures)

    def check(self) -> None:
        job = self.job
        found = checks.Checked(
            names=self.zone_names,
            zones=self.zones,
            areas=self.areas,
            offsets=self.offsets,
            measured=self.measured,
            systems=self.systems,
            layers=self.layers,
            roles=self.roles,
            buying=self.buying,
            lines=self.lines,
            tasks=self.tasks,
            done=self.done,
            price=self.price,
        )
        checked = checks.make_checks(job, found)
        self.into.add(checked)
        self.into.add(checks.make_steps(job, found))
        self.into.add(checks.make_master(checked, self.display))
