from __future__ import annotations

import contextlib

import pytest
from hypothesis import given
from hypothesis import strategies as st

from sheetgen.check.syntax import SyntaxRefusedError, parse, relative_form
from sheetgen.check.tree import Call, Group, Missing, Name, Number, Pair, Percent, Reference, Sign, Text, Truth, depth


def cell(sheet, row, column, *, fixed=False):
    return Reference(sheet, row, fixed, column, row, fixed, column, is_range=False)


@pytest.mark.parametrize(
    ("formula", "tree"),
    [
        ("1", Number("1")),
        ('"a ""b"""', Text('a "b"')),
        ("TRUE", Truth(value=True)),
        ("the_rate", Name("the_rate")),
        ("B12", cell(None, 2, 2)),
        ("$B$12", cell(None, 12, 2, fixed=True)),
        ("'Take off'!B9", cell("Take off", -1, 2)),
        ("'It''s'!B10", cell("It's", 0, 2)),
        ("Price!$XFD$1", cell("Price", 1, 16384, fixed=True)),
        ("B$9:C12", Reference(None, 9, True, 2, 2, False, 3, is_range=True)),
        ("C9:B12", Reference(None, -1, False, 2, 2, False, 3, is_range=True)),
        ("PI()", Call("PI", ())),
        ("if(a,,1)", Call("IF", (Name("a"), Missing(), Number("1")))),
        ("LOG10(a)", Call("LOG10", (Name("a"),))),
        ("1-a*2^3", Pair("-", Number("1"), Pair("*", Name("a"), Pair("^", Number("2"), Number("3"))))),
        ("a-b-c", Pair("-", Pair("-", Name("a"), Name("b")), Name("c"))),
        ("2^3^4", Pair("^", Pair("^", Number("2"), Number("3")), Number("4"))),
        ("-a^2", Pair("^", Sign("-", Name("a")), Number("2"))),
        ("1- -a", Pair("-", Number("1"), Sign("-", Name("a")))),
        ("a&b=c", Pair("=", Pair("&", Name("a"), Name("b")), Name("c"))),
        ("a<=b+c", Pair("<=", Name("a"), Pair("+", Name("b"), Name("c")))),
        ("(a+b)*c", Pair("*", Group(Pair("+", Name("a"), Name("b"))), Name("c"))),
        ("50%", Percent(Number("50"))),
        (" a + b ", Pair("+", Name("a"), Name("b"))),
    ],
)
def test_a_formula_becomes_a_tree(formula, tree):
    assert parse(formula, 10) == tree


@pytest.mark.parametrize(
    ("formula", "code"),
    [
        ("", "formula-syntax"),
        ("1+", "formula-syntax"),
        ("(1", "formula-syntax"),
        ("SUM(a", "formula-syntax"),
        ("a b", "formula-syntax"),
        ("a)", "formula-syntax"),
        ("SUM(A:A)", "formula-whole"),
        ("SUM($A:$C)", "formula-whole"),
        ("SUM(Price!1:3)", "formula-whole"),
        ("Table1[Area]", "formula-structured"),
        ("[1]Sheet1!A1", "formula-structured"),
        ("'[other.xlsx]Sheet1'!A1", "formula-external"),
        ("{1,2}", "formula-array"),
        ("@a", "formula-array"),
        ("A1#", "formula-array"),
        ("SUM(A1:INDEX(B1,2))", "formula-range"),
        ("SUM(Sheet1:Sheet3!A1)", "formula-range"),
        ("#REF!+1", "formula-lost"),
        ("Price!#REF!", "formula-lost"),
        ("'Take off'!#REF!", "formula-lost"),
        ("A0", "formula-lost"),
        ("A1048577", "formula-lost"),
        ("XFE1", "formula-lost"),
        ("(" * 200, "formula-depth"),
        ("-" * 200 + "1", "formula-depth"),
        ("SUM(" * 100 + "1" + ")" * 100, "formula-depth"),
    ],
)
def test_what_we_never_write_is_refused(formula, code):
    with pytest.raises(SyntaxRefusedError) as caught:
        parse(formula, 10)

    assert caught.value.code == code


@given(st.text(alphabet="AB12$!:()+-*^&=<>,\"' .#[]{}%@SUMa", max_size=40))
def test_any_text_is_parsed_or_refused(formula):
    # Any other exception would end the check of a book.
    with contextlib.suppress(SyntaxRefusedError):
        parse(formula, 5)


def test_depth_counts_functions_inside_functions():
    assert depth(parse("IF(SUM(ROUND(a,1),(ABS(INT(b)))),1,0)+PI()", 1)) == 4


def test_the_same_formula_in_another_row_has_the_same_form():
    assert relative_form("B4*$C$4+SUM(D$4:D3)", 4) == relative_form("B9*$C$4+SUM(D$4:D8)", 9)


@pytest.mark.parametrize(
    ("other", "row"),
    [
        ("B9*$C$5+SUM(D$4:D8)", 9),  # another fixed cell
        ("B9*$C$4+SUM(D$4:D7)", 9),  # a range that ends elsewhere
        ("C9*$C$4+SUM(D$4:D8)", 9),  # another column
        ("B8*$C$4+SUM(D$4:D8)", 9),  # another row
        ("B9*$C$4+SUM(D$4:D8)+0", 9),
    ],
)
def test_another_formula_has_another_form(other, row):
    assert relative_form(other, row) != relative_form("B4*$C$4+SUM(D$4:D3)", 4)


def test_text_sheets_and_names_are_no_cells():
    # A row in quoted text, a sheet's name, a function or a name does not move with the formula.
    formulas = ['IF(a="B4",1,0)', "'Plan B4'!C$1", "LOG10(a)", "rate_B4", "B4.x", "B4!C$1"]

    assert [relative_form(formula, 4) == relative_form(formula, 5) for formula in formulas] == [True] * 6
