"""The scenario that is planned for, with the accepted options: its pours and visits, and what every other scenario takes from them."""

from __future__ import annotations

from typing import TYPE_CHECKING

import attrs

from sheetgen.engine.blocks.bidding import Bid, Bidding, Crews
from sheetgen.engine.blocks.day_sheet import make_day_sheet
from sheetgen.engine.blocks.laid import PlannedPours, make_basis, make_has
from sheetgen.engine.blocks.materials import Bought, make_materials
from sheetgen.engine.blocks.plan import Plan, Pours, Sheets, make_plan, make_pours
from sheetgen.engine.blocks.plan_work import WorkOfTasks
from sheetgen.engine.blocks.price import make_trips
from sheetgen.engine.blocks.priced import Sides, make_price
from sheetgen.engine.blocks.proposal import PrepRanks, make_prep_ranks
from sheetgen.engine.blocks.rates import EquipmentCosts, make_equipment
from sheetgen.engine.blocks.risk import make_uncertainty
from sheetgen.engine.blocks.staffed import Staffed, make_staffed
from sheetgen.engine.blocks.task_work import TaskWork, make_task_work
from sheetgen.engine.blocks.work import make_own_labour, make_task_scope

if TYPE_CHECKING:
    from sheetgen.engine.blocks.bidding import Site
    from sheetgen.engine.blocks.rate_book import RateBook
    from sheetgen.engine.blocks.surveyed import Surveyed
    from sheetgen.engine.inputs import Job
    from sheetgen.engine.names import Register
    from sheetgen.engine.values import Figures

ACCEPTED = "accepted"


@attrs.frozen(kw_only=True)
class Accepted:
    """What is planned, and what the bid is reckoned from."""

    pours: Pours
    reckoned: TaskWork
    plan: Plan
    staffed: Staffed
    equipment: EquipmentCosts
    prepares: PrepRanks
    bidding: Bidding

    @property
    def bid(self) -> Bid:
        """The scenario itself."""
        return self.bidding.accepted

    def blocks(self, job: Job) -> tuple[Figures, ...]:
        """Return all blocks of figures that are the same in every scenario."""
        own = (*self.pours.blocks(), self.reckoned, *self.plan.blocks(), *self.staffed.blocks(), self.equipment)
        priced = (make_trips(job, self.staffed.paid.visits), self.bidding.sides.uncertainty)
        day = make_day_sheet(job, self.plan, self.bidding.bought.layers)
        return (*own, *priced, self.prepares, self.bidding.bought.poured, *day)


def make_accepted(job: Job, zone_register: Register, site: Site, survey: Surveyed, of: RateBook) -> Accepted:
    """Plan pours and visits for the accepted options, and price them."""
    wins = site.scenes.wins(job, ACCEPTED, site.names, site.lone)
    laid = site.laid(job, ACCEPTED, wins)
    ground, difficulty = site.ground(laid), site.scenes.scene[ACCEPTED].difficulty
    pours = make_pours(job, zone_register, site.names, laid, survey.times, site.display)
    poured = PlannedPours(laid=laid, shares=pours.shares)
    basis = make_basis(job, site.names, site.zones, laid, poured)
    has = make_has(basis)
    reckoned = make_task_work(job, of.tasks, pours.layout.zones)
    task_scope = make_task_scope(job, of.tasks, reckoned, ground, basis, has)
    own = make_own_labour(job, of.tasks, reckoned, task_scope, difficulty)
    of_tasks = WorkOfTasks(tasks=of.tasks, reckoned=reckoned, own_hours=own.own_hours)
    sheets = Sheets(systems=of.systems, data_sheets=survey.data_sheets, layers=of.layers, waits=survey.layer_waits)
    plan = make_plan(job, pours, of_tasks, laid, sheets)
    staffed = make_staffed(job, of_tasks, plan, difficulty, site.batches(basis))
    equipment = make_equipment(job, plan.visits, staffed.paid.visits)
    bought = Bought(
        systems=of.systems,
        layers=of.layers,
        layer_sums=of.layer_sums,
        lines=of.lines,
        products=of.products,
        options=site.scenes.options,
        poured=pours.bags(job, of.systems),
        lost_pours=pours.lost(job),
        visits=staffed.paid.visits,
    )
    materials = make_materials(job, bought, ground, basis, None)
    sides = Sides(
        names=site.names,
        systems=of.systems,
        tasks=of.tasks,
        paid=staffed.paid,
        equipment=equipment,
        uncertainty=make_uncertainty(job),
    )
    bid = Bid(
        wins=wins,
        laid=laid,
        basis=basis,
        has=has,
        task_scope=task_scope,
        own_labour=own,
        labour=staffed.labour,
        work=staffed.work,
        materials=materials,
        priced=make_price(job, sides, laid, materials, staffed.labour, staffed.work),
    )
    crews = Crews(tasks=of.tasks, reckoned=reckoned, counts=plan.counts, planned=staffed.planned)
    return Accepted(
        pours=pours,
        reckoned=reckoned,
        plan=plan,
        staffed=staffed,
        equipment=equipment,
        prepares=make_prep_ranks(of.tasks, reckoned, staffed.labour),
        bidding=Bidding(site=site, crews=crews, bought=bought, sides=sides, pours=poured, accepted=bid),
    )
