"""A job and its values: `compute` goes from all inputs of a bid book to all its figures, block by block."""

from __future__ import annotations

from typing import TYPE_CHECKING

import attrs

from sheetgen.engine.blocks import (
    afterwards,
    areas,
    checks,
    compare,
    compared,
    data_sheet,
    hours,
    joints,
    laid,
    levels,
    linear,
    lines,
    materials_log,
    needs,
    observed,
    offsets,
    price,
    rates,
    readings,
    slab,
    strength,
    surveyed,
    system_limits,
    systems,
    tasks,
    times,
    topping,
    weather,
    work,
    zone_survey,
    zones,
)
from sheetgen.engine.blocks.scope import Ground
from sheetgen.engine.inputs import Display, Job, convert_job, inputs, padded, row_unit, with_whole_survey
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
    zone_survey.ZoneSurvey,
    readings.Readings,
    joints.Joints,
    joints.JointSums,
    levels.Levels,
    observed.ObservedCount,
    observed.ObservedBad,
    observed.ObservedSource,
    strength.StrengthCount,
    strength.StrengthSum,
    strength.StrengthByMode,
    strength.StrengthBelow,
    slab.Slab,
    slab.Verdicts,
    slab.Repairs,
    weather.WeatherFigures,
    times.Times,
    zones.ZoneFigures,
    laid.Laid,
    laid.Basis,
    laid.Has,
    offsets.Offsets,
    areas.Areas,
    linear.Linears,
    zones.Measured,
    systems.Systems,
    system_limits.SystemLimits,
    system_limits.LowLimits,
    system_limits.HighLimits,
    data_sheet.DataSheets,
    systems.Layers,
    times.LayerWaits,
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
        `slab` has figures for all pairs of the zones given, and `weather` for each place, whatever is given of them.

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
    us_job = with_whole_survey(convert_job(job, "us"))
    known = _names(us_job)
    collect = Collector(job.system, _row_units(us_job))

    on_offsets = offsets.make_offsets(us_job)
    on_areas = areas.make_areas(us_job, known.zones, on_offsets, display)
    on_linear = linear.make_linears(us_job, known.zones)
    on_joints = joints.make_joints(us_job, known.zones)
    zone_names = zones.make_zone_names(us_job, known.systems)
    lone = zones.make_lone(zone_names)
    joint_sums = joints.make_joint_sums(on_joints, zone_names)
    on_zones = zones.make_zones(us_job, zone_names, on_areas, on_linear, joint_sums, display)
    measured = zones.make_measured(zone_names, on_zones, on_areas, on_linear)
    on_systems = systems.make_systems(us_job, known.products, display)
    on_layers = systems.make_layers(us_job, known.systems, known.products)
    collect.all(on_offsets, on_areas, on_linear, zone_names, lone, on_zones, measured, on_systems, on_layers)

    survey = surveyed.make_surveyed(
        us_job,
        zone_register=known.zones,
        names=zone_names,
        zones=on_zones,
        joints=on_joints,
        joint_sums=joint_sums,
        layers=on_layers,
        display=display,
    )
    collect.all(*survey.blocks())

    on_wages = rates.make_on_wages(us_job)
    roles = rates.make_roles(us_job)
    products = rates.make_products(us_job)
    on_lines = lines.make_lines(us_job, known.products, known.systems, known.zones)
    on_tasks = tasks.make_tasks(us_job, roles, known.systems, known.zones)
    equipment = rates.make_equipment(us_job)
    collect.all(on_wages, roles, products, on_lines, on_tasks, equipment)

    on_laid = laid.make_laid(us_job, zone_names, on_zones)
    ground = Ground(names=zone_names, laid=on_laid, repairs=survey.repairs)
    basis = laid.make_basis(us_job, zone_names, on_zones, on_laid)
    has = laid.make_has(basis)
    toppings = topping.make_topping(us_job, on_systems, zone_names, on_laid)
    layer_needs = topping.make_layer_needs(on_layers, toppings)
    line_needs = lines.make_line_needs(us_job, on_lines, ground, basis)
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
    labour = work.make_labour(us_job, on_tasks, ground, basis, has)
    all_work = work.make_work(on_tasks, labour)
    on_price = price.make_price(us_job, names=zone_names, laid=on_laid, stock=stock, work=all_work, equipment=equipment)
    by_scenario = (on_laid, basis, has, toppings, layer_needs, line_needs, wanted, stock, labour, all_work, on_price)
    for scenario in SCENARIOS:
        collect.all(*by_scenario, scenario=scenario)

    buying = needs.make_buying(us_job, products, on_systems, wanted)
    to = hours.Matching(task_register=known.tasks, zone_register=known.zones, tasks=on_tasks, zones=zone_names, lone=lone)
    bid = afterwards.Estimate(
        systems=on_systems,
        laid=on_laid,
        topping=toppings,
        products=products,
        needs=wanted,
        buying=buying,
        labour=labour,
        work=all_work,
        on_wages=on_wages,
    )
    after = afterwards.make_afterwards(us_job, known.products, to, bid)
    found = checks.make_checks(
        surveyed=survey,
        measured=measured,
        offsets=on_offsets,
        systems=on_systems,
        layers=on_layers,
        roles=roles,
        products=buying,
        lines=on_lines,
        tasks=on_tasks,
        compare=after.compare,
        price=on_price,
    )
    collect.all(buying, *after.blocks(), found)
    collect.all(checks.make_steps(us_job, zone_names, on_areas, on_price), checks.make_master(found, display))
    return collect.values()


def _row_units(job: Job) -> dict[str, tuple[str, ...]]:
    """Return what each row of lines, tasks and readings is measured in."""
    return {block: tuple(map(row_unit, getattr(job, block))) for block in ("lines", "tasks", "readings")}
