from __future__ import annotations

import pytest
from saved import column, read

from sheetgen.check.runs import Run, one_formula

DOWN = Run("S", (4, 2), (9, 2), "areas.area")
RIGHT = Run("S", (4, 2), (4, 7), "systems.key")


def across(formula):
    """A formula in B4 to G4; {c} is its column, {d} the one to the right, {r} counts rows from 4."""
    letters = "BCDEFGH"
    return {f"{c}4": formula.format(c=c, d=letters[i + 1], r=i + 4) for i, c in enumerate(letters[:6])}


def found(tmp_path, cells, run):
    return [finding.place for finding in one_formula(read(tmp_path / "a.xlsx", {"S": cells, "T": {}}), [run])]


@pytest.mark.parametrize(
    "formula",
    ["=C{row}*$A$1", "=SUM(C$3:C{above})", "='T'!C{below}+1", '=IF(C{row}="","",ROW(C{row}))', "=$A$1"],
)
def test_one_formula_down_a_column(tmp_path, formula):
    assert found(tmp_path, column("B", 4, formula, 6), DOWN) == []


@pytest.mark.parametrize("formula", ["={c}9*$A$1", "=SUM($A9:{c}9)", "='T'!{d}9", "=T!$C{r}+{c}1", "=T!C{r}"])
def test_one_formula_along_a_row(tmp_path, formula):
    # What it reads may stand beside each other too, or below each other.
    assert found(tmp_path, across(formula), RIGHT) == []


def test_one_formula_down_a_column_that_reads_along_a_row(tmp_path):
    cells = {f"B{row}": f"=T!{letter}$2" for row, letter in zip(range(4, 10), "CDEFGH", strict=True)}

    assert found(tmp_path, cells, DOWN) == []


@pytest.mark.parametrize(
    ("address", "other"),
    [
        ("B6", "=C6*$A$2"),  # another fixed cell
        ("B6", "=C7*$A$1"),  # the row below
        ("B6", "=D6*$A$1"),  # another column
        ("B6", "=C6+$A$1"),  # another sign
        ("B6", 5.0),  # a number typed over it
        ("B4", "=C4"),  # the first one
        ("B9", "=C9"),  # the last one
    ],
)
def test_a_cell_that_differs_is_found(tmp_path, address, other):
    cells = {**column("B", 4, "=C{row}*$A$1", 6), address: other}

    assert found(tmp_path, cells, DOWN) == [f"a.xlsx S!{address}"]


def test_a_cell_that_differs_in_a_row_is_found(tmp_path):
    assert found(tmp_path, {**across("={c}9*$A$1"), "D4": "=C9*$A$1"}, RIGHT) == ["a.xlsx S!D4"]


def test_a_fixed_cell_must_not_move(tmp_path):
    assert len(found(tmp_path, column("B", 4, "=C{row}*$A${row}", 6), DOWN)) == 5


def test_two_that_differ_leave_no_doubt_which_are_usual(tmp_path):
    cells = {**column("B", 4, "=C{row}", 6), "B5": "=D5", "B6": "=D6"}

    assert found(tmp_path, cells, DOWN) == ["a.xlsx S!B5", "a.xlsx S!B6"]


def test_a_run_without_formulas_is_found_cell_by_cell(tmp_path):
    assert len(found(tmp_path, {"B4": 1.0}, DOWN)) == 6


def test_a_run_on_a_sheet_that_is_gone_is_found(tmp_path):
    assert len(found(tmp_path, {}, Run("Gone", (1, 1), (2, 1)))) == 2


def test_the_finding_names_field_and_example(tmp_path):
    book = read(tmp_path / "a.xlsx", {"S": {**column("B", 4, "=C{row}", 6), "B6": "=D6"}})
    (finding,) = one_formula(book, [DOWN])

    assert finding.line().startswith("error rule-3-formula a.xlsx S!B6: areas.area has another formula")
    assert "such as B4" in finding.what
