"""A job and its values: `compute` goes from all inputs of a bid book to all its figures, block by block."""

from __future__ import annotations

from sheetgen.engine.all_figures import names
from sheetgen.engine.blocks import afterwards, checks, hours
from sheetgen.engine.blocks.accepted import make_accepted
from sheetgen.engine.blocks.bare_zones import make_bare_zones
from sheetgen.engine.blocks.bidding import Site
from sheetgen.engine.blocks.buy_list import make_buy_list
from sheetgen.engine.blocks.needs import make_buying
from sheetgen.engine.blocks.options import make_option_doubts
from sheetgen.engine.blocks.proposal import make_lists, make_validity
from sheetgen.engine.blocks.rate_book import make_rate_book
from sheetgen.engine.blocks.registers import make_registers
from sheetgen.engine.blocks.scope_page import make_zone_scope
from sheetgen.engine.blocks.surveyed import make_surveyed
from sheetgen.engine.blocks.taken_off import make_taken_off
from sheetgen.engine.inputs import Display, Job, convert_job, inputs, padded, row_unit, with_whole_plan, with_whole_survey
from sheetgen.engine.values import Collector, Values

__all__ = ["Job", "Values", "compute", "convert_job", "inputs", "names", "padded"]


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
    Pours and visits are planned for the scenario *accepted*; the waiting of every other one follows its batches.
    """
    display = Display(job.system)
    us_job = with_whole_plan(with_whole_survey(convert_job(job, "us")))
    known = make_registers(us_job)
    collect = Collector(job.system, _row_units(us_job))

    taken = make_taken_off(us_job, known, display)
    of = make_rate_book(us_job, known, display)
    survey = make_surveyed(
        us_job,
        zone_register=known.zones,
        names=taken.names,
        zones=taken.zones,
        joints=taken.joints,
        joint_sums=taken.joint_sums,
        layers=of.layers,
        display=display,
    )
    bare = make_bare_zones(taken.names, of.layer_sums)
    doubts = make_option_doubts(us_job, taken.scenes.options, taken.names, bare, of.layer_sums)
    collect.all(*taken.blocks(), *of.blocks(), bare, doubts, *survey.blocks())

    scenes = taken.scenes
    site = Site(names=taken.names, lone=taken.lone, zones=taken.zones, repairs=survey.repairs, scenes=scenes, display=display)
    accepted = make_accepted(us_job, known.zones, site, survey, of)
    collect.all(*accepted.blocks(us_job))
    bids = accepted.bidding.every(us_job)
    for scenario, one in bids.items():
        collect.all(scenes.on[scenario], scenes.scene[scenario], *one.by_scenario(), scenario=scenario)

    bid, materials = accepted.bid, accepted.bid.materials
    buying = make_buying(us_job, of.products, of.systems, materials.needs)
    lists = make_lists(us_job, survey.slab, survey.verdicts, accepted.prepares)
    first_rows = {"colour": accepted.plan.system_rows.colour_row, "sealer": of.layer_sums.sealer_row}
    collect.all(buying, *make_buy_list(us_job, of.products, buying).blocks(), make_validity(us_job), *lists.blocks())
    collect.all(make_zone_scope(bid.laid, of.layers, scenes.options, first_rows))
    to = hours.Matching(
        task_register=known.tasks,
        zone_register=known.zones,
        role_register=known.roles,
        order_register=known.orders,
        tasks=of.tasks,
        zones=taken.names,
        lone=taken.lone,
        roles=of.roles,
        on_wages=of.on_wages,
    )
    estimate = afterwards.Estimate(
        systems=of.systems,
        laid=bid.laid,
        topping=materials.topping,
        products=of.products,
        needs=materials.needs,
        buying=buying,
        labour=bid.labour,
        work=bid.work,
        options=scenes.options,
        prices={scenario: one.price for scenario, one in bids.items()},
    )
    after = afterwards.make_afterwards(us_job, known.products, to, estimate, display)
    found = checks.make_checks(
        surveyed=survey,
        taken=taken,
        of=of,
        plan=accepted.plan,
        products=buying,
        doubts=doubts,
        lists=lists,
        after=after,
        price=bid.price,
    )
    steps = checks.make_steps(us_job, taken.names, taken.areas, bid.price)
    collect.all(*after.blocks(), found, steps, checks.make_master(found, display))
    return collect.values()


def _row_units(job: Job) -> dict[str, tuple[str, ...]]:
    """Return what each row of lines, tasks, readings, and pairs of a pour and a task is measured in."""
    units = {block: tuple(map(row_unit, getattr(job, block))) for block in ("lines", "tasks", "readings")}
    return units | {"pour_tasks": units["tasks"] * len(job.pours)}
