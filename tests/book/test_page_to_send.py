"""A sheet as a page to send: what the book says, closed up, and nothing behind it."""

from __future__ import annotations

import datetime as dt
import io
import re
import zipfile
from pathlib import Path

import openpyxl
import pytest
from minibook import Mini, Recalculated, block
from PIL import Image

from sheetgen.book.contents import Contents
from sheetgen.book.page import write_page
from sheetgen.picture import Picture
from sheetgen.reader.pictures import picture_on
from sheetgen.reader.raw import RawBook, read_raw

DAY = dt.date(2026, 3, 2)
SECRET = "our own margin"


def book(mini: Mini) -> tuple[Contents, Recalculated]:
    mini.sums(
        block("firm", "fields", "name: text", "address: text", "fax: text", title="From"),
        block("x", "rows", "what: text", "size: length", "twice: length = size + size", "again: text ~ what", rows=5, title="Work"),
        block("unused", "rows", "what: text", rows=3, title="Nothing here", note="Not to be read"),
        block("total", "fields", "all: length = SUM(x.size); label = 'In all'", title="Together"),
    )
    path = mini.folder / "02-sums.toml"
    path.write_text(f'picture = "firm"\nnote = ["For you."]\n{path.read_text(encoding="utf-8")}', encoding="utf-8")
    mini.text("01-start.toml", (mini.folder / "01-start.toml").read_text(encoding="utf-8") + block("own", "fields", "secret: text"))
    typed = {"firm.name": "Invented Floors", "own.secret": SECRET, ("x.what", 0): "=Hall", ("x.size", 0): 3.5, ("x.what", 3): "Stair", ("x.size", 3): 2.0}
    made = mini.recalculated(typed)
    contents = Contents(
        made.compiled, lambda place: made.entries.get((place.name, place.record)), lambda place: made.values[place.name, place.record, place.scenario]
    )
    return contents, made


def picture() -> Picture:
    data = io.BytesIO()
    Image.new("RGB", (200, 100), "teal").save(data, "PNG")
    return Picture(data.getvalue(), 200, 100, "png")


@pytest.fixture
def page(mini: Mini, tmp_path: Path) -> tuple[Path, RawBook, Contents]:
    contents, _ = book(mini)
    path = tmp_path / "page.xlsx"
    write_page(path, contents, contents.plan.book.sheets[1], made_on=DAY, author="Invented Floors", picture=picture())
    return path, read_raw(path), contents


def texts(raw: RawBook) -> list[list[object]]:
    (sheet,) = raw.sheets
    rows: dict[int, list[object]] = {}
    for (row, _), cell in sorted(sheet.cells.items()):
        rows.setdefault(row, []).append(cell.value)
    return [[one for one in row if one is not None] for row in rows.values()]


def test_it_says_what_the_book_says_and_is_closed_up(page: tuple[Path, RawBook, Contents]) -> None:
    said = [row for row in texts(page[1]) if row]

    assert said == [
        ["Sums"], ["For you."], ["From"], ["name", "Invented Floors"],
        ["Work"], ["what", "size, ft", "twice, ft", "again"], ["=Hall", 3.5, 7.0, "=Hall"], ["Stair", 2.0, 4.0, "Stair"],
        ["Together"], ["In all", 5.5, "ft"],
    ]  # fmt: skip


def test_what_stands_on_it_is_higher_than_what_is_free(page: tuple[Path, RawBook, Contents]) -> None:
    sheet = openpyxl.load_workbook(page[0]).active
    said = {row[0].row for row in sheet.iter_rows() if any(cell.value is not None for cell in row)}

    assert {sheet.row_dimensions[row].height >= 14 for row in said} == {True}
    assert {sheet.row_dimensions[row].height < 10 for row in range(1, max(said)) if row not in said} == {True}


def test_there_is_no_formula_and_no_name(page: tuple[Path, RawBook, Contents]) -> None:
    raw = page[1]

    assert not any(cell.formula for cell in raw.sheets[0].cells.values())
    assert (raw.names, raw.custom) == ({}, {})
    assert {name for names in raw.sheet_names.values() for name in names} <= {"_xlnm.Print_Area", "_xlnm.Print_Titles"}


def test_nothing_of_the_book_is_in_any_part(page: tuple[Path, RawBook, Contents]) -> None:
    with zipfile.ZipFile(page[0]) as opened:
        parts = {name: opened.read(name) for name in opened.namelist()}
    for inside in (SECRET, "Nothing here", "Not to be read", "Checks", "About", "mini-1", "Type it.", "dataValidation"):
        assert not [name for name, data in parts.items() if inside.encode() in data], inside
    assert not [name for name in parts if re.search("comment|custom|calcChain|external", name)]
    assert b"<dc:creator>Invented Floors<" in parts["docProps/core.xml"]


def test_the_picture_stands_beside_the_firm(page: tuple[Path, RawBook, Contents]) -> None:
    held = picture_on(page[1], "Sums")

    assert held == picture().data
    with zipfile.ZipFile(page[0]) as opened:
        drawing = opened.read("xl/drawings/drawing1.xml").decode()
    assert 'descr="picture"' in drawing
    assert "page.xlsx" not in drawing


def test_every_value_is_told_with_its_new_cell(mini: Mini, tmp_path: Path) -> None:
    contents, _ = book(mini)
    path = tmp_path / "page.xlsx"
    values = write_page(path, contents, contents.plan.book.sheets[1], made_on=DAY)
    raw = read_raw(path)

    assert len(values) == 1 + 2 * 4 + 1
    for cell, value in values.items():
        held = raw.cell(cell.sheet, cell.row + 1, cell.column + 1)
        assert held is not None
        assert held.value == value


def test_the_same_page_has_the_same_bytes(mini: Mini, tmp_path: Path) -> None:
    contents, _ = book(mini)
    for name in ("a.xlsx", "b.xlsx"):
        write_page(tmp_path / name, contents, contents.plan.book.sheets[1], made_on=DAY, picture=picture())

    assert (tmp_path / "a.xlsx").read_bytes() == (tmp_path / "b.xlsx").read_bytes()
