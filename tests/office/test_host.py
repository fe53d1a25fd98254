"""A bid inside a person's own workbook, in LibreOffice: it opens, reckons there, is saved there, and is read and taken out after that."""

from __future__ import annotations

import re
import shutil
import sys
from pathlib import Path

import openpyxl
import pytest

sys.path.insert(0, str(Path(__file__).parents[1] / "host"))

from filled_books import DAY, metric_job
from guests import add as put_in
from hosts import FIRM, HOSTS, ROWS, invalid, made, parts_of

from sheetgen.check.filled import check_filled
from sheetgen.check.office import resave
from sheetgen.check.recalculate import recalculate, recalculate_all
from sheetgen.findings import Severity
from sheetgen.host.add import add
from sheetgen.host.own_sheets import formulas, worksheets
from sheetgen.host.package import Package
from sheetgen.host.take_out import take_out
from sheetgen.host.uses import Cell
from sheetgen.host.values import cells_of, changed
from sheetgen.reader.filled import read_filled
from sheetgen.reader.limits import HOST
from sheetgen.reader.raw import read_raw

pytestmark = [
    pytest.mark.office,
    pytest.mark.skipif(not (shutil.which("soffice") or shutil.which("libreoffice")), reason="LibreOffice is not installed"),
]


@pytest.fixture(scope="module")
def books(tmp_path_factory: pytest.TempPathFactory) -> dict[str, Path]:
    """A host as LibreOffice saves it, pivot table and all, the same with a bid that it uses and feeds, and that as it saves it."""
    folder = tmp_path_factory.mktemp("host")
    (host,) = resave([made("everything", folder / "plain.xlsx")], _made(folder / "first"))
    new = folder / "new.xlsx"
    more = {"rows": ROWS, "prefix": "Job 7 ", "links": ["takeoff.waste=Customers!B5"], "picture": FIRM, "program": "libreoffice"}
    built = add(host, new, metric_job(), made_on=DAY, book_id="lo", **more)
    assert built.counts.compared > 1000
    (saved,) = resave([new], _made(folder / "second"))
    return {"host": host, "new": new, "saved": saved}


def _made(folder: Path) -> Path:
    folder.mkdir()
    return folder


def test_every_host_opens_with_our_sheets_and_reckons_as_before(tmp_path: Path) -> None:
    hosts = [made(name, tmp_path / f"{name}.xlsx") for name in HOSTS]
    new = [put_in(host, tmp_path / f"new-{host.name}") for host in hosts]
    values = recalculate_all([*hosts, *new], "libreoffice")

    for name, before, after in zip(HOSTS, values[: len(hosts)], values[len(hosts) :], strict=True):
        assert {sheet: after[sheet] for sheet in before} == before, name
        assert after["Sums"] == {(1, 1): 3.0, (2, 1): 6.0}, name


def test_each_cell_of_the_host_is_what_it_was(books: dict[str, Path]) -> None:
    before, after = recalculate_all([books["host"], books["new"]], "libreoffice")
    price, half, head = (after["Summary"].pop((row, 2)) for row in (1, 2, 3))
    for row in (1, 2, 3):
        del before["Summary"][row, 2]

    assert isinstance(price, float)
    assert half == pytest.approx(round(price / 2, 2))
    assert head == "Price"
    assert before["Secret"][1, 1] == 301
    assert before["Overview"][6, 4] == 150  # asks the pivot table
    assert {sheet: after[sheet] for sheet in before} == before


@pytest.mark.parametrize("name", ["host", "new", "saved"])
def test_a_pivot_table_still_names_its_sales(books: dict[str, Path], name: str) -> None:
    parts = parts_of(books[name])
    source = re.search(rb"<worksheetSource [^>]*/>", parts["xl/pivotCache/pivotCacheDefinition1.xml"])
    assert source is not None

    assert b'ref="A1:C6"' in source[0]
    assert b'sheet="Sales"' in source[0]
    assert _pivot(parts) == _pivot(parts_of(books["host"]))


def _pivot(parts: dict[str, bytes]) -> bytes:
    """Return the pivot table; a program that saves it counts the formats of numbers of the whole workbook anew."""
    return re.sub(rb' numFmtId="\d+"', b"", parts["xl/pivotTables/pivotTable1.xml"])


def test_a_figure_of_the_host_that_changes_is_found(tmp_path: Path) -> None:
    """The guard itself, in this program: what uses the bid is held at its new figure, and what depends on it must follow."""
    paths = []
    for name, number in (("before", 2), ("after", 3)):
        book = openpyxl.Workbook()
        sheet = book.active
        sheet["A1"], sheet["B1"], sheet["C1"], sheet["D1"], sheet["E1"] = number, "=A1*2", "=NOW()", "=B1+1", '=IF(A1=2,"",B1/0)'
        sheet["F1"] = '=IF(ISERROR(E1),"error",E1&"x")'
        book.save(path := tmp_path / f"{name}.xlsx")
        paths.append(path)
    package = Package(paths[0])
    found = formulas(package, worksheets(package, "xl/workbook.xml"), HOST)
    now = recalculate(paths[1], "libreoffice", cells_of(found))

    def told(*free: Cell) -> list[str]:
        return [finding.place for finding in changed(paths[0], "new.xlsx", now, found, free, "libreoffice")]

    assert told() == [f"new.xlsx Sheet!{column}1" for column in "BDEF"]
    assert told(Cell("Sheet", 1, 2), Cell("Sheet", 1, 5)) == []


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
    clean = take_out(books["saved"], tmp_path / "clean.xlsx", leave=True, program="libreoffice").path
    before, after = read_raw(books["host"], HOST), read_raw(clean, HOST)

    assert [sheet.name for sheet in after.sheets] == [sheet.name for sheet in before.sheets]
    assert after.names.keys() == before.names.keys()
    for sheet in before.sheets:
        twin = after.sheet(sheet.name)
        assert twin is not None
        for at, cell in sheet.cells.items():
            if sheet.name != "Summary":
                assert twin.cells[at][:3] == cell[:3]
    left = after.cell("Summary", 1, 2)
    assert left is not None
    assert left.formula is None
    assert isinstance(left.value, float)
    assert [name for name, data in parts_of(clean).items() if b"Squeegee" in data or b"takeoff" in data or data == FIRM.data] == []
