"""Filled books for tests of what reads them: a job that is done, one that runs, and a metric one."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping
from pathlib import Path

import attrs
import openpyxl
from jobs import demo_job

from sheetgen.book.compile import compiled
from sheetgen.book.stamp import Stamp
from sheetgen.book.write import write
from sheetgen.check.meet import contents_of
from sheetgen.engine.job import Job
from sheetgen.engine.records import Area, HoursEntry
from sheetgen.jobfile import starter

DAY = dt.date(2026, 3, 2)
ROWS = {
    "zones": 4, "areas": 8, "offsets": 5, "linear": 3, "readings": 6, "pours": 4, "batches": 60, "visits": 8, "hours_log": 14,
    "materials_log": 5,
}  # fmt: skip
# As few rows as the starter values and one area need: such a book is made and checked in a third of the time.
LEAST = {
    "zones": 2, "areas": 4, "offsets": 2, "linear": 2, "readings": 2, "levels": 2, "joints": 2, "pours": 2, "batches": 20, "visits": 4,
    "hours_log": 3, "materials_log": 3, "tasks": 20, "products": 15, "lines": 8, "equipment": 4, "roles": 4, "systems": 5, "layers": 15,
}  # fmt: skip
NAME = '=HYPERLINK("x")'


def put(job: Job, path: Path, book_id: str, rows: Mapping[str, int] = ROWS) -> Path:
    """Write a book of a job; what the checks say of such books is tested elsewhere."""
    made = compiled("bid", job.system, rows)
    write(path, contents_of(made, job), Stamp.of(made.plan, book_id, DAY))
    return path


def done_job() -> Job:
    job = demo_job()
    return attrs.evolve(job, job=attrs.evolve(job.job, status="done", number="D-1", name="Done"))


def running_job() -> Job:
    job = demo_job()
    return attrs.evolve(
        job, job=attrs.evolve(job.job, status="running", number="R-1", name=NAME), hours_log=job.hours_log[:2], materials_log=()
    )


def metric_job() -> Job:
    job = starter("metric")
    place = next(task.name for task in job.tasks if task.name == "Place")
    return attrs.evolve(
        job, job=attrs.evolve(job.job, status="done", number="M-1", name="Metric"), areas=(Area(first=5.0, second=4.0),),
        hours_log=(HoursEntry(date=DAY, task=place, zone="Zone 1", people=1.0, hours_each=2.0, area_done=20.0),),
    )  # fmt: skip


def type_into(book: Path, goal: Path, typed: Mapping[str, object]) -> Path:
    """Save a US book under another name, with other values in some fields, as a spreadsheet program does: ``zones.name[2]``."""
    workbook = openpyxl.load_workbook(book)
    for name, value in typed.items():
        block, _, field = name.partition("[")[0].partition(".")
        record = int(name.partition("[")[2].rstrip("]") or 1) - 1
        spot = compiled("bid", "us", ROWS).plan.spot(block, field).cell(record)
        workbook[spot.sheet].cell(spot.row + 1, spot.column + 1).value = value
    workbook.save(goal)
    return goal
