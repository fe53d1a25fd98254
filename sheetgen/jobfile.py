"""Inputs from files that a person writes: a job as TOML, areas as CSV, and the starter values that come with the tool."""

from __future__ import annotations

import csv
import functools
import tomllib
from typing import TYPE_CHECKING

from sheetgen.book.load import template_folder
from sheetgen.engine.job import Job
from sheetgen.fill import Filler
from sheetgen.findings import Refused, Report
from sheetgen.reason import reason_of

if TYPE_CHECKING:
    from pathlib import Path

    from sheetgen.units import System


@functools.cache
def starter(system: System) -> Job:
    """Return a job with the starter systems, products, tasks and rates, and nothing else in it."""
    return read_job(template_folder("starter") / f"{system}.toml", Job(system=system))


def read_job(path: Path, base: Job) -> Job:
    """Read a job file on top of a job.

    Parameters
    ----------
    path : Path
        TOML: ``[job]``, ``[takeoff]`` … for single blocks, ``[[areas]]``, ``[[zones]]`` … for tables, with the
        field names that ``sheetgen fields`` prints. A table in the file replaces the whole table of the job.
    base : Job
        What the file does not say; its units are the file's units.

    Returns
    -------
    Job
        The job of the file.

    Raises
    ------
    Refused
        The file cannot be read, or holds what the book does not know.
    """
    report = Report()
    try:
        raw = tomllib.loads(path.read_text(encoding="utf-8"))
    except OSError as error:
        report.error("job-file", str(path), f"cannot be read: {reason_of(error)}", "check the name of the file")
        raise Refused(report) from error
    except (tomllib.TOMLDecodeError, UnicodeDecodeError) as error:
        report.error("job-toml", str(path), f"is not readable TOML: {error}", "mend that line")
        raise Refused(report) from error
    job = Filler(path.name, base, report).filled(raw)
    if report.failed:
        raise Refused(report)
    return job


def read_areas(path: Path, base: Job) -> Job:
    """Read the rows of a CSV file as the areas of a job.

    Parameters
    ----------
    path : Path
        CSV with a header of field names of the table ``areas``.
    base : Job
        The job that gets the areas.

    Returns
    -------
    Job
        The job with these areas, in the file's order.

    Raises
    ------
    Refused
        The file cannot be read, or a row holds what the book does not know.
    """
    report = Report()
    try:
        with path.open(encoding="utf-8-sig", newline="") as file:
            reader = csv.DictReader(file, strict=True)
            rows = [(reader.line_num, row) for row in reader]
            header = [(name or "").strip() for name in reader.fieldnames or ()]
    except OSError as error:
        report.error("areas-file", str(path), f"cannot be read: {reason_of(error)}", "check the name of the file")
        raise Refused(report) from error
    except (csv.Error, UnicodeDecodeError) as error:
        report.error("areas-csv", str(path), f"is not a readable CSV file: {error}", "save it as CSV, UTF-8")
        raise Refused(report) from error
    filler = Filler(path.name, base, report)
    if rows and not filler.header("areas", header):
        raise Refused(report)
    records = {}
    for number, row in rows:
        if None in row or any(value is None for value in row.values()):
            report.error("areas-csv", f"{path.name} line {number}", "has not as many cells as the header",
                         "put one cell under each heading; put a text that holds a comma in quotes")  # fmt: skip
            continue
        records[number] = {name.strip(): text.strip() for name, text in row.items() if text.strip()}
    if not rows:
        report.error("areas-empty", path.name, "has no rows", "give a header line and one line per area")
    filler.lines = tuple(records)
    job = filler.filled({"areas": list(records.values())})
    if report.failed:
        raise Refused(report)
    return job
