"""What people type as text is read alike from a file that openpyxl saved, from one in the calendar of 1904, and from LibreOffice's."""

from __future__ import annotations

import datetime as dt
import shutil
from pathlib import Path

import openpyxl
import pytest
from filled_books import ROWS, done_job, put
from openpyxl.utils.datetime import CALENDAR_MAC_1904

from sheetgen.book.compile import compiled
from sheetgen.check.filled import check_filled
from sheetgen.check.office import resave
from sheetgen.findings import Severity
from sheetgen.reader.filled import Filled, read_filled

OFFICE = shutil.which("soffice") or shutil.which("libreoffice")
PLAN = compiled("bid", "us", ROWS).plan
# field, record, what is typed as text, what it means
TYPED = (
    ("areas.first", 0, " 12 ft ", 12.0),
    ("areas.second", 0, "10,5", 10.5),
    ("areas.first", 1, "12' 6\"", 12.5),
    ("areas.second", 1, "1'250", 1250.0),
    ("takeoff.waste", 0, "7.5 %", 0.075),
    ("costs.freight", 0, "$1,250.50", 1250.5),
    ("zones.name", 3, "  Bath\u00a0room ", "Bath room"),
    ("hours_log.date", 0, "2026-03-31", dt.date(2026, 3, 31)),
    ("hours_log.date", 1, "April 2, 2026", dt.date(2026, 4, 2)),
    ("hours_log.hours_each", 0, "2.5 hrs", 2.5),
    ("crew.opens", 0, "7:30 am", 7.5 / 24),
)
REAL_DATE = ("hours_log.date", 2, dt.date(2026, 4, 3))


@pytest.fixture(scope="module", params=["openpyxl", "1904", pytest.param("libreoffice", marks=pytest.mark.office)])
def book(request: pytest.FixtureRequest, tmp_path_factory: pytest.TempPathFactory) -> Path:
    if request.param == "libreoffice" and OFFICE is None:
        pytest.skip("LibreOffice is not installed")
    folder = tmp_path_factory.mktemp(request.param)
    path = put(done_job(), folder / "job.xlsx", "programs")
    workbook = openpyxl.load_workbook(path)
    for name, record, typed in (*((name, record, typed) for name, record, typed, _ in TYPED), REAL_DATE):
        block, field = name.split(".")
        spot = PLAN.spot(block, field).cell(record)
        workbook[spot.sheet].cell(spot.row + 1, spot.column + 1).value = typed
    if request.param == "1904":
        workbook.epoch = CALENDAR_MAC_1904
    workbook.save(path)
    if request.param == "libreoffice":
        (folder / "saved").mkdir()
        return resave([path], folder / "saved")[0]
    return path


@pytest.fixture(scope="module")
def filled(book: Path) -> Filled:
    return read_filled(book)


@pytest.mark.parametrize(("name", "record", "typed", "value"), TYPED)
def test_what_is_typed_as_text_is_read(filled: Filled, name: str, record: int, typed: str, value: object) -> None:
    block, field = name.split(".")

    held = filled.entries[block, field][record]

    assert held == (pytest.approx(value) if isinstance(value, float) else value)
    assert type(held) is type(value)


def test_a_real_date_is_the_day_that_the_program_shows(filled: Filled) -> None:
    assert filled.entries["hours_log", "date"][2] == REAL_DATE[2]
    assert filled.raw.date1904 == ("1904" in str(filled.path))


def test_every_text_that_was_read_as_something_else_is_noted(filled: Filled) -> None:
    assert {one.severity for one in filled.findings} == {Severity.NOTE}
    assert sum(one.code == "input-read" for one in filled.findings) == len(TYPED) - 1  # a name is a text anyway


def test_figures_that_follow_from_text_are_one_finding(book: Path) -> None:
    """A number typed as text is one to sheetgen and none to the formulas of the book, so that these give other figures.

    In the calendar of 1904 the days that formulas give are smaller by four years and a day: that is no difference.
    """
    checked = check_filled(book)

    found = [one for one in checked.findings if one.severity > Severity.NOTE]
    assert {one.code for one in found} <= {"figures-follow", "stored-none", "stored-stale", "check-look", "price-missing"}
    (follow,) = [one for one in found if one.code == "figures-follow"]
    assert "is a text to the book" in follow.what
    assert checked.counts.compared > 10_000
