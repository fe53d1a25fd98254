"""A bid in a person's own workbook, in the hands of the commands that read filled books."""

from __future__ import annotations

import datetime as dt
from pathlib import Path

import attrs
import pytest
from filled_books import DAY
from hosts import FIRM, ROWS, parts_of, save

from sheetgen.build import picture_in
from sheetgen.carry import carry
from sheetgen.check.filled import check_filled
from sheetgen.check.meet import job_of
from sheetgen.content import content_of
from sheetgen.findings import Finding, Refused, Severity
from sheetgen.proposal import make_proposal
from sheetgen.rates import build_rates, read_rates
from sheetgen.reader.filled import Filled, filled_of, read_each, read_filled
from sheetgen.reader.raw import RawBook, read_raw
from sheetgen.reader.touched import touched
from sheetgen.reconcile import reconcile
from sheetgen.reprice import reprice


def told(findings: tuple[Finding, ...]) -> list[tuple[str, str]]:
    return [(finding.code, finding.place) for finding in findings if finding.severity > Severity.NOTE]


@pytest.fixture(scope="module")
def filled(one: Path) -> Filled:
    return read_filled(one)


def renamed(raw: RawBook, old: str, new: str) -> RawBook:
    """Return a workbook in which a person renamed a sheet: the program has put the names right."""
    sheets = tuple(attrs.evolve(sheet, name=new) if sheet.name == old else sheet for sheet in raw.sheets)
    names = {name: text.replace(f"'{old}'!", f"'{new}'!") for name, text in raw.names.items()}
    return attrs.evolve(raw, sheets=sheets, names=names)


def without(raw: RawBook, name: str) -> RawBook:
    return attrs.evolve(raw, sheets=tuple(sheet for sheet in raw.sheets if sheet.name != name))


def test_nothing_is_touched_in_a_workbook_with_linked_inputs(filled: Filled) -> None:
    """What is linked is locked, is a formula and has no rule; Start tells its look; the host's sheets are theirs."""
    assert len(filled.links) == 3
    assert filled.located.tells_links
    assert filled.findings == ()
    assert touched(filled).findings == ()


def test_a_formula_that_was_typed_over_is_named_where_it_stands(one: Path, filled: Filled) -> None:
    plan = filled.compiled.plan
    cell = plan.spot("price", "total").cell()
    raw = filled.raw
    sheet = raw.sheet(cell.sheet)
    assert sheet is not None
    at = (cell.row + 1, cell.column + 1)
    cells = {**sheet.cells, at: sheet.cells[at]._replace(formula=None, value=1.0, kind="number")}
    sheets = tuple(attrs.evolve(one_sheet, cells=cells) if one_sheet is sheet else one_sheet for one_sheet in raw.sheets)

    found = touched(filled_of(attrs.evolve(raw, sheets=sheets), "Job 7 "))

    assert told(found.findings) == [("formula-replaced", f"{one.name} {cell.a1}")]


def test_a_renamed_sheet_is_found_among_two_books(two: Path) -> None:
    """The names say whose it is: the other book neither takes it for its own nor calls it a copy."""
    raw = renamed(read_raw(two), "Job 7 Takeoff", "Mine")

    seven, eight = (filled_of(raw, prefix) for prefix in ("Job 7 ", "Job 8 "))

    assert [code for code, _ in told(seven.findings)] == ["sheet-renamed"]
    assert told(eight.findings) == []
    assert seven.entries == read_each(two)[0].entries


def test_no_sheet_of_one_book_stands_in_for_that_of_another(two: Path) -> None:
    raw = without(renamed(read_raw(two), "Job 8 Takeoff", "Mine"), "Job 7 Takeoff")

    assert [code for code, _ in told(filled_of(raw, "Job 7 ").findings)] == ["sheet-missing"]
    assert [code for code, _ in told(filled_of(raw, "Job 8 ").findings)] == ["sheet-renamed"]


def test_a_copy_of_a_sheet_is_named_by_the_book_that_has_it(two: Path) -> None:
    raw = read_raw(two)
    sheet = raw.sheet("Job 7 Takeoff")
    assert sheet is not None
    raw = attrs.evolve(raw, sheets=(*raw.sheets, attrs.evolve(sheet, name="Job 7 Takeoff (2)")))

    assert told(filled_of(raw, "Job 7 ").findings) == [("sheet-copied", f"{two.name} Job 7 Takeoff (2)")]
    assert told(filled_of(raw, "Job 8 ").findings) == []


def test_one_book_that_is_refused_leaves_the_other_in_the_tables(two: Path, tmp_path: Path) -> None:
    parts = parts_of(two)
    parts["xl/worksheets/sheet2.xml"] = parts["xl/worksheets/sheet2.xml"].replace(b"<v>0.125</v>", b"<v>99</v>")
    path = save(parts, tmp_path / "wrong.xlsx")

    compared = reconcile([path])

    assert [row["workbook"] for row in compared.tables["jobs"]] == ["wrong.xlsx Job 8"]
    assert [row["workbook"] for row in compared.unread] == ["wrong.xlsx Job 7"]
    with pytest.raises(Refused) as caught:
        check_filled(path)
    assert ("input-bounds", "wrong.xlsx Customers!B5") in told(caught.value.findings)


def test_rows_of_later_days_are_left_out_of_each_book(two: Path) -> None:
    compared = reconcile([two], as_of=dt.date(1999, 12, 31))

    assert {finding.place for finding in compared.findings if finding.code in {"rows-later", "job-later"}} == {
        f"{two.name} Job 7", f"{two.name} Job 8",
    }  # fmt: skip


def test_a_bid_is_carried_out_into_a_book_of_its_own(one: Path, filled: Filled, tmp_path: Path) -> None:
    carried = carry(one, tmp_path / "own.xlsx", made_on=DAY)
    own = read_filled(carried.built.path)

    assert own.prefix == ""
    assert own.links == {}
    assert own.stamp.book_id == "seven"
    assert picture_in(own.raw, own.compiled.plan) == FIRM
    assert content_of(own) == content_of(filled)
    ended = [finding.what for finding in carried.findings if finding.code == "link-ended"]
    assert len(ended) == 3
    assert ended[0].endswith("Customers!B4")
    assert [finding for finding in carried.findings if finding.code == "carry-behind"] == []


def test_a_file_of_several_is_not_carried_as_one(two: Path, tmp_path: Path) -> None:
    with pytest.raises(Refused) as caught:
        carry(two, tmp_path / "no.xlsx", made_on=DAY)

    assert [code for code, _ in told(caught.value.findings)] == ["book-several"]


def test_the_page_of_a_bid_in_a_host_says_nothing_of_the_host(one: Path, tmp_path: Path) -> None:
    made = make_proposal(one, tmp_path / "page.xlsx", made_on=DAY)
    page = read_raw(made.path)

    assert [sheet.name for sheet in page.sheets] == ["Proposal"]
    assert "Ann Example" in {cell.value for cell in page.sheets[0].cells.values()}
    assert all(b"Job 7" not in data for data in parts_of(made.path).values())
    assert [data for name, data in parts_of(made.path).items() if "/media/" in name] == [FIRM.data]


def test_an_open_bid_in_a_host_is_built_anew_as_a_book_of_its_own(one: Path, filled: Filled, tmp_path: Path) -> None:
    job = job_of(filled.entries, "metric")
    built = build_rates(job, tmp_path / "rates.xlsx", made_on=DAY)

    done = reprice(one, read_rates(built.path), tmp_path / "new.xlsx", made_on=DAY, rows=ROWS, program="ironcalc")

    assert done.moved == ()
    assert read_filled(done.built.path).stamp.book_id == "seven"
    assert [finding.code for finding in done.findings].count("link-ended") == 3


def test_a_sheet_of_the_person_is_never_taken_for_ours(filled: Filled) -> None:
    """One with the same words in its first cell is neither a copy nor a renamed sheet, also where ours is gone."""
    raw = filled.raw
    start, price = raw.sheet("Summary"), raw.sheet("Job 7 Price")
    assert start is not None
    assert price is not None
    alike = attrs.evolve(start, cells={**start.cells, (1, 1): price.cells[1, 1]})
    raw = attrs.evolve(raw, sheets=tuple(alike if sheet is start else sheet for sheet in raw.sheets))

    assert filled_of(raw, "Job 7 ").findings == ()
    assert [code for code, _ in told(filled_of(without(raw, "Job 7 Price"), "Job 7 ").findings)] == ["sheet-missing"]
