from __future__ import annotations

import zipfile

import pytest
from saved import column, read, saved

from sheetgen.check.calculator import Calculator
from sheetgen.check.recalculate import formula_cells, recalculate, recalculate_all
from sheetgen.check.values import CellError
from sheetgen.findings import Refused

# Every stored value is wrong, so that a value that is right was worked out.
SHEETS = {
    "Job": {"A1": 2.0, "A2": "floor", "A3": 5.0, "A4": 6.0},
    "Take off": {
        "B1": ("=Job!A1*3", 999),
        "B2": ('=IF(Job!A1="","",Job!A1)', 999),
        "B3": ('=Job!A2&"!"', "wrong"),
        "B4": ("=the_first>1", False),
        "B5": ("=1/Job!A1", 999),
        "B6": ("=SUM(the_list)", 999),
        "B7": ("=COUNTA(Job!A1:A4)", 999),
    },
}
NAMES = {"the_first": "=Job!$A$1", "the_list": "=Job!$A$3:$A$4", "the_text": "=Job!$A$2", "THE_row": "=Job!$A$1:$C$1"}


@pytest.fixture
def sheet(tmp_path):
    found = Calculator(saved(tmp_path / "a.xlsx", SHEETS, NAMES))
    found.evaluate()
    return found


def cell(row):
    return "Take off", row, 2


def test_stored_values_are_not_trusted(sheet):
    assert [sheet.get(cell(row)) for row in range(1, 8)] == [6.0, 2.0, "floor!", True, 0.5, 11.0, 4.0]


def test_an_input_is_typed_and_its_dependants_follow(sheet):
    sheet.set(sheet.place("the_first"), 4)
    sheet.evaluate()

    assert sheet.get(cell(1)) == 12.0


@pytest.mark.parametrize("text", ["=1+1", "=Job!A1", "007", "1/8", "TRUE", "'quoted", "+1", "#N/A", " a ", "2026-01-01"])
def test_typed_text_stays_text(sheet, text):
    sheet.set(sheet.place("the_text"), text)
    sheet.evaluate()

    assert sheet.get(sheet.place("the_text")) == text
    assert not isinstance(sheet.get(sheet.place("the_text")), CellError)
    assert sheet.get(cell(3)) == f"{text}!"


@pytest.mark.parametrize("empty", [None, ""])
def test_an_emptied_cell_is_blank_and_not_an_empty_text(sheet, empty):
    sheet.set(sheet.place("the_first"), empty)
    sheet.evaluate()

    assert sheet.get(sheet.place("the_first")) is None
    assert sheet.get(cell(2)) is None
    assert sheet.get(cell(7)) == 3.0


def test_a_cell_may_change_its_kind_over_and_over(sheet):
    for value in ("=a", 3.0, True, None, "b", 4.0):
        sheet.set(("Job", 1, 1), value)
        sheet.evaluate()

        assert sheet.get(("Job", 1, 1)) == value
        assert type(sheet.get(("Job", 1, 1))) is type(value)


def test_an_error_is_told_from_text_that_looks_like_one(sheet):
    sheet.set_all({sheet.place("the_first"): 0.0})
    sheet.evaluate()

    assert sheet.get(cell(5)) == CellError("#DIV/0!")
    assert isinstance(sheet.get(cell(5)), CellError)


@pytest.mark.parametrize("value", [float("nan"), float("inf")])
def test_a_number_that_is_not_finite_cannot_be_typed(sheet, value):
    with pytest.raises(ValueError, match="cannot stand in a cell"):
        sheet.set(("Job", 1, 1), value)


def test_names_lead_to_cells(sheet):
    assert sheet.place("THE_FIRST") == ("Job", 1, 1)
    assert sheet.place("the_list", 2) == ("Job", 4, 1)
    assert sheet.place("the_row", 3) == ("Job", 1, 3)


@pytest.mark.parametrize(("name", "record"), [("nothing", 1), ("the_list", 3), ("the_list", 0), ("the_first", 2)])
def test_a_name_that_leads_nowhere_is_a_key_error(sheet, name, record):
    with pytest.raises(KeyError):
        sheet.place(name, record)


def test_a_sheet_that_is_not_there_is_a_key_error(sheet):
    with pytest.raises(KeyError):
        sheet.get(("Gone", 1, 1))


def test_a_file_that_is_no_workbook_is_refused(tmp_path):
    path = tmp_path / "a.xlsx"
    path.write_bytes(b"not a zip")

    with pytest.raises(Refused, match=r"recalculate-refused a\.xlsx"):
        Calculator(path)


def test_formulas_without_a_value_say_nothing_on_the_terminal(tmp_path, capfd):
    """IronCalc prints a line for each, which would stand before what a command prints as JSON."""
    path = saved(tmp_path / "a.xlsx", {"One": {"A1": 2, "B1": "=A1*2"}})
    with zipfile.ZipFile(path) as zipped:
        parts = {name: zipped.read(name) for name in zipped.namelist()}
    sheet = parts["xl/worksheets/sheet1.xml"]
    parts["xl/worksheets/sheet1.xml"] = sheet.replace(b"</f><v>0</v>", b"</f>")
    assert parts["xl/worksheets/sheet1.xml"] != sheet
    with zipfile.ZipFile(path, "w") as out:
        for name, data in parts.items():
            out.writestr(name, data)

    assert recalculate(path) == {"One": {(1, 2): 4.0}}
    print("said")
    assert capfd.readouterr() == ("said\n", "")


def test_all_formula_cells_are_recalculated(tmp_path):
    path = saved(tmp_path / "a.xlsx", SHEETS, NAMES)

    assert recalculate(path)["Take off"][1, 2] == 6.0
    assert len(recalculate(path)["Take off"]) == 7


def test_only_the_cells_asked_for_are_read(tmp_path):
    path = saved(tmp_path / "a.xlsx", SHEETS, NAMES)

    assert recalculate(path, "ironcalc", {"Take off": [(1, 2)], "Gone": [(1, 1)]}) == {"Take off": {(1, 2): 6.0}}


def test_an_unknown_program_is_our_fault(tmp_path):
    with pytest.raises(ValueError, match="excel is not one of ironcalc, libreoffice"):
        recalculate(saved(tmp_path / "a.xlsx", SHEETS), "excel")


def test_workbooks_are_recalculated_in_order(tmp_path):
    paths = [saved(tmp_path / f"{number}.xlsx", {"S": {"A1": number, "B1": "=A1*2"}}) for number in (1, 2, 3)]

    assert [found["S"][1, 2] for found in recalculate_all(paths)] == [2.0, 4.0, 6.0]


def test_formula_cells_are_listed_by_sheet(tmp_path):
    book = read(tmp_path / "a.xlsx", {"A": {"A1": 1.0}, "B": column("C", 2, "=A{row}", 2)})

    assert formula_cells(book) == {"A": [], "B": [(2, 3), (3, 3)]}
