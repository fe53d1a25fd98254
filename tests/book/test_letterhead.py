"""A page like a letter: the firm at its head, plain lists, sums in bold, headers over their numbers, pages that end between parts."""

from __future__ import annotations

import datetime as dt
from pathlib import Path
from typing import Any

import openpyxl
import pytest
from minibook import Mini, block, sheet

from sheetgen.book import letterhead
from sheetgen.book.contents import Contents
from sheetgen.book.load import load
from sheetgen.book.page import write_page
from sheetgen.book.sheaf import breaks
from sheetgen.findings import Refused
from sheetgen.picture import Picture

DAY = dt.date(2026, 3, 2)
LINES = 'record = [ { code = "part", word = "Part" }, { code = "all", word = "All" } ]\n'
LIST = f'\n[[block]]\nname = "sums"\nkind = "list"\n{LINES}\n[[block.field]]\nname = "word"\nkind = "note"\nunit = "text"\n'
LONG = "A firm whose name was made by a committee of seven people who could not agree on which of theirs to leave out"


def pages(mini: Mini, tmp_path: Path, name: str = "Invented Floors", picture: Picture | None = None) -> tuple[Any, Any, Any]:
    """Return the sheet of a book, the page made from it, and the plan."""
    mini.sums(
        block("firm", "fields", "name: text ~ x.name; strong = true", "place: text ~ x.place", letterhead=True),
        block("x", "fields", "name: text; wrap = true", "place: text"),
        block("list", "rows", "tag: text ~ x.place", "said: text; kind = 'posted'; wrap = true; width = 30", rows=3, plain=True, title="Good to know"),
        block("total", "rows", "line: text; kind = 'posted'", "sum: money = y; form = 'signed'", "y: money", "tick: text ~ line; right = true", over="sums", strong=["all"]),
        LIST,
    )  # fmt: skip
    path = mini.folder / "02-sums.toml"
    path.write_text(f"widths = [16, 64, 12]\n{path.read_text(encoding='utf-8')}", encoding="utf-8")
    made = mini.recalculated({"x.name": name, "x.place": "Saltmarsh Cove", ("list.said", 1): "Words.", ("total.y", 0): -95.0, ("total.y", 1): 475.0,
                              ("total.line", 0): "Part", ("total.line", 1): "All"})  # fmt: skip
    contents = Contents(
        made.compiled, lambda place: made.entries.get((place.name, place.record)), lambda place: made.values[place.name, place.record, place.scenario]
    )
    write_page(tmp_path / "page.xlsx", contents, contents.plan.book.sheets[1], made_on=DAY, author=name, picture=picture)
    return openpyxl.load_workbook(made.path)["Sums"], openpyxl.load_workbook(tmp_path / "page.xlsx")["Sums"], made.plan


def test_the_firm_stands_first_and_large_and_without_labels(mini: Mini, tmp_path: Path) -> None:
    book, page, plan = pages(mini, tmp_path)

    row = plan.spot("firm", "name").row + 1
    assert [book.cell(row + one, 1).value for one in (0, 1)] == [None, None]
    assert [(book.cell(row + one, 2).font.size, book.cell(row + one, 2).font.bold) for one in (0, 1)] == [(20, True), (10, False)]
    assert [[page.cell(one, column).value for column in (1, 2)] for one in (1, 2)] == [[None, "Invented Floors"], [None, "Saltmarsh Cove"]]
    assert (page.cell(3, 1).border.top.style, page.cell(4, 1).value) == ("medium", "Sums")


@pytest.mark.parametrize(("name", "size", "lines"), [("Floors", 20, 1), ("A" * 33, 20, 1), ("A" * 34, 18, 1), (LONG, 14, 3)])
def test_a_long_name_is_smaller_then_broken_into_lines(name: str, size: int, lines: int) -> None:
    assert letterhead.size_of(name, 64.0, name=True) == size
    assert letterhead.height(name, size, 64.0) == pytest.approx(lines * size * 1.35)


def test_quiet_lines_are_of_one_size() -> None:
    assert letterhead.size_of(LONG, 10.0, name=False) == letterhead.size_of("a", 64.0, name=False) == 10


class Placed:
    """Takes the place of a worksheet: remembers where a picture was put."""

    def insert_image(self, row: int, column: int, name: str, look: dict[str, Any]) -> None:
        self.row, self.column, self.look, self.name = row, column, look, name


@pytest.mark.parametrize(("wide", "high"), [(300, 300), (900, 100), (40, 400)])
def test_a_picture_ends_at_the_edge_of_the_page_and_stays_in_its_block(wide: int, high: int) -> None:
    sheet, widths = Placed(), {0: 16.0, 1: 64.0, 2: 12.0, 3: 12.0}

    letterhead.put_picture(sheet, Picture(b"", wide, high, "png"), 4, 60.0, widths, {"picture": "Picture of the firm"})

    columns = [int(width * 7 + 5) for width in widths.values()]
    start = sum(columns[: sheet.column]) + sheet.look["x_offset"]
    assert start + wide * sheet.look["x_scale"] == pytest.approx(sum(columns), abs=1)
    assert start >= sum(columns[:2])
    assert high * sheet.look["y_scale"] <= 60.0 / 0.75
    assert sheet.look["x_scale"] == sheet.look["y_scale"]
    assert (sheet.row, sheet.look["description"]) == (4, "Picture of the firm")


def test_a_short_block_makes_room_for_its_picture(mini: Mini, tmp_path: Path) -> None:
    _, page, _ = pages(mini, tmp_path)
    _, with_picture, _ = pages(mini, tmp_path, picture=Picture(b"", 1, 1, "png"))

    assert sum(page.row_dimensions[row].height for row in (1, 2)) < 45.0
    assert sum(with_picture.row_dimensions[row].height for row in (1, 2)) == pytest.approx(45.0)


def test_a_plain_list_has_no_headers_and_quiet_tags(mini: Mini, tmp_path: Path) -> None:
    book, page, plan = pages(mini, tmp_path)

    assert book.cell(plan.spot("list", "said").row, 1).value == "Good to know"
    row = next(cell.row for cell in page["A"] if cell.value == "Good to know")
    # Three rows without a word but for their tag; the one that is filled stands among them.
    assert [page.cell(row + one, 2).value for one in (2, 3, 4)] == [None, "Words.", None]
    assert page.cell(row + 3, 1).font.color.rgb != page.cell(row + 3, 2).font.color.rgb
    assert page.cell(row + 3, 2).border.bottom.style is None


def test_headers_stand_over_their_numbers(mini: Mini, tmp_path: Path) -> None:
    for made in pages(mini, tmp_path)[:2]:
        row = next(cell.row for cell in made["A"] if cell.value == "line")
        assert [made.cell(row, column).alignment.horizontal for column in (1, 2, 4)] == ["left", "right", "right"]


def test_a_header_under_the_button_of_a_filter_stays_left(mini: Mini) -> None:
    mini.sums(block("x", "rows", "a: money", rows=2, filter=True))

    book = openpyxl.load_workbook(mini.recalculated({}).path)["Sums"]

    assert next(row[0] for row in book.iter_rows() if row[0].value == "a\n$").alignment.horizontal == "left"


def test_the_total_is_bold_and_a_minus_is_a_minus(mini: Mini, tmp_path: Path) -> None:
    for made in pages(mini, tmp_path)[:2]:
        rows = [next(cell.row for cell in made["A"] if cell.value == word) for word in ("Part", "All")]
        assert [made.cell(row, 2).font.bold for row in rows] == [False, True]
        assert made.cell(rows[0], 2).number_format == '+#,##0.00;"−"#,##0.00;#,##0.00'
        assert made.cell(rows[0], 4).alignment.horizontal == "right"


def test_the_name_of_the_firm_stands_at_the_foot_of_each_page(mini: Mini, tmp_path: Path) -> None:
    assert pages(mini, tmp_path, "Slab & Surface")[1].oddFooter.left.text.strip() == "Slab && Surface · Sums"


@pytest.mark.parametrize(
    ("text", "code"),
    [
        (block("x", "rows", "a: text", rows=2, letterhead=True), "template-letterhead"),
        (block("x", "fields", "a: text", plain=True), "template-plain"),
        (block("x", "rows", "a: text", rows=2, plain=True, filter=True), "template-plain"),
        (block("x", "rows", "a: text", rows=2, strong=["all"]), "template-strong"),
        (block("x", "rows", "a: length; form = 'roman'", rows=2), "template-form"),
        (block("x", "rows", "a: text; form = 'short'", rows=2), "template-form"),
        (block("x", "rows", "a: area; form = 'fraction'", rows=2), "template-form"),
    ],
)
def test_what_cannot_be_is_refused(mini: Mini, text: str, code: str) -> None:
    mini.text("01-one.toml", sheet("One", text))
    with pytest.raises(Refused) as caught:
        load(mini.folder)

    assert [finding.code for finding in caught.value.findings] == [code]


def heights(*rows: float) -> dict[int, float]:
    return dict(enumerate(rows))


def test_a_part_that_does_not_fit_begins_a_new_page() -> None:
    """Letter: 10 in are 720 points; these columns need no smaller scale."""
    parts = [list(range(30)), list(range(31, 50))]

    assert breaks("us", [40.0], heights(*[15.0] * 50), parts, (0.6, 0.5)) == [31]
    assert breaks("us", [40.0], heights(*[13.0] * 50), parts, (0.6, 0.5)) == []


def test_a_long_part_is_cut_but_not_after_its_title() -> None:
    assert breaks("us", [40.0], heights(*[15.0] * 80), [list(range(30)), list(range(31, 80))], (0.6, 0.5)) == []
    assert breaks("us", [40.0], heights(*[15.0] * 80), [list(range(44)), list(range(45, 80))], (0.6, 0.5)) == [45]


def test_wide_columns_make_room_for_more_rows() -> None:
    parts = [list(range(30)), list(range(31, 50))]

    assert breaks("us", [130.0], heights(*[15.0] * 50), parts, (0.6, 0.5)) == []


def test_each_page_is_filled_anew() -> None:
    parts = [list(range(start, start + 20)) for start in (0, 20, 40, 60, 80)]

    assert breaks("us", [40.0], heights(*[15.0] * 100), parts, (0.6, 0.5)) == [40, 80]
