"""Which formulas use a bid, and what becomes of them."""

from __future__ import annotations

import re
from pathlib import Path

import attrs
import openpyxl
import pytest
from hosts import save

from sheetgen.book.compile import compiled
from sheetgen.book.linked import Target, link_formula, linked_to, read_target
from sheetgen.book.template import Field
from sheetgen.check.recalculate import recalculate
from sheetgen.check.values import CellError
from sheetgen.findings import Refused, Report
from sheetgen.host.elsewhere import uses
from sheetgen.host.figures_left import with_constants, with_figures
from sheetgen.host.own_sheets import FormulaAt, formulas, worksheets
from sheetgen.host.package import Package
from sheetgen.host.uses import Bid, Cell, restless
from sheetgen.host.values import cells_of, changed
from sheetgen.reader.limits import HOST

BID = Bid(["Job_7_price_total", "waste"], ["Job 7 Price", "Price", "Bob's list"])


@pytest.mark.parametrize(
    ("formula", "used"),
    [
        ("Job_7_price_total*2", ["Job_7_price_total"]), ("JOB_7_PRICE_TOTAL", ["JOB_7_PRICE_TOTAL"]), ("'Job 7 Price'!A1", ["Job 7 Price"]),
        ("SUM(Price!A1:A3)+waste", ["Price", "waste"]), ("'Bob''s list'!B2", ["Bob's list"]), ('IF(A1="waste",1,2)', []),
        ("'Old Price'!A1", []), ("waste_share+my.waste", []), ("SUM(Price:Summary!A1)", ["Price"]), ("Prices!A1", []), ("A1+B2", []),
        ('"Price!A1"&waste', ["waste"]), ("SUM('Job 7 Price:Other'!A1)", ["Job 7 Price"]),
    ],
)  # fmt: skip
def test_names_and_sheets_of_a_bid_in_a_formula(formula: str, used: list[str]) -> None:
    assert BID.used_by(formula) == used


def test_cells_that_share_a_formula_share_what_it_uses() -> None:
    formulas = {"One": (FormulaAt(1, 2, "waste*A1", "0"), FormulaAt(2, 2, "", "0"), FormulaAt(3, 2, "NOW()", None))}

    assert BID.cells(formulas) == {Cell("One", 1, 2): ["waste"], Cell("One", 2, 2): ["waste"]}
    assert restless(formulas) == {Cell("One", 3, 2)}
    assert Cell("One", 3, 28).a1 == "One!AB3"


@pytest.mark.parametrize(
    ("part", "text", "used"),
    [
        ("xl/charts/chart1.xml", "<c:f>'Job 7 Price'!$A$1</c:f>", True), ("xl/tables/table1.xml", '<t name="waste" displayName="waste"/>', False),
        ("xl/worksheets/sheet1.xml", "<sheetData><c><f>waste</f></c></sheetData>", False),
        ("xl/worksheets/sheet1.xml", "<formula1>waste*2</formula1>", True),
        ("xl/worksheets/sheet1.xml", "<hyperlink ref='A1' location=\"'Job 7 Price'!B2\"/>", True),
        ("xl/worksheets/sheet1.xml", "<hyperlink ref='A1' location='Prices!B2'/>", False),
        ("xl/pivotCache/pivotCacheDefinition1.xml", '<worksheetSource ref="A1:C6" sheet="Bob\'s list"/>', True),
        ("xl/pivotCache/pivotCacheDefinition1.xml", '<worksheetSource ref="A1:C6" sheet="Sales"/>', False),
        ("xl/pivotCache/pivotCacheDefinition1.xml", "<x:worksheetSource name='waste'/>", True),
        ("xl/pivotCache/pivotCacheDefinition2.xml", '<rangeSet i1="0" ref="A1:B2" sheet="Job 7 Price"/>', True),
        ("xl/worksheets/sheet2.xml", '<dataRef ref="A1:B2" sheet="Price"/>', True),
        ("xl/drawings/drawing1.xml", '<xdr:sp macro="" textlink="Job_7_price_total">', True),
        ("xl/drawings/drawing1.xml", '<a14:cameraTool cellRange="Price!$A$1:$B$2"/>', True),
        ("xl/drawings/_rels/drawing1.xml.rels", "<Relationship Id='r1' Target=\"#'Job 7 Price'!A1\" TargetMode='External'/>", True),
        ("xl/worksheets/_rels/sheet1.xml.rels", '<Relationship Id="r1" Target="https://example.com/waste" TargetMode="External"/>', False),
        ("xl/ctrlProps/ctrlProp1.xml", '<formControlPr objectType="Drop" fmlaLink="$B$1" fmlaRange="Price!$A$1:$A$9"/>', True),
        ("xl/drawings/vmlDrawing1.vml", "<x:FmlaLink>waste</x:FmlaLink>", True), ("xl/media/image1.png", "<f>waste</f>", False),
    ],
)  # fmt: skip
def test_what_uses_a_bid_besides_cells(part: str, text: str, used: bool, tmp_path: Path) -> None:
    package = Package(save({part: f"<a>{text}</a>".encode()}, tmp_path / "a.zip"))

    assert [name for name, _ in uses(package, BID, [part])] == [part] * used


def field(unit: str) -> Field:
    """Return an input of the bid with a unit."""
    return next(field for _, field in compiled("bid", "us").plan.entered() if field.kind == "input" and field.unit == unit)


@pytest.mark.parametrize("sheet", ["Customers", "Price list", "Bob's", "Été"])
@pytest.mark.parametrize("unit", ["share", "text"])
def test_a_link_is_read_as_it_was_written(sheet: str, unit: str) -> None:
    target = Target(sheet, 4, 28)

    assert linked_to(link_formula(field(unit), target)) == target
    assert read_target(target.reference) == target
    assert read_target(target.a1) == target


@pytest.mark.parametrize("formula", ['IF(A!B1="","",A!B2)', "A!B1", "A!B1*2", '[1]A!B1&""', 'A!B1&"x"', "SUM(A!B1)", 'IF(B1="","",B1)'])
def test_another_formula_is_no_link(formula: str) -> None:
    assert linked_to(formula) is None


MAIN = "http://schemas.openxmlformats.org/spreadsheetml/2006/main"
SHEET = (
    b'<x:worksheet xmlns:x="u"><x:sheetData><x:row r="1"><x:c r="A1" s="2"><x:f>waste</x:f><x:v>7</x:v></x:c>'
    b'<x:c r="A10" t="str"><x:f>waste</x:f><x:v>old</x:v></x:c><x:c r="B1"><x:f>A1</x:f><x:v>7</x:v></x:c>'
    b'<x:c r="C1"><x:f t="array" ref="C1:C2">waste</x:f></x:c><x:c r="D1" t="e"><x:f t="shared" si="0"/><x:v>#NAME?</x:v></x:c>'
    b'<x:c r="E1"><x:f>waste</x:f></x:c></x:row></x:sheetData></x:worksheet>'
)


def test_a_formula_leaves_its_figure() -> None:
    report = Report()
    made = with_figures(SHEET, {(1, 1): 2.5, (10, 1): "a<b", (1, 4): True}, "book Sheet", report)

    assert list(report) == []
    assert b'<x:c r="A1" s="2"><x:v>2.5</x:v></x:c>' in made
    assert b'<x:c r="A10" t="str"><x:v>a&lt;b</x:v></x:c>' in made
    assert b'<x:c r="D1" t="b"><x:v>1</x:v></x:c>' in made
    assert b'<x:c r="B1"><x:f>A1</x:f><x:v>7</x:v></x:c>' in made


def test_a_figure_that_no_program_here_can_reckon_stays_as_it_is_stored() -> None:
    report = Report()
    made = with_figures(SHEET, {(1, 1): CellError("#NAME?"), (1, 5): CellError("#NAME?"), (1, 3): 1.0, (9, 9): 1.0}, "book Sheet", report)

    assert b'<x:c r="A1" s="2"><x:v>7</x:v></x:c>' in made
    assert [(finding.code, finding.place) for finding in report] == [
        ("host-array", "book Sheet!C1"), ("host-figure", "book Sheet!E1"), ("host-figure", "book Sheet!I9"),
    ]  # fmt: skip


def test_a_formula_gives_way_to_its_result_for_reckoning() -> None:
    """Text, number and truth as they are; nothing and an error by a formula that gives them; an array by its first cell."""
    figures = {(1, 1): "5%b", (10, 1): None, (1, 4): CellError("#DIV/0!"), (1, 3): 2.0, (1, 5): True, (9, 9): 1.0}
    made = with_constants(SHEET, figures)

    assert b'<x:c r="A1" s="2" t="str"><x:v>5%b</x:v></x:c>' in made
    assert b'<x:c r="A10"><x:f>""</x:f></x:c>' in made
    assert b'<x:c r="D1"><x:f>1/0</x:f></x:c>' in made
    assert b'<x:c r="C1"><x:v>2.0</x:v></x:c>' in made
    assert b'<x:c r="E1" t="b"><x:v>1</x:v></x:c>' in made
    assert b'<x:c r="B1"><x:f>A1</x:f><x:v>7</x:v></x:c>' in made


def test_a_figure_of_the_host_that_changes_is_found(tmp_path: Path) -> None:
    """The guard itself: a host whose cell is another after the change."""
    paths = []
    for name, number in (("before", 2), ("after", 3)):
        book = openpyxl.Workbook()
        sheet = book.active
        sheet["A1"], sheet["B1"], sheet["C1"], sheet["D1"] = number, "=A1*2", "=NOW()", "=B1+1"
        book.save(path := tmp_path / f"{name}.xlsx")
        paths.append(path)
    package = Package(paths[0])
    found = formulas(package, worksheets(package, "xl/workbook.xml"), HOST)
    now = {number: recalculate(path, "ironcalc", cells_of(found)) for number, path in enumerate(paths)}

    def told(number: int, *free: Cell) -> list[str]:
        return [finding.place for finding in changed(paths[0], "new.xlsx", now[number], found, free, "ironcalc")]

    assert told(1) == ["new.xlsx Sheet!B1", "new.xlsx Sheet!D1"]
    assert told(0) == []
    assert told(1, Cell("Sheet", 1, 2)) == []


ROW = '<row r="3"><c r="A3"><f>waste&amp;"&#10;"</f></c><c r="B3"><f t="shared" ref="B3:B4" si="7">A3*2</f><v>1</v></c></row>'
SHARED = '<row r="4"><c r="B4"><f t="shared" si="7"/></c><c r="C4"><v>1</v></c></row>'


@pytest.mark.parametrize(
    "change",
    [
        lambda text: text, lambda text: re.sub(r' r="[A-Z]*[0-9]+"', "", text.replace("<row", "<row/><row/><row", 1)),
        lambda text: text.replace("A3*2", "<![CDATA[A3*2]]>"), lambda text: re.sub(r"<(/?)(?=[a-z])", r"<\1x:", text).replace("xmlns=", "xmlns:x="),
        lambda text: text.replace('<c r="B3">', "<c s='1' r='B3' >"),
    ],
    ids=["plain", "without addresses", "unusual text", "with a prefix", "other quotes"],
)  # fmt: skip
def test_formulas_are_found_however_they_are_written(change, tmp_path: Path) -> None:
    sheet = change(f'<worksheet xmlns="{MAIN}"><sheetData>{ROW}{SHARED}</sheetData></worksheet>')
    package = Package(save({"s.xml": sheet.encode()}, tmp_path / "s.zip"))
    found = [FormulaAt(3, 1, 'waste&"\n"', None), FormulaAt(3, 2, "A3*2", "7"), FormulaAt(4, 2, "", "7")]
    if "<row/>" in sheet:
        found[2] = FormulaAt(4, 1, "", "7")

    assert formulas(package, {"S": "s.xml"}, HOST) == {"S": found}


def test_a_sheet_of_a_host_that_could_harm_is_refused(tmp_path: Path) -> None:
    package = Package(save({"a.xml": b"<!DOCTYPE a><a/>", "b.xml": b"<a><c/><c/></a>"}, tmp_path / "s.zip"))
    with pytest.raises(Refused, match="xml-doctype"):
        formulas(package, {"A": "a.xml"}, HOST)
    with pytest.raises(Refused, match="1 over 1"):
        formulas(package, {"B": "b.xml"}, attrs.evolve(HOST, cells=1))
