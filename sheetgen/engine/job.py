"""A job and its values: `compute` goes from all inputs of a bid book to all its figures, block by block."""

from __future__ import annotations

from typing import TYPE_CHECKING

import attrs

from sheetgen.engine.blocks import (
    areas,
    checks,
    compare,
    compared,
    hours,
    laid,
    linear,
    lines,
    materials_log,
    needs,
    offsets,
    price,
    rates,
    systems,
    tasks,
    topping,
    work,
    zones,
)
from sheetgen.engine.inputs import Display, Job, basis_unit, convert_job, inputs, padded
from sheetgen.engine.names import Register, keys
from sheetgen.engine.values import SCENARIOS, Collector, Name, Values, names_of

if TYPE_CHECKING:
    from sheetgen.engine.values import Figures

__all__ = ["Job", "Values", "compute", "convert_job", "inputs", "names", "padded"]

# Every class of figures, in the order of the book.
FIGURES: tuple[type[Figures], ...] = (
    checks.Steps,
    zones.ZoneNames,
    zones.Lone,
    zones.ZoneFigures,
    laid.Laid,
    laid.Basis,
    laid.Has,
    offsets.Offsets,
    areas.Areas,
    linear.Linears,
    zones.Measured,
    systems.Systems,
    systems.Layers,
    topping.Topping,
    topping.LayerNeeds,
    rates.OnWages,
    rates.Roles,
    rates.Products,
    lines.Lines,
    lines.LineNeeds,
    needs.Needs,
    needs.Stock,
    needs.Buying,
    tasks.Tasks,
    work.Labour,
    work.Work,
    rates.EquipmentCosts,
    price.Price,
    hours.HoursLog,
    materials_log.MaterialsLog,
    compare.AreaDone,
    compare.Progress,
    compared.ComparedProducts,
    compared.ComparedSystems,
    compared.ComparedTasks,
    compare.Compare,
    checks.Checks,
    checks.Master,
)


def names() -> dict[str, Name]:
    """Return every figure by name: its unit, and of what kind its block is."""
    return names_of(FIGURES)


@attrs.frozen(kw_only=True)
class _Names:
    """The names that people type, each leading to a number."""

    zones: Register
    systems: Register
    products: Register
    tasks: Register


def _names(job: Job) -> _Names:
    return _Names(
        zones=Register(keys([one.name for one in job.zones])),
        systems=Register(keys([one.name for one in job.systems])),
        products=Register(keys([one.name for one in job.products])),
        tasks=Register(keys([one.name for one in job.tasks])),
    )


def compute(job: Job) -> Values:
    """Compute every figure of a job's book.

    Parameters
    ----------
    job : Job
        In either system of units; blank rows give figures too, so that `padded` gives those of a whole book.

    Returns
    -------
    Values
        In US display units; `Values.in_job_system` gives the job's own.

    Notes
    -----
    What is compared after rounding is compared in the display units of the job.
    The scenario *accepted* has no options to differ by yet: it has the figures of *as bid*.
    """
    display = Display(job.system)
    us_job = convert_job(job, "us")
    known = _names(us_job)
    collect = Collector(job.system, _bases(us_job))

    on_offsets = offsets.make_offsets(us_job)
    on_areas = areas.make_areas(us_job, known.zones, on_offsets, display)
    on_linear = linear.make_linears(us_job, known.zones)
    zone_names = zones.make_zone_names(us_job, known.systems)
    lone = zones.make_lone(zone_names)
    on_zones = zones.make_zones(us_job, zone_names, on_areas, on_linear, display)
    measured = zones.make_measured(zone_names, on_zones, on_areas, on_linear)
    on_systems = systems.make_systems(us_job, known.products, display)
    on_layers = systems.make_layers(us_job, known.systems, known.products)
    collect.all(on_offsets, on_areas, on_linear, zone_names, lone, on_zones, measured, on_systems, on_layers)

    on_wages = rates.make_on_wages(us_job)
    roles = rates.make_roles(us_job)
    products = rates.make_products(us_job)
    on_lines = lines.make_lines(us_job, known.products, known.systems, known.zones)
    on_tasks = tasks.make_tasks(us_job, roles, known.systems, known.zones)
    equipment = rates.make_equipment(us_job)
    collect.all(on_wages, roles, products, on_lines, on_tasks, equipment)

    on_laid = laid.make_laid(us_job, zone_names, on_zones)
    basis = laid.make_basis(us_job, zone_names, on_zones, on_laid)
    has = laid.make_has(basis)
    toppings = topping.make_topping(us_job, on_systems, zone_names, on_laid)
    layer_needs = topping.make_layer_needs(on_layers, toppings)
    line_needs = lines.make_line_needs(us_job, on_lines, zone_names, basis)
    asked = needs.Asked(
        systems=on_systems,
        layers=on_layers,
        lines=on_lines,
        topping=toppings,
        layer_needs=layer_needs,
        line_needs=line_needs,
    )
    wanted = needs.make_needs(us_job, products, asked)
    stock = needs.make_stock(products, wanted)
    labour = work.make_labour(us_job, on_tasks, zone_names, basis, has)
    all_work = work.make_work(on_tasks, labour)
    on_price = price.make_price(us_job, names=zone_names, laid=on_laid, stock=stock, work=all_work, equipment=equipment)
    by_scenario = (on_laid, basis, has, toppings, layer_needs, line_needs, wanted, stock, labour, all_work, on_price)
    for scenario in SCENARIOS:
        collect.all(*by_scenario, scenario=scenario)

    buying = needs.make_buying(us_job, products, on_systems, wanted)
    to = hours.Matching(task_register=known.tasks, zone_register=known.zones, tasks=on_tasks, zones=zone_names, lone=lone)
    hours_log = hours.make_hours_log(us_job, to)
    log = materials_log.make_materials_log(us_job, known.products)
    done = compare.make_area_done(us_job, on_systems, hours_log)
    progress = compare.make_progress(us_job, done, zone_names, on_laid)
    share = progress.done_share
    of_products = compared.compare_products(us_job, log, products, buying, wanted, done_share=share)
    of_systems = compared.compare_systems(us_job, on_systems, toppings, of_products, done.area_done)
    of_tasks = compared.compare_tasks(us_job, hours_log, on_tasks, labour, done_share=share, on_wages=on_wages.on_wages)
    compared_all = compare.make_compare(
        progress, work=all_work, hours_log=hours_log, materials_log=log, tasks=of_tasks, products=of_products
    )
    found = checks.make_checks(
        measured=measured,
        offsets=on_offsets,
        systems=on_systems,
        layers=on_layers,
        roles=roles,
        products=buying,
        lines=on_lines,
        tasks=on_tasks,
        compare=compared_all,
        price=on_price,
    )
    collect.all(buying, hours_log, log, done, progress, of_products, of_systems, of_tasks, compared_all, found)
    collect.all(checks.make_steps(us_job, zone_names, on_areas, on_price), checks.make_master(found, display))
    return collect.values()


def _bases(job: Job) -> dict[str, tuple[str, ...]]:
    """Return what each row of lines and tasks is counted in."""
    return {
        "lines": tuple(basis_unit(line.basis) for line in job.lines),
        "tasks": tuple(basis_unit(task.basis) for task in job.tasks),
    }
