"""Price: every scenario of the bid, from what is laid to the price."""

from __future__ import annotations

from typing import TYPE_CHECKING

import attrs

from sheetgen.engine.blocks.laid import Basis, Has, Laid, PlannedPours, make_basis, make_has, make_laid, with_shares
from sheetgen.engine.blocks.materials import Bought, Materials, make_materials
from sheetgen.engine.blocks.option_on import OptionOn, Scene, make_option_on, make_scene
from sheetgen.engine.blocks.plan_work import WorkOfTasks
from sheetgen.engine.blocks.priced import Priced, Sides, make_price
from sheetgen.engine.blocks.scope import Ground
from sheetgen.engine.blocks.wins import Wins, make_wins
from sheetgen.engine.blocks.work import (
    Labour,
    OwnLabour,
    PlannedHours,
    TaskScope,
    Work,
    make_labour,
    make_own_labour,
    make_task_scope,
    make_work,
)
from sheetgen.engine.scenarios import BY_NAME
from sheetgen.engine.totals import total

if TYPE_CHECKING:
    from sheetgen.engine.blocks.options import Options
    from sheetgen.engine.blocks.price import Price
    from sheetgen.engine.blocks.slab import Repairs
    from sheetgen.engine.blocks.task_work import TaskWork
    from sheetgen.engine.blocks.tasks import Tasks
    from sheetgen.engine.blocks.visits import VisitCounts
    from sheetgen.engine.blocks.zones import Lone, ZoneFigures, ZoneNames
    from sheetgen.engine.inputs import Display, Job
    from sheetgen.engine.values import Figures


@attrs.frozen(kw_only=True)
class Scenes:
    """Which options each scenario takes, and what it is reckoned with, by its name."""

    options: Options
    on: dict[str, OptionOn]
    scene: dict[str, Scene]

    def wins(self, job: Job, name: str, names: ZoneNames, lone: Lone) -> Wins:
        """Return what the options of a scenario make of each zone."""
        return make_wins(job, self.options, self.on[name], names, lone)

    def alike(self, name: str) -> tuple[object, ...]:
        """Return what tells two scenarios apart: one with the same has the same figures."""
        return (self.on[name].on, *attrs.astuple(self.scene[name]))


def make_scenes(job: Job, options: Options) -> Scenes:
    """Set up every scenario."""
    on = {name: make_option_on(job, options, scenario) for name, scenario in BY_NAME.items()}
    scenes = {name: make_scene(job, on[name], scenario) for name, scenario in BY_NAME.items()}
    return Scenes(options=options, on=on, scene=scenes)


@attrs.frozen(kw_only=True)
class Site:
    """The zones, and the options that change them; the same in every scenario."""

    names: ZoneNames
    lone: Lone
    zones: ZoneFigures
    repairs: Repairs
    scenes: Scenes
    display: Display

    def laid(self, job: Job, name: str, wins: Wins) -> Laid:
        """Lay the zones as a scenario has them."""
        return make_laid(job, self.names, self.zones, wins, self.scenes.scene[name], self.display)

    def ground(self, laid: Laid) -> Ground:
        """Return the zones that lines and tasks may count in a scenario."""
        return Ground(names=self.names, laid=laid, repairs=self.repairs)

    def batches(self, basis: Basis) -> float:
        """Add up the batches of all zones [batch]."""
        return total(basis.batches, self.names.started)


@attrs.frozen(kw_only=True)
class Bid:
    """One scenario of the bid."""

    wins: Wins
    laid: Laid
    basis: Basis
    has: Has
    task_scope: TaskScope
    own_labour: OwnLabour
    labour: Labour
    work: Work
    materials: Materials
    priced: Priced

    @property
    def price(self) -> Price:
        """The price itself."""
        return self.priced.price

    def by_scenario(self) -> tuple[Figures, ...]:
        """Return all blocks of figures."""
        own = (self.wins, self.laid, self.basis, self.has, self.task_scope, self.own_labour, self.labour, self.work)
        return (*own, *self.priced.by_scenario(), *self.materials.by_scenario())


@attrs.frozen(kw_only=True)
class Crews:
    """The tasks, and the visits that are planned for them; the same in every scenario."""

    tasks: Tasks
    reckoned: TaskWork
    counts: VisitCounts
    planned: PlannedHours


@attrs.frozen(kw_only=True)
class Bidding:
    """What every scenario is reckoned from.

    Parameters
    ----------
    site, crews, bought, sides
        Zones, tasks, products and other costs.
    pours : PlannedPours
        The pours of the accepted scenario.
    accepted : Bid
        The accepted scenario, which pours and visits are planned for.
    """

    site: Site
    crews: Crews
    bought: Bought
    sides: Sides
    pours: PlannedPours
    accepted: Bid

    def every(self, job: Job) -> dict[str, Bid]:
        """Reckon every scenario; those that are alike only once."""
        reckoned: dict[tuple[object, ...], Bid] = {}
        bids = {}
        for name in BY_NAME:
            if name == "accepted":
                bids[name] = self.accepted
                continue
            alike = self.site.scenes.alike(name)
            if alike not in reckoned:
                reckoned[alike] = self._bid(job, name)
            bids[name] = reckoned[alike]
        return bids

    def _bid(self, job: Job, name: str) -> Bid:
        """Reckon a scenario: its waiting and idle hours follow the accepted one."""
        site, crews, accepted = self.site, self.crews, self.accepted
        difficulty = site.scenes.scene[name].difficulty
        wins = site.scenes.wins(job, name, site.names, site.lone)
        laid = with_shares(site.laid(job, name, wins), accepted.laid)
        basis = make_basis(job, site.names, site.zones, laid, self.pours)
        has = make_has(basis)
        ground = site.ground(laid)
        task_scope = make_task_scope(job, crews.tasks, crews.reckoned, ground, basis, has)
        own = make_own_labour(job, crews.tasks, crews.reckoned, task_scope, difficulty)
        of_tasks = WorkOfTasks(tasks=crews.tasks, reckoned=crews.reckoned, own_hours=own.own_hours)
        labour = make_labour(of_tasks, crews.counts, difficulty)
        work = make_work(crews.tasks, labour, crews.planned, site.batches(basis))
        materials = make_materials(job, self.bought, ground, basis, accepted.materials)
        return Bid(
            wins=wins,
            laid=laid,
            basis=basis,
            has=has,
            task_scope=task_scope,
            own_labour=own,
            labour=labour,
            work=work,
            materials=materials,
            priced=make_price(job, self.sides, laid, materials, labour, work),
        )
