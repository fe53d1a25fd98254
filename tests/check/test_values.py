from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from sheetgen.check.values import CellError, agree, plain, shown

numbers = st.floats(-1e300, 1e300)


@pytest.mark.parametrize(
    ("first", "second"),
    [
        (1.0, 1.0),
        (0.0, -0.0),
        (1.0, 1.0 + 1e-10),
        (1e12, 1e12 + 100),  # relative: a billionth of it
        (0.0, 1e-9),  # absolute: float noise about nothing
        (0.1 + 0.2, 0.3),
        (435.0, 434.99999999999994),
        ("floor", "floor"),
        (True, True),
        (None, None),
    ],
)
def test_these_agree(first, second):
    assert agree(first, second)
    assert agree(second, first)


@pytest.mark.parametrize(
    ("first", "second"),
    [
        (1.0, 1.0 + 1e-8),
        (0.0, 1e-8),
        (None, 0.0),  # missing is never zero
        (None, False),
        (True, 1.0),
        (False, 0.0),
        ("1", 1.0),
        ("floor", "Floor"),
        ("floor", "floor "),
        (CellError("#N/A"), "#N/A"),
        (CellError("#N/A"), CellError("#N/A")),  # an error is right nowhere
        (math.nan, math.nan),
        (math.inf, math.inf),
        (math.inf, 1.0),
    ],
)
def test_these_do_not(first, second):
    assert not agree(first, second)
    assert not agree(second, first)


@given(numbers, numbers)
def test_agreement_is_the_same_both_ways(first, second):
    assert agree(first, second) == agree(second, first)


@given(numbers)
def test_fifteen_digits_agree_with_sixteen(value):
    assert agree(value, float(f"{value:.15g}"))


@pytest.mark.parametrize(
    ("value", "expected"),
    [
        (2, 2.0),
        (np.float64(2.5), 2.5),
        (np.float32(2.5), 2.5),
        (np.int64(3), 3.0),
        (np.bool_(True), True),
        (True, True),
        ("", None),
        ("a", "a"),
        (None, None),
    ],
)
def test_a_value_becomes_plain(value, expected):
    assert plain(value) == expected
    assert type(plain(value)) is type(expected)


@pytest.mark.parametrize("value", [[1.0], np.array([1.0, 2.0]), {}, 1j])
def test_what_no_cell_can_hold_is_refused(value):
    with pytest.raises((TypeError, ValueError)):
        plain(value)


def test_an_error_stays_an_error():
    assert isinstance(plain(CellError("#N/A")), CellError)


@pytest.mark.parametrize(
    ("value", "text"),
    [(None, "nothing"), (CellError("#N/A"), "#N/A"), (True, "TRUE"), ("a", '"a"'), (0.1 + 0.2, "0.3"), (2.0, "2")],
)
def test_a_value_is_shown(value, text):
    assert shown(value) == text
