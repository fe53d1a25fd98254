"""A bid inside a person's own workbook, in LibreOffice: it opens, reckons there, is saved there, and is read and taken out after that."""

from __future__ import annotations

import shutil
import sys
from pathlib import Path

import pytest

sys.path.insert(0, str(Path(__file__).parents[1] / "host"))

from filled_books import DAY, LEAST, metric_job
from hosts import by_xlsxwriter, invalid, parts_of

from sheetgen.check.filled import check_filled
from sheetgen.check.office import resave
from sheetgen.check.recalculate import recalculate_all
from sheetgen.findings import Severity
from sheetgen.host.add import add
from sheetgen.host.take_out import take_out
from sheetgen.reader.filled import read_filled
from sheetgen.reader.raw import read_raw

pytestmark = [
    pytest.mark.office,
    pytest.mark.skipif(not (shutil.which("soffice") or shutil.which("libreoffice")), reason="LibreOffice is not installed"),
]


@pytest.fixture(scope="module")
def books(tmp_path_factory: pytest.TempPathFactory) -> dict[str, Path]:
    """A host as LibreOffice saves it, the same with a bid that takes its waste from there, and that as LibreOffice saves it."""
    folder = tmp_path_factory.mktemp("host")
    (host,) = resave([by_xlsxwriter(folder / "plain.xlsx", waiting=True)], _made(folder / "first"))
    new = folder / "new.xlsx"
    add(host, new, metric_job(), made_on=DAY, book_id="lo", rows=LEAST, links=["takeoff.waste=It's odd!A2"])
    (saved,) = resave([new], _made(folder / "second"))
    return {"host": host, "new": new, "saved": saved}


def _made(folder: Path) -> Path:
    folder.mkdir()
    return folder


def test_each_cell_of_the_host_is_what_it_was(books: dict[str, Path]) -> None:
    before, after = recalculate_all([books["host"], books["new"]], "libreoffice")
    price = after["It's odd"].pop((3, 1))
    before["It's odd"].pop((3, 1))

    assert isinstance(price, float)
    assert price > 0
    assert before
    assert {sheet: after[sheet] for sheet in before} == before


def test_the_bid_reckons_there(books: dict[str, Path]) -> None:
    checked = check_filled(books["new"], "libreoffice")

    assert [finding for finding in checked.findings if finding.severity is Severity.ERROR] == []
    assert checked.counts.others == 1
    assert invalid(books["new"]) == invalid(books["host"])


def test_what_another_program_saved_is_read_and_checked(books: dict[str, Path]) -> None:
    filled = read_filled(books["saved"])

    assert filled.stamp.book_id == "lo"
    assert filled.entries["takeoff", "waste"] == (0.125,)
    assert [place.name for place in filled.links] == ["takeoff.waste"]
    assert [finding for finding in check_filled(books["saved"]).findings if finding.severity is Severity.ERROR] == []


def test_it_comes_out_without_a_trace(books: dict[str, Path], tmp_path: Path) -> None:
    clean = take_out(books["saved"], tmp_path / "clean.xlsx", leave=True).path
    before, after = read_raw(books["host"]), read_raw(clean)

    assert [sheet.name for sheet in after.sheets] == [sheet.name for sheet in before.sheets]
    assert after.names.keys() == before.names.keys()
    for sheet in before.sheets:
        twin = after.sheet(sheet.name)
        assert twin is not None
        for at, cell in sheet.cells.items():
            if (sheet.name, at) != ("It's odd", (3, 1)):
                assert twin.cells[at][:3] == cell[:3]
    left = after.cell("It's odd", 3, 1)
    assert left is not None
    assert left.formula is None
    assert isinstance(left.value, float)
    assert [name for name, data in parts_of(clean).items() if b"Squeegee" in data or b"takeoff" in data] == []
