"""Shared formulas move as openpyxl moves them, and further."""

import pytest
from hypothesis import given
from hypothesis import strategies as st
from openpyxl.formula.translate import Translator

from sheetgen.reader.shared import COLUMNS, SharedFormula, column_letters

OPERANDS = st.one_of(
    st.builds(
        "{}{}{}{}".format, st.sampled_from(["", "$"]), st.sampled_from(["K", "AA", "IV"]), st.sampled_from(["", "$"]), st.integers(40, 9000)
    ),
    st.sampled_from(
        ["$K40:L$50", "K:L", "$K:L", "40:50", "Sheet2!K40", "'My A1 sheet'!K40:L50", '"K40"', "a_name", "zones.area", "TRUE", "1.5E+3",
         "#N/A", "SUM(K40,L41)", "LOG10(K40)", "INDEX($K$40:K90,3)", "Table1[K40]"]
    ),
)  # fmt: skip


@given(st.lists(OPERANDS, min_size=1, max_size=5), st.sampled_from("+-*/&,"), st.integers(-30, 30), st.integers(-8, 8))
def test_shared_formulas_move_as_openpyxl_moves_them(operands, sign, down, right):
    text = f"IF(1,{sign.join(operands)})"
    other = f"{column_letters(20 + right)}{100 + down}"

    expected = Translator("=" + text, "T100").translate_formula(other)[1:]
    assert expected == SharedFormula(text, 100, 20).at(100 + down, 20 + right)


@pytest.mark.parametrize(
    ("text", "moved"),
    [
        ("SUM(A1:INDEX(A1:A9,2))", "SUM(B2:INDEX(B2:B10,2))"),
        ("SUM(INDEX(A1:A9,2):A9)", "SUM(INDEX(B2:B10,2):B10)"),
        ('A1&"open', ""),  # not a formula at all
        ("A1)", ""),
    ],
)
def test_shared_formulas_that_openpyxl_cannot_move(text, moved):
    assert SharedFormula(text, 1, 1).at(2, 2) == moved


def test_letters_of_columns():
    assert (COLUMNS["A"], COLUMNS["Z"], COLUMNS["AA"], COLUMNS["XFD"]) == (1, 26, 27, 16_384)
    assert all(column_letters(number) == letters for letters, number in COLUMNS.items())
