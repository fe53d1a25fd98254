"""Pour plan: all its blocks, one after the other."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

import attrs

from sheetgen.engine.blocks.batches import Batches, make_batches
from sheetgen.engine.blocks.layer_clock import (
    LayerClock,
    LayerOrders,
    LayerTimes,
    SystemRows,
    make_layer_clock,
    make_layer_orders,
    make_system_rows,
)
from sheetgen.engine.blocks.plan_work import (
    PlanWork,
    PourWork,
    Preparing,
    WorkOfTasks,
    hours_of_kind_h,
    make_plan_work,
    make_preparing,
)
from sheetgen.engine.blocks.planned import Planned, Poured, first_day_of_pours, make_planned
from sheetgen.engine.blocks.pour_hands import CrewChoices, make_crew_choices, make_pour_hands
from sheetgen.engine.blocks.pour_limits import make_pour_limits
from sheetgen.engine.blocks.pour_sizes import PouredBags, Slabs, count_lost_pours, make_pour_asked, make_pour_sizes, make_poured_bags
from sheetgen.engine.blocks.pour_tasks import (
    PourBasis,
    PourTasks,
    StagePaces,
    TaskSides,
    make_pour_basis,
    make_pour_tasks,
    make_stage_paces,
)
from sheetgen.engine.blocks.pour_times import Layout, make_pour_times
from sheetgen.engine.blocks.pour_verdicts import make_pour_verdicts
from sheetgen.engine.blocks.pour_zones import make_pour_zones
from sheetgen.engine.blocks.visits import VisitCounts, Visits, count_visits, make_visits, typed_visits
from sheetgen.engine.blocks.waiting import PourWaiting, StageTasks, make_pour_waiting, make_stage_tasks
from sheetgen.engine.blocks.zone_pours import ZoneCoats, ZoneShares, ZoneUses, make_zone_coats, make_zone_shares, make_zone_uses
from sheetgen.engine.missing import known
from sheetgen.engine.totals import at, total

if TYPE_CHECKING:
    from sheetgen.engine.batch_line import BatchLine
    from sheetgen.engine.blocks.data_sheet import DataSheets
    from sheetgen.engine.blocks.laid import Laid
    from sheetgen.engine.blocks.systems import Layers, Systems
    from sheetgen.engine.blocks.times import LayerWaits, Times
    from sheetgen.engine.blocks.zones import ZoneNames
    from sheetgen.engine.inputs import Display, Job
    from sheetgen.engine.names import Register
    from sheetgen.engine.totals import Column
    from sheetgen.engine.values import Figures


@attrs.frozen(kw_only=True)
class Pours:
    """The pours before anybody's day is planned: what they cover and take."""

    crew: CrewChoices
    coats: ZoneCoats
    uses: ZoneUses
    shares: ZoneShares
    layout: Layout

    def blocks(self) -> tuple[Figures, ...]:
        """Return all blocks of figures."""
        layout = self.layout
        return (self.crew, self.coats, self.uses, self.shares, layout.zones, layout.hands, layout.asked, layout.sizes, layout.limits)

    def bags(self, job: Job, systems: Systems) -> PouredBags:
        """Count the bags of each system by whole batches."""
        return make_poured_bags(job, systems, self.layout.zones, self.layout.sizes)

    def lost(self, job: Job) -> Column:
        """Count the pours of each system without bags that are known [count]."""
        return count_lost_pours(job, self.layout.zones, self.layout.asked)


def make_pours(job: Job, register: Register, names: ZoneNames, laid: Laid, times: Times, display: Display) -> Pours:
    """Lay the pours out."""
    coats = make_zone_coats(job, names, laid)
    covered = make_pour_zones(job, register, names, coats)
    crew = make_crew_choices(job)
    hands = make_pour_hands(job, covered, crew)
    asked = make_pour_asked(job, covered, hands, Slabs(names=names, laid=laid, coats=coats, display=display))
    sizes = make_pour_sizes(job, covered, asked)
    limits = make_pour_limits(job, covered, hands, sizes, times, display)
    return Pours(
        crew=crew,
        coats=coats,
        uses=make_zone_uses(names, covered, coats, laid),
        shares=make_zone_shares(names, laid, covered, asked.lost, sizes.density, sizes.portion),
        layout=Layout(zones=covered, hands=hands, asked=asked, sizes=sizes, limits=limits),
    )


@attrs.frozen(kw_only=True)
class Plan:
    """The pours by the clock, and the visits."""

    poured: Poured
    batches: Batches
    planned: Planned
    orders: LayerOrders
    system_rows: SystemRows
    clock: LayerClock
    stages: StageTasks
    paces: StagePaces
    pour_basis: PourBasis
    pour_tasks: PourTasks
    waiting: PourWaiting
    work: PlanWork
    visits: Visits

    def blocks(self) -> tuple[Figures, ...]:
        """Return all blocks of figures."""
        own = [getattr(self, one.name) for one in attrs.fields(Plan) if one.name != "poured"]
        return (self.poured.batches.times, self.poured.verdicts, *own)

    @property
    def counts(self) -> VisitCounts:
        """How many visits are paid."""
        return count_visits(self.visits, self.work)

    @property
    def chosen_line(self) -> BatchLine | None:
        """The batches of the chosen pour, if they have times."""
        chosen = self.planned.chosen
        return self.poured.batches.lines[int(chosen) - 1] if known(chosen) else None


@attrs.frozen(kw_only=True)
class Sheets:
    """What systems and layers say, for the clock of the layers."""

    systems: Systems
    data_sheets: DataSheets
    layers: Layers
    waits: LayerWaits


def make_plan(job: Job, pours: Pours, of_tasks: WorkOfTasks, laid: Laid, sheets: Sheets) -> Plan:
    """Plan the visits that prepare, then the pours, then the rest of the visits."""
    layout = pours.layout
    preparing = make_preparing(job, of_tasks)
    first_day = first_day_of_pours(preparing.kind.count)
    batches = make_pour_times(job, layout, first_day)
    poured = Poured(
        layout=layout, batches=batches, verdicts=make_pour_verdicts(layout, batches), coats=pours.coats, uses=pours.uses
    )
    planned = make_planned(job, poured, first_day)
    paces, pour_basis = make_stage_paces(of_tasks.tasks, of_tasks.reckoned), make_pour_basis(job, layout)
    sides = TaskSides(of=of_tasks, laid=laid, layout=layout, paces=paces, basis=pour_basis)
    pour_tasks = make_pour_tasks(job, sides, batches)
    waiting = make_pour_waiting(batches, pour_tasks, of_tasks.tasks)
    orders = make_layer_orders(sheets.layers)
    system_rows = make_system_rows(job, sheets.systems, sheets.data_sheets, sheets.layers, orders)
    pour_h = hours_of_kind_h("pour", of_tasks) + total(waiting.waiting, layout.zones.started)
    work = _visit_work(job, preparing, _pour_work(poured, planned, pour_h), of_tasks, system_rows)
    layer_times = LayerTimes(rows=system_rows, layers=sheets.layers, waits=sheets.waits)
    return Plan(
        poured=poured,
        batches=make_batches(job, layout, batches),
        planned=planned,
        orders=orders,
        system_rows=system_rows,
        clock=make_layer_clock(job, layout.zones, batches, layer_times),
        stages=make_stage_tasks(of_tasks.tasks, of_tasks.reckoned),
        paces=paces,
        pour_basis=pour_basis,
        pour_tasks=pour_tasks,
        waiting=waiting,
        work=work,
        visits=make_visits(job, work, first_day),
    )


def _pour_work(poured: Poured, planned: Planned, pour_h: float) -> PourWork:
    """Gather what the visits that pour are planned by."""
    days, sizes = poured.batches.times.day_no, poured.layout.hands.crew_size
    started = [day for day, begun in zip(days, poured.layout.zones.started, strict=True) if known(begun)]
    return PourWork(
        hours=pour_h,
        days=float(len({day for day in started if known(day)})),
        latest_day=max(started, default=0.0) if all(map(known, started)) else math.nan,
        crew_chosen=at(sizes, planned.chosen),
        crew_first=at(sizes, 1.0),
    )


def _visit_work(job: Job, preparing: Preparing, pouring: PourWork, of_tasks: WorkOfTasks, rows: SystemRows) -> PlanWork:
    """Plan the visits that pour and seal."""
    rests = [rest for rest in rows.rest if known(rest)]
    return make_plan_work(
        job,
        preparing,
        pouring,
        seal_h=hours_of_kind_h("seal", of_tasks),
        typed=float(sum(typed_visits(job))),
        rest_h=max(rests, default=0.0),
    )
