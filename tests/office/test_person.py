"""A person fills a blank book in one program, saves it in another, and hands it to sheetgen."""

from __future__ import annotations

import datetime as dt
import shutil
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import attrs
import openpyxl
import pytest

from sheetgen.book.compile import compiled
from sheetgen.book.template import Field
from sheetgen.build import build_bid
from sheetgen.check.filled import check_filled
from sheetgen.check.meet import contents_of, expected, job_of
from sheetgen.check.office import resave
from sheetgen.check.recalculate import stored
from sheetgen.check.values import agree
from sheetgen.engine.job import Job
from sheetgen.engine.records import Area, HoursEntry, Linear, MaterialsEntry, Zone
from sheetgen.findings import Finding
from sheetgen.jobfile import starter
from sheetgen.reader.filled import read_filled

pytestmark = [
    pytest.mark.long,
    pytest.mark.office,
    pytest.mark.skipif(
        not (shutil.which("soffice") or shutil.which("libreoffice")), reason="LibreOffice is not installed"
    ),
]
DAY = dt.date(2026, 3, 2)
TOPPING = "Squeegee topping"


def _typed_job() -> Job:
    """Return what the person has in mind: the starter rates and a small job."""
    base = starter("us")
    return attrs.evolve(
        base,
        job=attrs.evolve(
            base.job, name="=Hall & porch", number="0042", customer="A. Person", status="running", bid_date=dt.date(2026, 3, 4)
        ),
        takeoff=attrs.evolve(base.takeoff, waste=0.08),
        zones=(
            Zone(name="Hall", surface="floor", place="inside", system=TOPPING, porosity="average"),
            Zone(name="Porch", surface="step", place="outside", system=TOPPING),
        ),
        areas=(
            Area(label="Hall", zone="Hall", shape="rectangle", first=16.0, first_in=4.0, second=13.5),
            Area(label="Column", zone="Hall", shape="circle", first=1.0, sign="deduct"),
            Area(label="Porch", zone="Porch", shape="steps", first=4.0, second=0.0, second_in=11.0, third=0.0, third_in=7.0, how_many=3.0),
        ),
        linear=(Linear(label="Wall", zone="Hall", kind="edge", length=59.5),),
        hours_log=(
            HoursEntry(date=dt.date(2026, 3, 9), task=base.tasks[0].name, zone="Hall", people=2.0, hours_each=1.25),
            HoursEntry(date=dt.date(2026, 3, 10), task=base.tasks[1].name, people=1.0, hours_each=0.5, wage=27.0, rework="yes"),
        ),
        materials_log=(
            MaterialsEntry(
                date=dt.date(2026, 3, 9), product=base.products[0].name, taken=6.0, opened=5.0, part_left=0.5, returned=1.0, amount=210.4
            ),
        ),
    )  # fmt: skip


@pytest.fixture(scope="module")
def saved(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Return the book as LibreOffice saves it: blank book, typed into with openpyxl, recalculated and saved."""
    folder = tmp_path_factory.mktemp("person")
    blank, filled, out = folder / "blank.xlsx", folder / "filled.xlsx", folder / "saved"
    build_bid(starter("us"), blank, made_on=DAY, book_id="person")
    book = openpyxl.load_workbook(blank)
    typed = 0
    for sheet, row, column, value in _typing(starter("us"), _typed_job()):
        cell = book[sheet].cell(row, column)
        assert book[sheet].protection.sheet, sheet
        assert not cell.protection.locked, f"{sheet}!{cell.coordinate} is locked"
        cell.value = value
        if isinstance(value, str):
            cell.data_type = "s"
        typed += 1
    assert typed > 40
    book.save(filled)
    out.mkdir()
    return resave([filled], out)[0]


def test_the_job_is_read_as_it_was_typed(saved: Path) -> None:
    filled = read_filled(saved)

    assert [one.line() for one in filled.findings if one.code != "saved-by"] == []
    typed, job = _typed_job(), job_of(filled.entries, filled.stamp.system)
    # LibreOffice saves 15 digits: a third of a day has more.
    assert job.crew.opens == pytest.approx(typed.crew.opens, rel=1e-14)
    assert attrs.evolve(job, crew=attrs.evolve(job.crew, opens=typed.crew.opens)) == typed


def test_the_figures_that_the_person_sees_are_those_of_the_engine(saved: Path) -> None:
    """Write, fill, recalculate, save: every formula cell of the saved file holds the engine's value."""
    job = _typed_job()
    wanted = expected(contents_of(compiled("bid", "us"), job))
    raw = read_filled(saved).raw
    found = [
        f"{one.name} {sheet} {place}: engine {one.value!r}, saved {got!r}"
        for sheet, cells in wanted.items()
        for place, one in cells.items()
        if not agree(one.value, got := stored(raw.cell(sheet, *place)))
    ]

    assert found[:20] == []


def test_check_finds_no_formula_cell_wrong(saved: Path) -> None:
    """What a program loses of form when it saves may be said; no formula cell may be called wrong."""
    checked = check_filled(saved)
    said = [_without_place(finding) for finding in checked.findings]
    print(*sorted(set(said)), sep="\n")

    assert [line for line in said if "formula" in line] == []
    assert checked.counts.found == checked.counts.recalculated == checked.counts.compared + checked.counts.shows
    assert checked.counts.compared > 10_000


def _without_place(finding: Finding) -> str:
    return f"{finding.severity.name.lower()} {finding.code}: {finding.what}"


def _typing(blank: Job, wanted: Job) -> Iterator[tuple[str, int, int, Any]]:
    """Yield sheet, row, column and content of each cell in which a job differs from the blank book's."""
    plan = compiled("bid", "us").plan
    for block, field in plan.entered():
        for place, cell in plan.places(block, field):
            before, after = (_held(job, block.name, place.record, field) for job in (blank, wanted))
            if before != after:
                yield cell.sheet, cell.row + 1, cell.column + 1, _as_typed(field, after)


def _held(job: Job, block: str, record: int, field: Field) -> Any:
    held = getattr(job, block)
    if isinstance(held, tuple):
        if record >= len(held):
            return None
        held = held[record]
    return getattr(held, "yield_" if field.name == "yield" else field.name)


def _as_typed(field: Field, value: Any) -> Any:
    """Return what a person picks from the list or types: the word of a choice, never its code."""
    if field.kind != "choice" or "." in field.choices or value is None:
        return value
    records = compiled("bid", "us").plan.book.blocks[field.choices].records
    return next(record["word"] for record in records if record["code"] == value)
