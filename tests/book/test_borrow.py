"""A sheet may take blocks from another book's template: no text stands twice."""

from __future__ import annotations

from pathlib import Path

import pytest
from minibook import BOOK, Mini, block, field, sheet

from sheetgen.book.load import load
from sheetgen.book.template import Book
from sheetgen.findings import Refused

OTHER = sheet(
    "Other", block("x", "rows", "a: length", 'b: length; label = "Bee"', "sum: length = a + b", title="Exes", rows=3),
    block("y", "fields", "d: count"),
)  # fmt: skip
LATER = sheet("Later", block("x", "part", "e: length = a", title="More"))


def taken(tmp_path: Path, *lines: str, own: str = "") -> Book:
    """Return a book whose one sheet takes from the sheet of another."""
    for name in ("lent", "mini"):
        (tmp_path / name).mkdir()
    Mini(tmp_path / "lent").text("01-other.toml", OTHER).text("02-later.toml", LATER)
    said = "\n".join(["", "[[block]]", 'kind = "from"', *lines, ""])
    mini = Mini(tmp_path / "mini").text("01-one.toml", sheet("One", said + own))
    return load(mini.folder)


def fields(book: Book) -> list[tuple[str, tuple[str, ...]]]:
    return [(part.block, part.fields) for part in book.sheets[0].parts]


SHEET = 'sheet = "lent/01-other"'


def test_blocks_come_with_title_rows_and_place(tmp_path: Path) -> None:
    book = taken(tmp_path, SHEET, 'blocks = ["y", "x"]')

    assert fields(book) == [("x", ("a", "b", "sum")), ("y", ("d",))]
    assert (book.sheets[0].parts[0].title, book.blocks["x"].rows) == ("Exes", 3)
    assert book.blocks["x"].field("b").where.file == "01-other.toml"


@pytest.mark.parametrize("line", ['fields = ["a", "sum"]', 'leave = ["b"]'])
def test_some_fields_are_taken_or_left(tmp_path: Path, line: str) -> None:
    assert fields(taken(tmp_path, SHEET, 'blocks = ["x"]', line)) == [("x", ("a", "sum"))]


def test_a_part_without_a_field_is_left_out(tmp_path: Path) -> None:
    assert fields(taken(tmp_path, SHEET, 'blocks = ["x", "y"]', 'fields = ["a"]')) == [("x", ("a",))]


def test_own_fields_titles_and_notes_stand_in_their_place(tmp_path: Path) -> None:
    book = taken(tmp_path, SHEET, 'blocks = ["x"]', 'title = "Own"', 'note = "Said."', own=field('b: length; label = "Own"'))

    assert (book.sheets[0].parts[0].title, book.sheets[0].parts[0].note) == ("Own", "Said.")
    assert (book.blocks["x"].field("b").label, book.blocks["x"].field("b").where.file) == ("Own", "01-one.toml")
    assert fields(book) == [("x", ("a", "b", "sum"))]


def test_fields_of_other_sheets_come_beside(tmp_path: Path) -> None:
    assert fields(taken(tmp_path, SHEET, 'blocks = ["x"]', 'beside = ["lent/02-later.e"]')) == [("x", ("a", "b", "sum", "e"))]


@pytest.mark.parametrize(
    ("lines", "own"),
    [
        (['sheet = "lent/09-none"', 'blocks = ["x"]'], ""),
        ([SHEET, 'blocks = ["z"]'], ""),
        ([SHEET, 'blocks = ["x"]', 'fields = ["z"]'], ""),
        ([SHEET, 'blocks = ["x"]', 'leave = ["z"]'], ""),
        ([SHEET, 'blocks = ["x"]', 'beside = ["lent/02-later.z"]'], ""),
        ([SHEET, 'blocks = ["x"]'], field("z: length")),
        ([SHEET, 'blocks = ["x", "y"]'], field("b: length")),
    ],
)
def test_what_cannot_be_taken_is_named(tmp_path: Path, lines: list[str], own: str) -> None:
    with pytest.raises(Refused) as refused:
        taken(tmp_path, *lines, own=own)

    assert {one.code for one in refused.value.findings} == {"template-from"}
    assert all(one.place == "01-one.toml:5:1" and one.mend for one in refused.value.findings)


def test_an_unknown_key_is_named(tmp_path: Path) -> None:
    with pytest.raises(Refused) as refused:
        taken(tmp_path, SHEET, 'blocks = ["x"]', "rows = 5")

    assert [one.code for one in refused.value.findings] == ["template-key"]


def test_words_of_another_book_are_taken_and_own_ones_win(tmp_path: Path) -> None:
    (tmp_path / "mini").mkdir()
    (tmp_path / "lent").mkdir()
    Mini(tmp_path / "lent")
    mini = Mini(tmp_path / "mini").text("01-one.toml", sheet("One", block("x", "rows", "a: length")))
    mini.text("book.toml", BOOK.partition("[words]")[0] + 'words_from = "lent"\n[words]\nchecks = "Proofs"\n')

    words = load(mini.folder).words

    assert (words["checks"], words["sheets"]) == ("Proofs", "sheets")
