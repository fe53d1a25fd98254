"""The customer's page: every value is the book's, and nothing of the book is behind it."""

from __future__ import annotations

import json
import shutil
import subprocess
import zipfile
from pathlib import Path

import attrs
import pytest
from click.testing import CliRunner, Result
from filled_books import put
from jobs import SMALL, demo_job
from PIL import Image

from sheetgen.check import office
from sheetgen.check.meet import contents_of
from sheetgen.cli import main
from sheetgen.engine.job import Job
from sheetgen.proposal import SHEET
from sheetgen.reader.filled import read_filled
from sheetgen.reader.raw import read_raw
from sheetgen.reconcile import read_book

LONG = "Residenz-Nebengebäude mit Seeblick, Treppenhaus und Terrasse am Alten Leuchtturm (frei erfunden) " * 2


def run(*arguments: object) -> Result:
    return CliRunner().invoke(main, [str(one) for one in arguments])


def named(job: Job, name: str) -> Job:
    return attrs.evolve(job, job=attrs.evolve(job.job, name=name, customer=name))


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    place = tmp_path_factory.mktemp("proposal")
    put(demo_job(), place / "bid.xlsx", "secret-id-77", SMALL)
    result = run("proposal", place / "bid.xlsx", "--out", place / "page.xlsx", "--date", "2026-03-02")
    assert result.exit_code == 0, result.output
    return place


def test_every_word_and_figure_is_the_books(folder: Path) -> None:
    read, _ = read_book(folder / "bid.xlsx")
    contents = contents_of(read.filled.compiled, read.job)
    title = contents.plan.title(contents.plan.book.sheet(SHEET))
    of_book = set()
    for part in contents.plan.parts:
        if part.sheet == title:
            for field in part.fields:
                for place, _ in contents.plan.places(part.block, field):
                    value = contents.shown(part.block, field, place) if field.kind == "show" else contents.value(part.block, field, place.record, None)
                    of_book.add(value)
    (sheet,) = read_raw(folder / "page.xlsx").sheets
    numbers = [cell.value for cell in sheet.cells.values() if cell.kind == "number"]

    assert numbers
    strange = {one for one in numbers if not any(isinstance(other, float) and abs(one - other) < 1e-9 for other in of_book)}
    assert strange <= {float(number) for number in range(1, 60)}  # the numbers before rows
    assert read.values.scalar("contract.total") in numbers


def test_no_part_of_the_file_holds_anything_of_the_bid(folder: Path) -> None:
    read, _ = read_book(folder / "bid.xlsx")
    inside = {f"{read.values.scalar(name, 'accepted'):.2f}" for name in ("price.cost", "price.direct", "price.labour", "price.overhead")}
    words = {"secret-id-77", "sheetgen", "Workings", "Takeoff", "margin", "Margin", "markup", "overhead", "Overhead", "scenario", "Checks"}
    with zipfile.ZipFile(folder / "page.xlsx") as opened:
        for name in opened.namelist():
            data = opened.read(name).decode("utf-8", "replace").replace("pageMargins", "")
            for word in {*inside, *words, str(folder)}:
                assert word not in data, (name, word)
        # One sheet; no names, no comments, no hidden parts, no properties of the bid.
        assert not [one for one in opened.namelist() if any(word in one for word in ("custom", "comment", "calcChain", "sheet2", "external"))]
        assert b"<f>" not in opened.read("xl/worksheets/sheet1.xml")
        assert b"hidden" not in opened.read("xl/workbook.xml")


def test_the_picture_of_the_book_goes_with_it(folder: Path, tmp_path: Path) -> None:
    Image.new("RGB", (120, 60), "navy").save(tmp_path / "firm.png")

    result = run("proposal", folder / "bid.xlsx", "--out", tmp_path / "page.xlsx", "--picture", tmp_path / "firm.png")

    assert result.exit_code == 0
    with zipfile.ZipFile(tmp_path / "page.xlsx") as opened:
        assert [name for name in opened.namelist() if name.startswith("xl/media/")] == ["xl/media/image1.png"]
        assert b"Picture of the firm" in opened.read("xl/drawings/drawing1.xml")


def test_a_bid_without_a_price_is_not_proposed(tmp_path: Path) -> None:
    job = demo_job()
    put(attrs.evolve(job, areas=()), tmp_path / "bid.xlsx", "x", SMALL)

    result = run("proposal", tmp_path / "bid.xlsx", "--out", tmp_path / "page.xlsx")

    assert (result.exit_code, (tmp_path / "page.xlsx").exists()) == (1, False)
    assert "has no price yet" in result.output


def test_nothing_is_written_over(folder: Path) -> None:
    before = (folder / "bid.xlsx").read_bytes()

    assert "output-input" in run("proposal", folder / "bid.xlsx", "--out", folder / "bid.xlsx", "--replace").output
    assert "output-there" in run("proposal", folder / "bid.xlsx", "--out", folder / "page.xlsx").output
    assert (folder / "bid.xlsx").read_bytes() == before
    assert read_filled(folder / "bid.xlsx").stamp.book_id == "secret-id-77"


def test_long_names_stay_whole(tmp_path: Path) -> None:
    put(named(demo_job(), LONG), tmp_path / "bid.xlsx", "x", SMALL)

    result = run("proposal", tmp_path / "bid.xlsx", "--out", tmp_path / "page.xlsx", "--json")

    assert result.exit_code == 0, result.output
    assert json.loads(result.stdout)["values"] > 0
    (sheet,) = read_raw(tmp_path / "page.xlsx").sheets
    assert any(str(cell.value).strip() == LONG.strip() for cell in sheet.cells.values())


def test_without_libreoffice_the_message_says_what_to_do(folder: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(office.shutil, "which", lambda _: None)

    result = run("proposal", folder / "bid.xlsx", "--out", tmp_path / "page.xlsx", "--pdf")

    assert result.exit_code == 1
    assert "leave --pdf out and print the page from your spreadsheet program" in result.output
    assert list(tmp_path.iterdir()) == []


@pytest.mark.office
@pytest.mark.skipif(shutil.which("soffice") is None or shutil.which("pdfinfo") is None, reason="LibreOffice or poppler is not installed")
def test_the_pdf_says_the_same_and_nothing_else(folder: Path, tmp_path: Path) -> None:
    result = run("proposal", folder / "bid.xlsx", "--out", tmp_path / "page.xlsx", "--pdf")

    assert result.exit_code == 0, result.output
    text = subprocess.run(["pdftotext", "-layout", tmp_path / "page.pdf", "-"], capture_output=True, text=True, check=True).stdout
    info = subprocess.run(["pdfinfo", tmp_path / "page.pdf"], capture_output=True, text=True, check=True).stdout
    read, _ = read_book(folder / "bid.xlsx")
    assert f"{read.values.scalar('contract.total'):,.2f}" in text
    assert str(read.job.job.customer) in text
    for word in ("secret-id-77", "sheetgen", str(tmp_path), "Keywords", "Subject"):
        assert word not in info
