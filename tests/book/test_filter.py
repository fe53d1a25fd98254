"""A table with a filter: usable on the protected sheet, and sums of the rows that it leaves."""

from __future__ import annotations

import datetime as dt
import re
import zipfile
from typing import TYPE_CHECKING

import openpyxl
import pytest
from minibook import Mini, block

from sheetgen.book.stamp import Stamp
from sheetgen.book.write import write
from sheetgen.check.book import check_file
from sheetgen.check.recalculate import PROGRAMS, recalculate

if TYPE_CHECKING:
    from pathlib import Path

    from minibook import Recalculated

TABLE = block("x", "rows", "kind: text", "a: money", "said: text ~ kind", "twice: money = a + a", rows=4, filter=True)
SHOWN = block("s", "rows", "n: count = count_shown(x.kind); column = 'kind'", "a: money = sum_shown(x.a)", "twice: money = sum_shown(x.twice)", rows=1, above="x", title="Shown")
TYPED = {("x.kind", 0): "mix", ("x.a", 0): 5.0, ("x.kind", 1): "prime", ("x.kind", 2): "mix", ("x.a", 2): 7.0}


@pytest.fixture
def book(mini: Mini) -> Recalculated:
    return mini.sums(SHOWN, TABLE).recalculated(TYPED)


def filtered(path: Path, row: int) -> Path:
    """Filter the saved book by its first column as a person would: one row [1-based row] is hidden."""
    changed = path.with_name("filtered.xlsx")
    criteria = '<filterColumn colId="0"><filters><filter val="prime"/></filters></filterColumn>'
    with zipfile.ZipFile(path) as old, zipfile.ZipFile(changed, "w", zipfile.ZIP_DEFLATED) as new:
        for name in old.namelist():
            text = old.read(name)
            if name == "xl/worksheets/sheet2.xml":
                whole = text.decode()
                found = re.search(r'<autoFilter ref="[A-Z0-9:]*"/>', whole)
                assert found is not None
                whole = whole.replace(found[0], f"{found[0][:-2]}>{criteria}</autoFilter>")
                text = whole.replace(f'<row r="{row}"', f'<row r="{row}" hidden="1"').encode()
            new.writestr(name, text)
    return changed


def test_sums_of_shown_rows_are_of_what_is_known(book: Recalculated) -> None:
    assert (book.value("s.n"), book.value("s.a"), book.value("s.twice")) == (3, 12, 24)


def test_nothing_known_is_blank_and_not_zero(mini: Mini) -> None:
    book = mini.sums(SHOWN, TABLE).recalculated({})

    assert (book.value("s.n"), book.value("s.a"), book.value("s.twice")) == (0, None, None)
    assert mini.cell("s.a") == '=IF(SUBTOTAL(102,$B$7:$B$10)=0,"",SUBTOTAL(109,$B$7:$B$10))'
    assert mini.cell("s.n") == "=SUBTOTAL(103,$A$7:$A$10)"


@pytest.mark.parametrize("program", PROGRAMS)
def test_rows_that_are_filtered_out_do_not_count(book: Recalculated, program: str) -> None:
    """Hidden is the third record, mix 7: what is left are 5 in two rows with a kind."""
    path = filtered(book.path, book.plan.spot("x", "a").row + 3)
    row, column = (book.plan.spot("s", "a").row + 1, book.plan.spot("s", "a").column + 1)

    found = recalculate(path, program)["Sums"]  # type: ignore[arg-type]

    assert (found[row, column - 1], found[row, column], found[row, column + 2]) == (2, 5, 10)


def test_the_engine_is_asked_until_a_filter_is_set(book: Recalculated) -> None:
    book._write(lambda place: 0.0 if place.field == "looks" else book.values[place.name, place.record, place.scenario])
    checked = check_file(book.path, book.contents)
    assert checked.findings == ()
    assert checked.counts.others == 0

    wrong = dict(book.values) | {("s.a", 0, None): 13.0}
    book._write(lambda place: wrong[place.name, place.record, place.scenario])
    assert {one.code for one in check_file(book.path, book.contents).findings} == {"formula-differs"}

    path = filtered(book.path, book.plan.spot("x", "a").row + 3)
    checked = check_file(path, book.contents)
    assert checked.findings == ()
    assert checked.counts.others == 3


def test_the_filter_works_on_the_protected_sheet(book: Recalculated) -> None:
    sheet = openpyxl.load_workbook(book.path)["Sums"]
    others = openpyxl.load_workbook(book.path)["Start"]

    assert sheet.auto_filter.ref == "A6:D10"
    # In the file False means: not forbidden.
    assert (sheet.protection.sheet, sheet.protection.autoFilter, sheet.protection.sort) == (True, False, False)
    assert (others.protection.sheet, others.protection.autoFilter, others.protection.sort) == (True, True, True)


def test_sums_stand_over_their_columns_and_the_header_stays_in_view(book: Recalculated) -> None:
    sheet = openpyxl.load_workbook(book.path)["Sums"]

    assert [str(sheet.cell(5, column).value or "")[:9] for column in range(1, 5)] == ["=SUBTOTAL", "=IF(SUBTO", "", "=IF(SUBTO"]
    assert sheet.freeze_panes == "A7"
    assert sheet.print_title_rows == "$6:$6"


def test_the_same_contents_give_the_same_bytes(book: Recalculated, tmp_path: Path) -> None:
    again = tmp_path / "again.xlsx"
    write(again, book.contents, Stamp.of(book.plan, "mini-1", dt.date(2026, 3, 1)))

    assert again.read_bytes() == book.path.read_bytes()


@pytest.mark.parametrize(
    ("blocks", "code"),
    [
        ((TABLE, block("y", "rows", "b: count", rows=2, filter=True)), "template-filter"),
        ((block("x", "fields", "a: money", filter=True),), "template-filter"),
        ((block("s", "rows", "a: money = a + a", rows=1, above="x"), block("y", "fields", "b: count"), TABLE), "template-above"),
        ((block("s", "rows", "c: money", rows=1, above="x"), TABLE), "template-above"),
        ((block("s", "rows", "a: money", rows=2, above="x"), TABLE), "template-above"),
    ],
)
def test_a_filter_that_cannot_be_is_refused(mini: Mini, blocks: tuple[str, ...], code: str) -> None:
    assert code in mini.sums(*blocks).codes()


@pytest.mark.parametrize(
    "formula",
    [
        "sum_shown(y.b)",  # no filter on this table
        "count_shown(x.said)",  # blanks of a formula would count
        "sum_shown(t.w)",  # one cell
        "sum_shown(x.kind)",  # texts
        "s.a",  # changes with the filter
        "sum_shown(x.a) + sum_shown(x.a)",  # can be blank
    ],
)
def test_a_sum_of_shown_rows_where_it_cannot_be_is_refused(mini: Mini, formula: str) -> None:
    mini.sums(SHOWN, TABLE, block("y", "rows", "b: money", rows=3), block("t", "fields", f"v: money = {formula}", "w: count := 1"))

    (finding,) = mini.findings()
    assert finding.code in {"formula-shown", "formula-kind", "formula-not-range", "formula-range", "formula-maybe"}
