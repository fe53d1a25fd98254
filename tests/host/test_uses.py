"""Which formulas use a bid, and what becomes of them."""

from __future__ import annotations

from pathlib import Path

import openpyxl
import pytest

from sheetgen.book.compile import compiled
from sheetgen.book.linked import Target, link_formula, linked_to, read_target
from sheetgen.book.template import Field
from sheetgen.check.values import CellError
from sheetgen.findings import Report
from sheetgen.host.figures_left import with_figures
from sheetgen.host.uses import Bid, Cell, restless
from sheetgen.host.values import changed
from sheetgen.reader.gate import inspect
from sheetgen.reader.limits import HOST
from sheetgen.reader.sheet_scan import FormulaAt

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


def test_a_figure_of_the_host_that_changes_is_found(tmp_path: Path) -> None:
    """The guard itself: a host whose cell is another after the change."""
    paths = []
    for name, number in (("before", 2), ("after", 3)):
        book = openpyxl.Workbook()
        sheet = book.active
        sheet["A1"], sheet["B1"], sheet["C1"], sheet["D1"] = number, "=A1*2", "=NOW()", "=B1+1"
        book.save(path := tmp_path / f"{name}.xlsx")
        paths.append(path)
    formulas = inspect(paths[0], HOST, formulas=True).formulas

    assert [finding.place for finding in changed(*paths, formulas, (), "ironcalc")] == ["after.xlsx Sheet!B1", "after.xlsx Sheet!D1"]
    assert changed(paths[0], paths[0], formulas, (), "ironcalc") == ()
    assert changed(*paths, formulas, {Cell("Sheet", 1, 2)}, "ironcalc") == ()
