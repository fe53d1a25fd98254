from __future__ import annotations

import datetime as dt
import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from sheetgen.reader.cell_text import as_date, as_number, as_text
from sheetgen.reader.raw import RawCell

DATE = RawCell(46030.0, "number", None, True)  # 2026-01-08


def text(value):
    return RawCell(value, "text")


@pytest.mark.parametrize(
    ("typed", "symbol", "value"),
    [
        ("1,250.5", "ft²", 1250.5),
        ("1 250,5", "ft²", 1250.5),
        ("12,5", "ft", 12.5),
        ("1.250,5", "ft", 1250.5),
        ("1'250", "", 1250.0),
        ("0,125", "in", 0.125),
        ("\u00a012\u200b ", "ft", 12.0),
        ("\u22123", "°F", -3.0),
        ("$38.50", "$", 38.5),
        ("$1,250", "$", 1250.0),
        ("$38.50/h", "$/h", 38.5),
        ("12 ft", "ft", 12.0),
        ("12'", "ft", 12.0),
        ("12 ft2", "ft²", 12.0),
        ("1/8", "in", 0.125),
        ('1 1/2"', "in", 1.5),
        ("1½", "in", 1.5),
        ("2-1/2 in", "in", 2.5),
        ("12.5 sq ft", "ft²", 12.5),
        ("12,5 SF", "ft²", 12.5),
        ("12.5 sqm", "m²", 12.5),
        ("3,5 m", "m", 3.5),
        ("3,5 metres", "m", 3.5),
        ("7 bags", "bag", 7.0),
        ("2.5 hrs.", "h", 2.5),
        ("20 C", "°C", 20.0),
        ("68°", "°F", 68.0),
        ("12 USD", "$", 12.0),
        ("12' 6\"", "ft", 12.5),
        ("12'-6 1/2\"", "ft", 12.5 + 0.5 / 12),
        ("12 ft 6 in", "ft", 12.5),
        ("12’ 6”", "ft", 12.5),
    ],
)
def test_a_number_typed_as_text_is_read_and_said(typed, symbol, value):
    found = as_number(text(typed), symbol)

    assert (found.value, found.problem) == (value, None)
    assert found.note is not None


@pytest.mark.parametrize(
    ("typed", "symbol", "says"),
    [
        ("1,250", "ft", "1250 or as 1.250"),
        ("12 m", "ft", "the unit here is ft"),
        ("20 F", "°C", "the unit here is °C"),
        ("2:30", "h", "the unit here is h"),
        ("12' 6\"", "m", "not a number"),
        ("12 ft", "", "no unit"),
        ("$5", "ft", "money"),
        ("5 %", "ft", "%"),
        ("1/0", "in", "zero"),
        ("twelve", "ft", "not a number"),
        ("1.2.3", "ft", "not a number"),
        ("--5", "ft", "signs"),
        ("9" * 201, "ft", "201 characters"),
    ],
)
def test_a_text_that_is_no_number_is_a_problem(typed, symbol, says):
    found = as_number(text(typed), symbol)

    assert found.value is None
    assert says in found.problem
    assert found.mend


@pytest.mark.parametrize(
    ("typed", "symbol", "mend"),
    [("3.5 m", "ft", "type 11.4829"), ("12 ft", "m", "type 3.6576"), ("10 cm", "mm", "type 100"), ("90 min", "h", "type 1.5"),
     ("20 L", "gal", "type 5.28344"), ("50 lb", "kg", "type 22.6796"), ("5 bags", "kg", "convert it and type the number alone")],
)  # fmt: skip
def test_a_number_in_another_unit_says_what_to_type(typed, symbol, mend):
    assert as_number(text(typed), symbol).mend == mend


def test_a_moment_is_named_by_the_calendar_of_its_book():
    """In a book that counts from 1904 the same number is a day four years and a day later."""
    assert "2026-01-08" in as_number(DATE, "ft").problem
    assert "2030-01-09" in as_number(DATE, "ft", date1904=True).problem
    assert "2030-01-09" in as_text(DATE, date1904=True).problem


@pytest.mark.parametrize(("typed", "value"), [("5 %", 0.05), ("5 percent", 0.05), ("12,5%", 0.125), ("0.05", 0.05), ("250 %", 2.5)])
def test_a_share_may_be_typed_with_its_sign(typed, value):
    assert as_number(text(typed), "%", share=True).value == pytest.approx(value)


@pytest.mark.parametrize("cell", [RawCell(5.0, "number"), text("5")])
def test_a_share_typed_as_5_is_a_problem(cell):
    found = as_number(cell, "%", share=True)

    assert (found.value, found.problem, found.mend) == (None, "5 looks like percent", "type 5 %")


def test_a_number_that_became_a_date_is_a_problem():
    found = as_number(DATE, "in")

    assert "became the date 2026-01-08" in found.problem
    assert "for 1/8 type 0.125" in found.mend
    assert "time 01:30" in as_number(RawCell(0.0625, "number", None, True), "h").problem


@pytest.mark.parametrize("read", [lambda cell: as_number(cell, "ft"), as_text, as_date])
def test_truth_and_errors_are_problems_and_blanks_are_not(read):
    assert read(RawCell(True, "bool")).problem
    assert read(RawCell("#N/A", "error")).problem
    assert read(RawCell(None, "blank")) == read(text(" \u00a0 "))
    assert read(RawCell(None, "blank")).value is None


def test_what_is_not_finite_is_a_problem():
    for value in (math.nan, math.inf):
        assert as_number(RawCell(value, "number"), "ft").problem
        assert as_number(RawCell(value, "number", None, True), "ft").problem
        assert as_date(RawCell(value, "number", None, True)).problem


def test_text_is_cleaned_and_bounded():
    assert as_text(text("  a\u00a0 b\nc ")).value == "a b c"
    assert as_text(text("a\x07b")).note == "invisible characters were left out"
    assert "100 over 200" in as_text(text("x" * 300)).problem
    assert as_text(RawCell(12.0, "number")).value == "12"
    assert "became the date" in as_text(DATE).problem


@pytest.mark.parametrize("typed", ["2026-11-25", "11/25/2026", "25.11.2026", "Nov 25, 2026", "25 November 2026", "2026/11/25"])
def test_a_date_typed_as_text_is_read(typed):
    assert as_date(text(typed)).value == dt.date(2026, 11, 25)


@pytest.mark.parametrize("typed", ["3/4/2026", "3/4/26", "2026-02-30", "soon", "1/1/1950", "13/13/2026"])
def test_an_ambiguous_or_impossible_date_is_a_problem(typed):
    found = as_date(text(typed))

    assert found.value is None
    assert found.problem


def test_a_date_counts_from_the_year_of_its_book():
    assert as_date(DATE).value == dt.date(2026, 1, 8)
    assert as_date(RawCell(46030.0 - 1462, "number", None, True), True).value == dt.date(2026, 1, 8)
    assert as_date(RawCell(46030.0, "number")).note
    assert as_date(RawCell(5.0, "number")).problem


@given(st.text(max_size=60) | st.from_regex(r"[-+$]{0,2}[0-9., /']{1,12}( (ft|m|%|\"))?", fullmatch=True))
def test_nothing_that_is_typed_raises(typed):
    for found in (
        as_number(text(typed), "ft²"),
        as_number(text(typed), "%", share=True),
        as_text(text(typed)),
        as_date(text(typed)),
    ):
        assert found.value is None or found.problem is None


@given(st.floats(0, 1e9).map(lambda value: round(value, 3)))
def test_a_written_number_is_read_back(value):
    assert as_number(text(f"{value:,.4f}"), "ft").value == value
