"""A job and its values: `compute` goes from all inputs of a bid book to all its figures, block by block."""

from __future__ import annotations

from typing import TYPE_CHECKING

import attrs

from sheetgen.engine.blocks import (
    afterwards,
    areas,
    batches,
    checks,
    chosen,
    compare,
    compared,
    crews,
    data_sheet,
    day_sheet,
    hours,
    joints,
    laid,
    layer_clock,
    levels,
    linear,
    lines,
    materials_log,
    needs,
    observed,
    offsets,
    paid,
    plan,
    plan_work,
    planned,
    pour_charts,
    pour_hands,
    pour_limits,
    pour_sizes,
    pour_tasks,
    pour_times,
    pour_verdicts,
    pour_zones,
    price,
    rates,
    readings,
    risk,
    slab,
    strength,
    surveyed,
    system_limits,
    systems,
    task_work,
    tasks,
    times,
    topping,
    visits,
    waiting,
    weather,
    work,
    zone_pours,
    zone_survey,
    zones,
)
from sheetgen.engine.blocks.materials import Bought, make_materials
from sheetgen.engine.blocks.plan_work import WorkOfTasks
from sheetgen.engine.blocks.scope import Ground
from sheetgen.engine.blocks.staffed import make_staffed
from sheetgen.engine.inputs import Display, Job, convert_job, inputs, padded, row_unit, with_whole_plan, with_whole_survey
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
    pour_hands.CrewChoices,
    zone_pours.ZoneCoats,
    zone_pours.ZoneUses,
    zone_pours.ZoneShares,
    pour_zones.PourZones,
    pour_hands.PourHands,
    pour_sizes.PourAsked,
    pour_sizes.PourSizes,
    pour_limits.PourLimits,
    pour_times.PourTimes,
    pour_verdicts.PourVerdicts,
    layer_clock.LayerOrders,
    layer_clock.SystemRows,
    layer_clock.LayerClock,
    pour_tasks.StagePaces,
    pour_tasks.PourBasis,
    pour_tasks.PourTasks,
    waiting.StageTasks,
    waiting.StageWages,
    waiting.PlannedWages,
    waiting.PourWaiting,
    waiting.WaitingCosts,
    batches.Batches,
    planned.Planned,
    plan_work.PlanWork,
    visits.Visits,
    paid.WeekHours,
    paid.Weeks,
    paid.Paid,
    chosen.Chosen,
    crews.Crews,
    crews.BestCrew,
    pour_charts.Schedule,
    pour_charts.BusyHands,
    day_sheet.DayRanks,
    day_sheet.Day,
    day_sheet.DayPours,
    rates.OnWages,
    rates.Roles,
    rates.Products,
    lines.Lines,
    lines.LineNeeds,
    needs.Needs,
    needs.Stock,
    needs.Buying,
    tasks.Tasks,
    task_work.TaskWork,
    work.OwnLabour,
    work.Labour,
    work.Work,
    rates.EquipmentCosts,
    price.Trips,
    risk.Uncertainty,
    risk.RiskTasks,
    risk.Risk,
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
    us_job = with_whole_plan(with_whole_survey(convert_job(job, "us")))
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
    collect.all(on_wages, roles, products, on_lines, on_tasks)

    on_laid = laid.make_laid(us_job, zone_names, on_zones)
    ground = Ground(names=zone_names, laid=on_laid, repairs=survey.repairs)
    pours = plan.make_pours(us_job, known.zones, zone_names, on_zones, on_laid, survey.times, display)
    basis = laid.make_basis(us_job, zone_names, on_zones, on_laid, pours.shares)
    has = laid.make_has(basis)
    reckoned = task_work.make_task_work(us_job, on_tasks, pours.layout.zones)
    own_labour = work.make_own_labour(us_job, on_tasks, reckoned, ground, basis, has)
    of_tasks = WorkOfTasks(tasks=on_tasks, reckoned=reckoned, own_hours=own_labour.own_hours)
    sheets = plan.Sheets(systems=on_systems, data_sheets=survey.data_sheets, layers=on_layers, waits=survey.layer_waits)
    on_site = plan.make_plan(us_job, pours, of_tasks, on_zones, sheets)
    staffed = make_staffed(us_job, of_tasks, on_site)
    equipment = rates.make_equipment(us_job, on_site.visits, staffed.paid.visits)
    collect.all(*pours.blocks(), reckoned, *on_site.blocks(), *staffed.blocks(), equipment)

    bought = Bought(systems=on_systems, layers=on_layers, lines=on_lines, products=products)
    materials = make_materials(us_job, bought, ground, basis, pours.bags(us_job), staffed.paid.visits)
    priced = price.make_price(
        us_job, names=zone_names, laid=on_laid, stock=materials.stock, staffed=staffed, equipment=equipment, tasks=on_tasks
    )
    for scenario in SCENARIOS:
        collect.all(on_laid, basis, has, own_labour, staffed.labour, staffed.work, scenario=scenario)
        collect.all(*priced.by_scenario(), *materials.by_scenario(), scenario=scenario)
    collect.all(price.make_trips(us_job, staffed.paid.visits), *day_sheet.make_day_sheet(us_job, on_site, on_layers))

    bid = afterwards.Estimate(
        systems=on_systems,
        laid=on_laid,
        topping=materials.topping,
        products=products,
        needs=materials.needs,
        buying=materials.buying,
        labour=staffed.labour,
        work=staffed.work,
        on_wages=on_wages,
    )
    to = hours.Matching(task_register=known.tasks, zone_register=known.zones, tasks=on_tasks, zones=zone_names, lone=lone)
    after = afterwards.make_afterwards(us_job, known.products, to, bid)
    found = checks.make_checks(
        surveyed=survey,
        measured=measured,
        offsets=on_offsets,
        plan=on_site,
        systems=on_systems,
        layers=on_layers,
        roles=roles,
        products=materials.buying,
        lines=on_lines,
        tasks=on_tasks,
        compare=after.compare,
        price=priced.price,
    )
    collect.all(priced.uncertainty, materials.buying, *after.blocks(), found)
    collect.all(checks.make_steps(us_job, zone_names, on_areas, priced.price), checks.make_master(found, display))
    return collect.values()


def _row_units(job: Job) -> dict[str, tuple[str, ...]]:
    """Return what each row of lines, tasks, readings, and pairs of a pour and a task is measured in."""
    units = {block: tuple(map(row_unit, getattr(job, block))) for block in ("lines", "tasks", "readings")}
    return units | {"pour_tasks": units["tasks"] * len(job.pours)}
