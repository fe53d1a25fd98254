"""Compare: how much of the job is done, by area."""

from __future__ import annotations

import math
from typing import ClassVar

import attrs

from sheetgen.engine.blocks.laid import Laid
from sheetgen.engine.blocks.logs import HoursLog, MaterialsLog, counts
from sheetgen.engine.blocks.zones import ZoneNames
from sheetgen.engine.inputs import Job
from sheetgen.engine.lists import FINISHED
from sheetgen.engine.missing import MISSING, given, known, ratio
from sheetgen.engine.totals import Column, per_record, sum_known, total, totals_by_number
from sheetgen.engine.values import figure


@attrs.frozen(kw_only=True)
class Done:
    """How much of the job is done."""

    block: ClassVar[str] = "compare"
    over: ClassVar[str | None] = None
    scenario: ClassVar[bool] = False

    finished: float = figure("count")
    area_done: float = figure("area")
    done_share: float = figure("share")
    log_faults: float = figure("count")
    log_looks: float = figure("count")


def area_by_system_ft2(job: Job, log: HoursLog, names: ZoneNames) -> Column:
    """Return the area logged for each system, rework left out [ft²].

    Missing where any row of the hours log has a fault: what is wrong in one may belong to another.
    """
    covers = [1.0 if task.covers_area == "yes" else 0.0 for task in job.tasks]
    covering = per_record(covers, log.task_no)
    systems = per_record(names.system_no, log.zone_no)
    areas = tuple(
        _area_counted(given(entry.area_done, 0), fault, counted=covers and entry.rework != "yes")
        for entry, fault, covers in zip(job.hours_log, log.fault, covering, strict=True)
    )
    return totals_by_number(areas, log.started, systems, len(job.systems))


def _area_counted(area_ft2: float, fault: float, *, counted: float) -> float:
    if not counts(fault):
        return MISSING
    return area_ft2 if counted else 0.0


def make_done(
    job: Job,
    hours: HoursLog,
    materials: MaterialsLog,
    area_by_system: Column,
    names: ZoneNames,
    laid: Laid,
) -> Done:
    """Compare the area logged with the area to be laid."""
    finished = 1.0 if job.job.status in FINISHED else 0.0
    area = sum_known(area_by_system)
    if area == 0:
        area = MISSING
        share = 1.0 if finished else MISSING
    else:
        share = ratio(area, total(laid.area, names.started))
        share = min(1.0, share) if known(share) else MISSING
    faults = (*hours.fault, *materials.fault)
    return Done(
        finished=finished,
        area_done=area,
        done_share=share,
        log_faults=float(sum(fault > 0 and not counts(fault) for fault in faults)),
        log_looks=float(sum(fault > 0 and counts(fault) for fault in faults)),
    )


def weighted_by_area(figures: Column, laid: Laid, system_no: float) -> float:
    """Return the mean of a figure over the zones of a system, weighted by area; missing without area.

    Parameters
    ----------
    figures : tuple of float
        One figure per zone [-].
    laid : Laid
        Area and system of each zone.
    system_no : float
        The system [no].

    Returns
    -------
    float
        Σ area · figure / Σ area [-].
    """
    of_system = [(area, one) for area, one, number in zip(laid.area, figures, laid.system_no, strict=True) if number == system_no]
    weight = math.fsum(area for area, _ in of_system)
    return ratio(math.fsum(area * one for area, one in of_system), weight)
