"""Pour plan: the hours of each task in each pour, without set-up and difficulty."""
# ruff: noqa: RUF009 - figure() returns an attrs field, which is no default that records would share

from __future__ import annotations

from typing import TYPE_CHECKING, ClassVar, Final

import attrs

from sheetgen.engine.blocks.table import Row, flag, table
from sheetgen.engine.blocks.zones import system_of
from sheetgen.engine.lists import SURFACES
from sheetgen.engine.materials import bags_before_rounding, mixed_volume_ft3
from sheetgen.engine.missing import MISSING, above_zero, known, value
from sheetgen.engine.totals import Column, at, total
from sheetgen.engine.values import figure

if TYPE_CHECKING:
    from sheetgen.engine.blocks.laid import Laid
    from sheetgen.engine.blocks.plan_work import WorkOfTasks
    from sheetgen.engine.blocks.pour_times import Layout, PouredBatches
    from sheetgen.engine.blocks.task_work import TaskWork
    from sheetgen.engine.blocks.tasks import Tasks
    from sheetgen.engine.inputs import Job

_ANY: Final = 0.0


@attrs.frozen(kw_only=True)
class StagePaces:
    """How long the tasks of stages take on each surface; other tasks take nothing of a pour."""

    block: ClassVar[str] = "stage_paces"
    over: ClassVar[str | None] = "tasks"
    scenario: ClassVar[bool] = False

    floor: Column = figure("hour/basis")
    wall: Column = figure("hour/basis")
    step: Column = figure("hour/basis")


@attrs.frozen(kw_only=True)
class PourBasis:
    """How much of each basis a pour is."""

    block: ClassVar[str] = "pour_basis"
    over: ClassVar[str | None] = "pours"
    scenario: ClassVar[bool] = False

    none: Column = figure("basis", "count")
    area: Column = figure("basis", "area")
    batches: Column = figure("basis", "batch")
    bags: Column = figure("basis", "bag")
    volume: Column = figure("basis", "volume")
    pours: Column = figure("basis", "count")

    def of(self, way: float, row: int) -> float:
        """Return the amount of a pour that a task counts [basis]."""
        if not known(way):
            return MISSING
        columns = (self.none, self.area, self.batches, self.bags, self.volume, self.pours)
        return columns[int(way) - 1][row]


@attrs.frozen(kw_only=True)
class PourTasks:
    """The hours of each task in each pour: pour 1 with all tasks, then pour 2."""

    block: ClassVar[str] = "pour_tasks"
    over: ClassVar[str | None] = "pour_tasks"
    scenario: ClassVar[bool] = False

    pace: Column = figure("hour/basis")
    fits: Column = figure("count")
    amount: Column = figure("basis")
    zone: Column = figure("no")
    met: Column = figure("count")
    parts: Column = figure("count")
    share: Column = figure("number")
    hours: Column = figure("hour")

    def hours_in(self, row: int, tasks: Tasks) -> float:
        """Add up what all tasks take in a pour [h]."""
        count = len(tasks.started)
        return total(self.hours[row * count : (row + 1) * count], tasks.started)


def make_stage_paces(tasks: Tasks, reckoned: TaskWork) -> StagePaces:
    """Return the pace of each task on each surface."""
    columns = {}
    for surface in SURFACES:
        times = zip(reckoned.staged, getattr(tasks, f"by_{surface}"), reckoned.unit_time, strict=True)
        columns[surface] = tuple(by * unit if staged == 1 else staged for staged, by, unit in times)
    return StagePaces(**columns)


def make_pour_basis(job: Job, layout: Layout) -> PourBasis:
    """Count each pour by every basis that a task of a stage may have."""
    rows: list[Row] = []
    for row, early in enumerate(layout.asked.early_fault):
        if early != 0:
            rows.append({})
            continue
        sizes, system = layout.sizes, system_of(job, layout.zones.system_no[row])
        volume = mixed_volume_ft3(sizes.area[row], sizes.depth[row], 1, 0, value(job.takeoff.waste))
        rows.append(
            {
                "none": 0.0,
                "area": sizes.area[row],
                "batches": sizes.batches[row],
                "bags": bags_before_rounding(volume, above_zero(value(system.yield_))),
                "volume": volume,
                "pours": 1.0,
            }
        )
    return table(PourBasis, rows)


@attrs.frozen(kw_only=True)
class TaskSides:
    """What pours and tasks bring to their pairs."""

    of: WorkOfTasks
    laid: Laid
    layout: Layout
    paces: StagePaces
    basis: PourBasis


def make_pour_tasks(job: Job, sides: TaskSides, poured: PouredBatches) -> PourTasks:
    """Share the tasks of the stages out among the pours."""
    rows: list[Row] = []
    for row, fault in enumerate(poured.times.fault):
        rows += [_pair(sides, row, task, fault) for task in range(len(job.tasks))]
    return table(PourTasks, rows)


def _pair(sides: TaskSides, row: int, task: int, fault: float) -> Row:
    tasks, pours = sides.of.tasks, sides.layout.zones
    if not known(tasks.started[task]):
        return {}
    pace = _pace(sides, row, task)
    system_no, zone = tasks.system_no[task], tasks.zone_no[task]
    fits = flag(holds=system_no in {_ANY, pours.system_no[row]}) if known(system_no + pours.system_no[row]) else MISSING
    first, second, third = pours.numbers_at(row)
    met = flag(holds=first == zone) + flag(holds=second == zone) if known(zone + first + second) else MISSING
    parts = met + flag(holds=third == zone) if known(third) else MISSING
    share = 1.0 if zone == _ANY else parts * at(sides.laid.area, zone) / sides.layout.sizes.area[row]
    amount = sides.basis.of(sides.of.reckoned.pour_way[task], row)
    found: Row = {"pace": pace, "fits": fits, "amount": amount, "zone": zone, "met": met, "parts": parts, "share": share}
    if fault != 0:
        return found
    return found | {"hours": pace * amount * share if pace > 0 and fits != 0 else 0.0}


def _pace(sides: TaskSides, row: int, task: int) -> float:
    """Return the pace of a task on the surface of a pour [h/basis]."""
    surface_no = sides.layout.zones.surface_no[row]
    if not known(surface_no):
        return MISSING
    column: Column = getattr(sides.paces, SURFACES[int(surface_no) - 1])
    return column[task]
