"""A filled book is read as it was typed; what cannot be read is named with sheet and cell."""

from __future__ import annotations

import datetime as dt
import shutil
import zipfile
from collections.abc import Callable
from pathlib import Path

import openpyxl
import pytest
from jobs import SMALL, demo_job, random_job

from sheetgen.book.compile import compiled
from sheetgen.book.stamp import Stamp
from sheetgen.book.validate import bounds
from sheetgen.book.write import write
from sheetgen.check.meet import contents_of, job_of
from sheetgen.engine.job import Job
from sheetgen.findings import Finding, Refused
from sheetgen.jobfile import starter
from sheetgen.reader.filled import read_filled
from sheetgen.units import SYSTEMS, System

DAY = dt.date(2026, 3, 2)


@pytest.fixture(scope="module")
def demo_book(tmp_path_factory: pytest.TempPathFactory) -> Path:
    path = tmp_path_factory.mktemp("demo") / "demo.xlsx"
    write(path, contents_of(compiled("bid", "us", SMALL), demo_job()), Stamp.of(compiled("bid", "us", SMALL).plan, "demo", DAY))
    return path


def changed(book: Path, folder: Path, change: Callable[[openpyxl.Workbook], None]) -> Path:
    """Return a copy of a book that a person changed."""
    path = folder / "changed.xlsx"
    workbook = openpyxl.load_workbook(book)
    change(workbook)
    workbook.save(path)
    return path


def codes(findings: tuple[Finding, ...]) -> set[str]:
    return {finding.code for finding in findings}


def trimmed(job: Job) -> dict[str, object]:
    """Return the blocks of a job without the blank rows at the end of its tables."""
    import attrs

    found: dict[str, object] = {}
    for one in attrs.fields(Job):
        held = getattr(job, one.name)
        if isinstance(held, tuple):
            rows = list(held)
            while rows and all(value is None for value in attrs.astuple(rows[-1], recurse=False)):
                rows.pop()
            held = tuple(rows)
        found[one.name] = held
    return found


def taken(job: Job) -> Job:
    """Return a job with numbers within what their cells take: what is beyond is refused when it is read."""
    import attrs

    plan = compiled("bid", job.system, SMALL).plan
    limits: dict[str, dict[str, tuple[float, float]]] = {"products": {}, "weather": {}, "pours": {}, "visits": {}}
    for block, field in plan.entered():
        if block.name in limits and field.kind == "input" and field.unit not in {"text", "clock"}:
            limits[block.name][field.name] = bounds(field, plan)

    def within(record: object, allowed: dict[str, tuple[float, float]]) -> object:
        held = {name: getattr(record, name) for name in allowed}
        kept = {name: x if x is None or allowed[name][0] <= x <= allowed[name][1] else None for name, x in held.items()}
        return attrs.evolve(record, **kept)

    return attrs.evolve(job, **{name: tuple(within(one, allowed) for one in getattr(job, name)) for name, allowed in limits.items()})


@pytest.mark.parametrize("system", SYSTEMS)
@pytest.mark.parametrize("seed", range(2))
def test_write_then_read_gives_the_same_job(tmp_path: Path, system: System, seed: int) -> None:
    """Write then read gives the same job, where a cell takes what it holds."""
    job = taken(random_job(700 + seed, system))
    path = tmp_path / "book.xlsx"
    made = compiled("bid", job.system, SMALL)
    write(path, contents_of(made, job), Stamp.of(made.plan, "x", DAY))

    filled = read_filled(path)

    assert trimmed(job_of(filled.entries, system)) == trimmed(job)


def test_text_in_a_number_cell_is_named(demo_book: Path, tmp_path: Path) -> None:
    cell = _cell(demo_book, "areas.first")
    path = changed(demo_book, tmp_path, lambda book: book["Takeoff"].__setitem__(cell, "about twelve"))

    found = read_filled(path).findings

    assert any(one.code == "input-unread" and f"Takeoff!{cell}" in one.place for one in found)


def test_number_beyond_its_bounds_is_named(demo_book: Path, tmp_path: Path) -> None:
    cell = _cell(demo_book, "takeoff.waste")
    path = changed(demo_book, tmp_path, lambda book: book["Takeoff"].__setitem__(cell, 1.4))

    assert {"input-bounds"} <= codes(read_filled(path).findings)


def test_book_of_another_tool_is_refused(tmp_path: Path) -> None:
    workbook = openpyxl.Workbook()
    workbook.save(tmp_path / "other.xlsx")

    with pytest.raises(Refused) as refused:
        read_filled(tmp_path / "other.xlsx")

    assert codes(refused.value.findings) == {"stamp-none"}


def test_damaged_zip_is_refused(demo_book: Path, tmp_path: Path) -> None:
    path = tmp_path / "damaged.xlsx"
    path.write_bytes(demo_book.read_bytes()[:20000])

    with pytest.raises(Refused):
        read_filled(path)


def test_newer_template_is_refused(demo_book: Path, tmp_path: Path) -> None:
    path = tmp_path / "newer.xlsx"
    with zipfile.ZipFile(demo_book) as old, zipfile.ZipFile(path, "w", zipfile.ZIP_DEFLATED) as new:
        for item in old.infolist():
            data = old.read(item)
            if item.filename == "docProps/custom.xml":
                data = data.replace(b">1<", b">99<")
            new.writestr(item.filename, data)

    with pytest.raises(Refused) as refused:
        read_filled(path)

    assert codes(refused.value.findings) == {"stamp-differs"}


def test_the_file_is_never_written_to(demo_book: Path, tmp_path: Path) -> None:
    path = tmp_path / "mine.xlsx"
    shutil.copyfile(demo_book, path)
    path.chmod(0o444)
    before = path.read_bytes()

    read_filled(path)

    assert path.read_bytes() == before


def test_same_names_are_named(demo_book: Path, tmp_path: Path) -> None:
    """Two names equal after trim and case-fold are a finding."""

    def twice(book: openpyxl.Workbook) -> None:
        first = _cell(demo_book, "zones.name")
        column, row = first[0], int(first[1:])
        book["Survey"][f"{column}{row + 1}"] = f"  {book['Survey'][first].value.upper()} "

    assert "name-twice" in codes(read_filled(changed(demo_book, tmp_path, twice)).findings)


def test_numbers_as_people_type_them(demo_book: Path, tmp_path: Path) -> None:
    cell = _cell(demo_book, "costs.freight")
    path = changed(demo_book, tmp_path, lambda book: book["Other costs"].__setitem__(cell, " $1,250.50 "))

    filled = read_filled(path)

    assert filled.entries["costs", "freight"] == (1250.5,)


def test_blank_zone_rows_keep_their_place(tmp_path: Path) -> None:
    job = starter("us")
    path = tmp_path / "blank.xlsx"
    made = compiled("bid", job.system, SMALL)
    write(path, contents_of(made, job), Stamp.of(made.plan, "x", DAY))

    filled = read_filled(path)

    assert filled.entries["zones", "name"][0] == "Zone 1"
    assert set(filled.entries["zones", "name"][1:]) == {None}


def _cell(book: Path, name: str) -> str:
    from sheetgen.book.compile import compiled

    block, field = name.split(".")
    return compiled("bid", "us", SMALL).plan.spot(block, field).cell().a1.split("!")[1]
