from __future__ import annotations

import pytest
from saved import column, read
from xlsxwriter import Workbook

from sheetgen.check.structure import structure
from sheetgen.reader.raw import read_raw

TYPES = {
    "Start": "start", "Takeoff": "inputs", "Sums": "calculation", "Rates": "reference", "Checks": "checks",
}  # fmt: skip
NAMES = {"the_rate": "=Rates!$B$1", "the_list": "=Rates!$A$1:$A$5"}
SOUND = {
    "Start": {"A1": "=Checks!B1"},
    "Takeoff": {"A1": 2.0, "A2": 3.0, "A3": 1.0},
    "Sums": {**column("B", 1, "=Takeoff!A{row}*the_rate", 3), "B4": "=SUM(B1:B3)"},
    "Rates": {"A1": 1.0, "B1": 4.0},
    "Checks": {"B1": "=IF(Sums!B4>=0,0,1)"},
}


def found(tmp_path, changes, names=None, shows=None):
    sheets = {name: {**cells, **changes.get(name, {})} for name, cells in SOUND.items()}
    book = read(tmp_path / "a.xlsx", sheets, {**NAMES, **(names or {})})
    return [(finding.code, finding.place) for finding in structure(book, TYPES, shows)]


def test_a_sound_book_has_no_finding(tmp_path):
    assert found(tmp_path, {}) == []


@pytest.mark.parametrize(
    ("formula", "code"),
    [
        ("=VLOOKUP(B1,the_list,1,0)", "formula-function"),
        ("=NOW()", "formula-function"),
        ("=B1*3", "formula-number"),
        ("=B1:B3", "formula-range"),
        ("=the_list*1", "formula-range"),
        ("=SUM(Takeoff!A:A)", "formula-whole"),
        ("=SUMPRODUCT(B1:B3,Takeoff!A1:A2)", "formula-shape"),
        ("=B1^2^3", "formula-power"),
        ("=IFERROR(B1/B2,0)", "formula-iferror"),
        ("=Gone!B1", "formula-lost"),
        ("=gone", "formula-name"),
        ("=B1" + "+B1" * 170, "formula-length"),
    ],
)
def test_a_wrong_formula_is_found_at_its_cell(tmp_path, formula, code):
    assert found(tmp_path, {"Sums": {"C7": formula}})[0] == (code, "a.xlsx Sums!C7")


def test_one_wrong_formula_in_a_column_is_one_finding(tmp_path):
    book = read(tmp_path / "a.xlsx", {"Sums": column("B", 1, "=A{row}*2", 50)})
    (finding,) = structure(book, {"Sums": "calculation"})

    assert finding.place == "a.xlsx Sums!B1"
    assert "49 more" in finding.what


def test_an_array_formula_is_found(tmp_path):
    book = Workbook(tmp_path / "a.xlsx")
    book.add_worksheet("Sums").write_array_formula("B1:B2", "{=A1:A2}")
    book.close()

    assert "formula-array" in {f.code for f in structure(read_raw(tmp_path / "a.xlsx"), {"Sums": "calculation"})}


def test_a_circle_is_reported_as_a_path(tmp_path):
    book = read(tmp_path / "a.xlsx", {"Sums": {"A1": "=B1", "B1": "=C1", "C1": "=A1"}})
    (finding,) = structure(book, {"Sums": "calculation"})

    assert finding.code == "circle"
    assert "Sums!A1 → Sums!B1 → Sums!C1 → Sums!A1" in finding.what


def test_a_circle_through_a_named_range_and_two_sheets_is_found(tmp_path):
    assert ("circle", "a.xlsx Rates!A3") in found(tmp_path, {"Rates": {"A3": "=Sums!C9"}, "Sums": {"C9": "=SUM(the_list)"}})


def test_a_long_circle_is_shortened_in_words(tmp_path):
    cells = {**column("A", 1, "=A{below}", 30), "A31": "=A1"}
    (finding,) = structure(read(tmp_path / "a.xlsx", {"Sums": cells}), {"Sums": "calculation"})

    assert "23 more" in finding.what


@pytest.mark.parametrize(
    ("sheet", "formula", "codes"),
    [
        ("Takeoff", "=Sums!B1", ["flow-backward"]),  # to a later sheet
        ("Takeoff", "=SUM(Sums!B1:B3)", ["flow-backward"]),
        ("Takeoff", "=Checks!B1", ["flow-backward"]),
        ("Takeoff", "=the_rate", []),  # to a reference sheet
        ("Start", "=Sums!B1", []),  # from Start
        ("Checks", "=Start!A9", []),
        ("Rates", "=Takeoff!A1", []),  # a reference sheet reads what is earlier
        ("Rates", "=Checks!B1", ["flow-backward"]),
    ],
)
def test_formulas_flow_from_earlier_to_later_sheets(tmp_path, sheet, formula, codes):
    assert [code for code, _ in found(tmp_path, {sheet: {"D1": formula}})] == codes


def test_the_state_of_the_checks_may_show_on_every_sheet(tmp_path):
    shows = {"Takeoff": {(1, 4)}}

    assert found(tmp_path, {"Takeoff": {"D1": "=Checks!B1"}}, shows=shows) == []
    assert found(tmp_path, {"Takeoff": {"D1": "=Sums!B1"}}, shows=shows) == [("flow-backward", "a.xlsx Takeoff!D1")]


def test_a_show_cell_may_use_subtotal(tmp_path):
    change = {"Sums": {"D9": "=SUBTOTAL(109,B1:B3)"}}

    assert found(tmp_path, change)[0] == ("formula-function", "a.xlsx Sums!D9")
    assert found(tmp_path, change, shows={"Sums": {(9, 4)}}) == []


@pytest.mark.parametrize(
    ("name", "target", "code"),
    [
        ("tax_rate", "=Rates!$A$1:$B$5", "name-target"),  # a block
        ("tax_rate", "=0.2", "name-target"),  # a constant
        ("tax_rate", "=Rates!$A$1*2", "name-target"),  # a formula
        ("tax_rate", "=Rates!A1", "name-target"),  # not absolute
        ("tax_rate", "=Rates!$A:$A", "name-target"),  # a whole column
        ("Rates!tax_rate", "=Rates!$A$1", "name-scope"),
    ],
)
def test_a_name_that_we_never_write_is_found(tmp_path, name, target, code):
    assert [found_code for found_code, _ in found(tmp_path, {}, {name: target})] == [code]


@pytest.mark.parametrize("name", ["tax1", "R", "c", "R1", "C12", "opt6", "AAA9"])
def test_a_name_that_reads_as_a_cell_is_found(tmp_path, name):
    book = read(tmp_path / "a.xlsx", SOUND, NAMES)
    book.names[name] = "Rates!$B$1"

    assert [f.code for f in structure(book, TYPES)] == ["name-cell"]


def test_a_name_of_a_sheet_that_is_gone_is_found(tmp_path):
    book = read(tmp_path / "a.xlsx", SOUND, NAMES)
    book.names["tax_rate"] = "Gone!$B$1"

    assert [f.code for f in structure(book, TYPES)] == ["name-target"]


def test_print_areas_are_no_names_of_ours(tmp_path):
    book = Workbook(tmp_path / "a.xlsx")
    sheet = book.add_worksheet("Sums")
    sheet.print_area("A1:B9")
    sheet.repeat_rows(0, 1)
    sheet.autofilter("A1:B9")
    book.close()

    assert structure(read_raw(tmp_path / "a.xlsx"), {"Sums": "calculation"}) == ()


def test_the_formulas_of_a_host_may_hold_anything_but_a_circle(tmp_path):
    sheets = {"Host": {"A1": "=VLOOKUP(B1,C:C,1)*3", "A2": "=Sums!A2"}, "Sums": {"A1": "=Host!A1", "A2": "=Host!A2"}}
    book = read(tmp_path / "a.xlsx", sheets)

    assert [finding.code for finding in structure(book, {"Sums": "calculation"})] == ["circle"]
