"""A filled book on the bench: each thing a person changed is said once, and what follows from it is gathered."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import attrs
import openpyxl
import pytest
from filled_books import LEAST, ROWS, done_job, metric_job, put

from sheetgen.book.compile import compiled
from sheetgen.check.filled import check_filled, told
from sheetgen.check.follow import without_followers
from sheetgen.findings import Finding, Refused, Severity
from sheetgen.reader.cells import RawCell
from sheetgen.reader.raw import RawBook, read_raw
from sheetgen.reader.touched import Touched

NONE = Touched((), frozenset())
PLAN = compiled("bid", "metric", LEAST).plan


@pytest.fixture(scope="module")
def book(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return put(metric_job(), tmp_path_factory.mktemp("bench") / "job.xlsx", "bench", LEAST)


@pytest.fixture(scope="module")
def raw(book: Path) -> RawBook:
    return read_raw(book)


def finding(code: str, place: str) -> Finding:
    return Finding(code, Severity.ERROR, place, "stores 1, recalculated 2", "recalculate")


def said(findings: Any) -> list[tuple[str, str]]:
    return [(one.code, one.place) for one in findings]


def test_a_book_that_was_saved_without_values_says_so_once_and_a_typed_over_formula_is_named(book: Path, tmp_path: Path) -> None:
    """As openpyxl saves: formulas without values, blanks marked as numbers, texts within their cells."""
    workbook = openpyxl.load_workbook(book)
    spot = PLAN.spot("areas", "area").cell()
    workbook[spot.sheet].cell(spot.row + 1, spot.column + 1).value = 99.0
    workbook.save(tmp_path / "job.xlsx")

    checked = check_filled(tmp_path / "job.xlsx")

    serious = [one for one in checked.findings if one.severity > Severity.NOTE and one.code != "check-look"]
    assert said(serious) == [
        ("formula-replaced", f"job.xlsx {spot.a1}"), ("figures-follow", "job.xlsx"), ("stored-none", "job.xlsx"),
    ]  # fmt: skip
    assert serious[-1].severity is Severity.LOOK
    assert checked.counts.found == checked.counts.compared + checked.counts.shows


def test_stale_values_are_one_finding(raw: RawBook) -> None:
    found = [finding("stored-stale", f"job.xlsx Takeoff!F{row}") for row in range(20, 30)]

    (one,) = without_followers(found, raw, NONE)

    assert (one.code, one.severity, one.place) == ("stored-stale", Severity.ERROR, "job.xlsx")
    assert "10 stored values" in one.what
    assert "Takeoff!F20" in one.what


def test_one_stale_value_is_named_itself(raw: RawBook) -> None:
    found = [finding("stored-stale", "job.xlsx Takeoff!F20")]

    assert without_followers(found, raw, NONE) == found


def test_differences_without_a_changed_formula_are_each_named(raw: RawBook) -> None:
    found = [finding("formula-differs", f"job.xlsx Takeoff!F{row}") for row in (20, 21)]

    assert without_followers(found, raw, NONE) == found


def test_what_follows_from_a_changed_formula_is_gathered(raw: RawBook) -> None:
    found = [finding("formula-missing", "job.xlsx Takeoff!F20")]
    found += [finding("formula-differs", f"job.xlsx Takeoff!F{row}") for row in (21, 22)]

    (one,) = without_followers(found, raw, Touched((), frozenset({("Takeoff", 20, 6)})))

    assert (one.code, one.place) == ("figures-follow", "job.xlsx")
    assert "2 figures" in one.what
    assert "Takeoff!F21" in one.what


def test_what_follows_from_a_number_typed_as_text_is_gathered(raw: RawBook) -> None:
    found = [finding("formula-differs", f"job.xlsx Takeoff!F{row}") for row in (21, 22)]
    read = [attrs.evolve(finding("input-read", "job.xlsx Takeoff!B21"), severity=Severity.NOTE)]

    (one,) = without_followers(found, raw, NONE, read)

    assert one.code == "figures-follow"
    assert "Takeoff!B21 is a text to the book" in one.what


def test_a_day_in_the_calendar_of_1904_is_no_difference() -> None:
    """Serials of 1904 are smaller by 1462 days (ECMA-376, part 1, 18.17.4.1)."""
    from sheetgen.check.meet import contents_of, expected

    contents = contents_of(compiled("bid", "us", ROWS), done_job())
    spot = contents.plan.spot("day", "date").cell()
    ours, theirs = (expected(contents, date1904=late)[spot.sheet][spot.row + 1, spot.column + 1].value for late in (False, True))

    assert ours - theirs == 1462


def test_a_book_without_any_value_says_so_in_one_kind_line(raw: RawBook) -> None:
    empty = attrs.evolve(
        raw,
        sheets=tuple(
            attrs.evolve(sheet, cells={at: cell if cell.formula is None else RawCell(None, "blank", cell.formula) for at, cell in sheet.cells.items()})
            for sheet in raw.sheets
        ),
    )

    (one,) = without_followers([finding("stored-stale", "job.xlsx A!B1")] * 9, empty, NONE)

    assert (one.code, one.severity) == ("stored-none", Severity.LOOK)


def test_a_book_whose_inputs_cannot_be_read_still_says_what_was_touched(book: Path, tmp_path: Path) -> None:
    workbook = openpyxl.load_workbook(book)
    spot = PLAN.spot("takeoff", "waste").cell()
    workbook[spot.sheet].cell(spot.row + 1, spot.column + 1).value = "some"
    workbook[spot.sheet].protection.disable()
    workbook.save(tmp_path / "job.xlsx")

    checked, findings = told(tmp_path / "job.xlsx")

    assert checked is None
    assert said(findings) == [("input-unread", f"job.xlsx {spot.a1}"), ("sheet-unprotected", f"job.xlsx {spot.sheet}")]
    with pytest.raises(Refused):
        check_filled(tmp_path / "job.xlsx")
