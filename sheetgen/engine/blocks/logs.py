"""Log: hours and materials as the crew wrote them down, matched and checked."""

from __future__ import annotations

from typing import ClassVar

import attrs

from sheetgen.engine.blocks.zones import ZoneNames
from sheetgen.engine.inputs import Job
from sheetgen.engine.missing import MISSING, given, known, sixth, value
from sheetgen.engine.names import Register, key
from sheetgen.engine.records import HoursEntry, MaterialsEntry
from sheetgen.engine.tables import blank_row, from_rows
from sheetgen.engine.totals import Column, at
from sheetgen.engine.values import figure

# The row counts, but nobody knows for which day.
NO_DATE = 6.0


@attrs.frozen(kw_only=True)
class HoursLog:
    """The hours log."""

    block: ClassVar[str] = "hours_log"
    over: ClassVar[str | None] = "hours_log"
    scenario: ClassVar[bool] = False

    started: Column = figure("count")
    task_no: Column = figure("no")
    zone_no: Column = figure("no")
    hours: Column = figure("hour")
    fault: Column = figure("no")


@attrs.frozen(kw_only=True)
class MaterialsLog:
    """The materials log."""

    block: ClassVar[str] = "materials_log"
    over: ClassVar[str | None] = "materials_log"
    scenario: ClassVar[bool] = False

    started: Column = figure("count")
    product_no: Column = figure("no")
    used: Column = figure("package")
    bought: Column = figure("package")
    fault: Column = figure("no")


def counts(fault: float) -> bool:
    """Tell whether a row with this fault counts: only a missing date does no harm."""
    return fault in {0.0, NO_DATE}


def make_hours_log(job: Job, tasks: Register, names: ZoneNames, zones: Register) -> HoursLog:
    """Match each row of the hours log; in a job of one zone a row belongs to it."""
    begun_zones = [number for number, begun in enumerate(names.started, start=1) if known(begun)]
    only = float(begun_zones[0]) if len(begun_zones) == 1 else MISSING
    covers = [1.0 if task.covers_area == "yes" else 0.0 for task in job.tasks]
    rows = []
    for entry in job.hours_log:
        if all(x is None for x in (entry.date, entry.task, entry.hours_each, entry.area_done)):
            rows.append(blank_row(HoursLog))
            continue
        task_no = tasks.number(entry.task)
        zone_no = zones.number(entry.zone, blank=only)
        hours = given(entry.people, 1) * value(entry.hours_each)
        fault = _hours_fault(entry, task_no, zone_no, hours, covers=at(covers, task_no) == 1)
        rows.append((1.0, task_no, zone_no, hours if counts(fault) else MISSING, fault))
    return from_rows(HoursLog, rows)


def _hours_fault(entry: HoursEntry, task_no: float, zone_no: float, hours_h: float, *, covers: bool) -> float:
    area_done = entry.area_done is not None and entry.area_done > 0
    if not known(task_no):
        return 1.0
    if not hours_h >= 0:
        return 2.0
    if key(entry.zone) is not None and not known(zone_no):
        return 3.0
    if area_done and not covers:
        return 4.0
    if area_done and not known(zone_no):
        return 5.0
    return NO_DATE if entry.date is None else 0.0


def make_materials_log(job: Job, products: Register) -> MaterialsLog:
    """Match each row of the materials log, and tell what was used and bought."""
    rows = []
    for entry in job.materials_log:
        typed = (entry.date, entry.product, entry.amount)
        counted = (entry.taken, entry.opened, entry.part_left, entry.returned)
        if all(x is None for x in (*typed, *counted)):
            rows.append(blank_row(MaterialsLog))
            continue
        product_no = products.number(entry.product)
        used, bought = packages_used(entry), packages_bought(entry)
        fault = _materials_fault(entry, product_no, used, bought)
        if not counts(fault):
            used = bought = MISSING
        rows.append((1.0, product_no, used, bought, fault))
    return from_rows(MaterialsLog, rows)


def packages_used(entry: MaterialsEntry) -> float:
    """Return opened less part left, or else taken less returned, of one row [package]."""
    if entry.opened is not None:
        return entry.opened - given(entry.part_left, 0)
    return packages_bought(entry)


def packages_bought(entry: MaterialsEntry) -> float:
    """Return taken less returned of one row, 0 where nothing was taken [package]."""
    if entry.taken is None:
        return 0.0
    return entry.taken - given(entry.returned, 0)


def _materials_fault(entry: MaterialsEntry, product_no: float, used: float, bought: float) -> float:
    if not known(product_no):
        return 1.0
    if sixth(used) < 0 or sixth(bought) < 0:
        return 2.0
    if entry.taken is not None and entry.opened is not None:
        accounted = entry.opened + given(entry.returned, 0)
        if sixth(accounted - entry.taken) > 0:
            return 3.0
    return NO_DATE if entry.date is None else 0.0
