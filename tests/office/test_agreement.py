"""Formulas against engine with LibreOffice as the second witness: random jobs, one run, every formula cell."""

from __future__ import annotations

import datetime as dt
import shutil
from pathlib import Path

import attrs
import pytest
from jobs import SMALL, demo_job, random_job

from sheetgen.book.compile import Compiled, compiled
from sheetgen.book.contents import Contents
from sheetgen.book.plan import Place
from sheetgen.book.stamp import Stamp
from sheetgen.book.write import write
from sheetgen.check.meet import contents_of, expected
from sheetgen.check.recalculate import recalculate_all
from sheetgen.check.values import agree
from sheetgen.engine.job import Job
from sheetgen.engine.records import Area
from sheetgen.units import SYSTEMS, System

pytestmark = [
    pytest.mark.office,
    pytest.mark.skipif(
        not (shutil.which("soffice") or shutil.which("libreoffice")), reason="LibreOffice is not installed"
    ),
]
DAY = dt.date(2026, 3, 2)
# Seeds that tests/property does not use.
SEEDS = range(20_000, 20_002)


def test_libreoffice_and_engine_say_the_same_of_random_jobs(tmp_path: Path) -> None:
    """Both witnesses say the same of every formula cell, whichever program recalculates."""
    jobs = {system: [random_job(seed, system) for seed in SEEDS] for system in SYSTEMS}
    books: list[tuple[str, Path, Contents]] = []
    for system, drawn in jobs.items():
        made = _just_large_enough(system, drawn)
        for seed, job in zip(SEEDS, drawn, strict=True):
            path = tmp_path / f"{system}-{seed}.xlsx"
            contents = contents_of(made, job)
            write(path, contents, Stamp.of(made.plan, f"{seed}", DAY))
            books.append((f"{system} seed {seed}", path, contents))
    books.append(_many_batches(tmp_path / "many.xlsx"))

    recalculated = recalculate_all([path for _, path, _ in books], "libreoffice")

    found, compared = [], 0
    for (name, _, contents), got in zip(books, recalculated, strict=True):
        wanted = expected(contents)
        places = {(sheet, place) for sheet, cells in wanted.items() for place in cells}
        assert places == {(sheet, place) for sheet, cells in got.items() for place in cells}, name
        for sheet, place in sorted(places):
            one, value = wanted[sheet][place], got[sheet][place]
            compared += 1
            if not agree(one.value, value):
                found.append(f"{name}, {one.name} {sheet} {place}: engine {one.value!r}, LibreOffice {value!r}")

    assert found[:20] == []
    assert compared > len(books) * 10_000


def _many_batches(path: Path) -> tuple[str, Path, Contents]:
    """Write a book whose batches fill most of the table: LibreOffice reckons long columns in several threads."""
    job = demo_job()
    hall = Area(label="Hall", zone=job.zones[0].name, shape="typed", typed=14_000.0)
    job = attrs.evolve(job, areas=(*job.areas, hall), pours=())
    made = compiled("bid", "us", {**SMALL, "batches": 300})
    contents = contents_of(made, job)
    assert contents.formula(Place("planned", "batches", 0, None)) > 150
    write(path, contents, Stamp.of(made.plan, "many", DAY))
    return "many batches", path, contents


def _just_large_enough(system: System, jobs: list[Job]) -> Compiled:
    """Return a book for the largest of these jobs: prepared rows that all stay blank take most of the time."""
    names = [one.name for one in attrs.fields(Job) if one.metadata.get("rows")]
    rows = {name: 1 + max(len(getattr(job, name)) for job in jobs) for name in names}
    return compiled("bid", system, rows | {"pours": 12, "batches": 40, "visits": 12})
