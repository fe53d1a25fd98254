from __future__ import annotations

import pytest
import xlsxwriter

from sheetgen.check.structure import structure
from sheetgen.reader.raw import read_raw

TYPES = {"Start": "start", "In": "inputs", "Calc": "calculation", "Lists": "reference", "Out": "output"}


def made(path, *formulas, names=(), sheet="Calc", array=False):
    book = xlsxwriter.Workbook(str(path))
    sheets = {name: book.add_worksheet(name) for name in TYPES}
    for row in range(5):
        sheets["In"].write_number(row, 0, row + 1.0)
        sheets["In"].write_number(row, 1, row + 2.0)
    for name, target in (("factor", "=In!$A$1"), *names):
        book.define_name(name, target)
    for row, formula in enumerate(formulas):
        if array:
            sheets[sheet].write_array_formula(row, 0, row, 0, f"{{={formula}}}", None, 1.0)
        else:
            sheets[sheet].write_formula(row, 0, f"={formula}", None, 1.0)
    book.close()
    return read_raw(path)


def codes(book, **options):
    return [finding.code for finding in structure(book, TYPES, **options)]


@pytest.mark.parametrize(
    "formula",
    [
        "In!A1*factor",
        "ROUND(SUM(In!A1:A5),2)",
        "IFERROR(INDEX(In!A1:A5,MATCH(factor,In!B1:B5,0)),0)",
        "SUMPRODUCT(In!A1:A5*In!B1:B5)",
        'IF(In!A1="","",In!A1)',
        'SUMIFS(In!A1:A5,In!B1:B5,"<="&In!A1)',
        "SUM(INDEX(In!A1:B5,0,factor))",
    ],
)
def test_a_sound_formula_passes(tmp_path, formula):
    assert codes(made(tmp_path / "a.xlsx", formula)) == []


@pytest.mark.parametrize(
    ("formula", "code"),
    [
        ("In!A1*1.1", "formula-number"),
        ('IF(In!A1="yes",1,0)', "formula-text"),
        ("VLOOKUP(In!A1,In!A1:B5,1,0)", "formula-function"),
        ("TODAY()", "formula-function"),
        ("In!A1:A5+1", "formula-range"),
        ("SUMPRODUCT(In!A1:A5*In!B1:B4)", "formula-shape"),
        ("SUM(In!A:A)", "formula-whole"),
        ("IFERROR(In!A1/In!A2,0)", "formula-iferror"),
        ("In!A1*unknown", "formula-name"),
        ("SUM(In!A1", "formula-syntax"),
        ("Gone!A1+1", "formula-lost"),
        ("In!A1^In!A2^In!A3", "formula-power"),
        ("Out!A1+1", "flow-backward"),
        ("+".join(["In!$A$1"] * 100), "formula-length"),
    ],
)
def test_a_wrong_formula_is_found(tmp_path, formula, code):
    found = structure(made(tmp_path / "a.xlsx", formula), TYPES)

    assert [finding.place for finding in found] == ["a.xlsx Calc!A1"], found
    assert [finding.code for finding in found] == [code]


def test_an_array_formula_is_found(tmp_path):
    assert codes(made(tmp_path / "a.xlsx", "SUM(In!A1:A5)", array=True)) == ["formula-array"]


def test_a_total_of_shown_rows_is_for_show_cells_only(tmp_path):
    book = made(tmp_path / "a.xlsx", "SUBTOTAL(109,In!A1:A5)")

    assert codes(book) != []
    assert codes(book, shows={"Calc": {(1, 1)}}) == []


@pytest.mark.parametrize(
    "formulas",
    [("A1+1",), ("A2+1", "A1+1"), ("SUM(A1:A3)",), ("A3+1", "SUM(In!A1:A5)", "SUM(A1:A2)"), ("IF(In!A1=0,A2,0)", "A1")],
)
def test_a_circle_is_found_through_every_cell_of_a_range(tmp_path, formulas):
    assert "circle" in codes(made(tmp_path / "a.xlsx", *formulas))


def test_a_sum_over_the_rows_above_is_no_circle(tmp_path):
    assert codes(made(tmp_path / "a.xlsx", "In!A1", "SUM(A$1:A1)", "SUM(A$1:A2)")) == []


@pytest.mark.parametrize(
    ("name", "target", "code"),
    [
        ("block", "=In!$A$1:$B$5", "name-target"),
        ("constant", "=5", "name-target"),
        ("moving", "=In!A1", "name-target"),
        ("In!local", "=In!$A$1", "name-scope"),
    ],
)
def test_a_wrong_name_is_found(tmp_path, name, target, code):
    assert codes(made(tmp_path / "a.xlsx", names=[(name, target)])) == [code]


def test_a_hosts_formulas_are_its_own_but_close_circles(tmp_path):
    book = made(tmp_path / "a.xlsx", "Out!A1*7", sheet="Calc")
    ours = {"Out": "output"}

    assert structure(book, ours) == ()

    again = made(tmp_path / "b.xlsx", "A1*7", sheet="Calc")
    assert [finding.code for finding in structure(again, ours)] == ["circle"]
