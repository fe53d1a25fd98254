"""What tests of posting share: a changed book, and what became of books."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence
from pathlib import Path
from typing import Any

import attrs
from filled_books import DAY

from sheetgen.engine.job import Job
from sheetgen.findings import Finding
from sheetgen.post import post

LATER = dt.date(2026, 4, 1)
CHANGES = {
    "areas.first[2]": 21.25,
    "job.site": "Behind the mill",
    "job.status": "closed",
    "takeoff.waste": 0.125,
    "hours_log.date[1]": dt.date(2026, 3, 12),
    "hours_log.people[2]": None,
    "hours_log.note[14]": "no work, rain",
}


def headed(job: Job, **heading: Any) -> Job:
    return attrs.evolve(job, job=attrs.evolve(job.job, **heading))


def became(paths: Sequence[Path], ledger: Path, amend: str = "", day: dt.date = DAY) -> tuple[list[str], list[str]]:
    """Post, and return what became of the books, and the codes of what was found."""
    outcomes, findings = post(paths, ledger, day=day, amend=amend)
    return [one.became for one in outcomes], [one.code for one in findings]


def only(findings: tuple[Finding, ...], code: str) -> Finding:
    (found,) = [one for one in findings if one.code == code]
    return found
