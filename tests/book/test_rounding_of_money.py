"""money: exactly 24.0 stays 24, half cents go up, and IronCalc's rounding is the same."""

from __future__ import annotations

from decimal import ROUND_HALF_UP, Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st
from minibook import Mini, block

from sheetgen import money


@pytest.mark.parametrize(
    ("number", "up", "down"),
    [(24.0, 24, 24), (24.0000004, 24, 24), (24.0000006, 25, 24), (23.9999996, 24, 24), (23.9999994, 24, 23), (0.0, 0, 0), (0.1 + 0.2, 1, 0), (4.35 * 100, 435, 435), (1e9, 1e9, 1e9)],
)
def test_up_and_down(number: float, up: float, down: float) -> None:
    assert (money.up(number), money.down(number)) == (up, down)


@pytest.mark.parametrize(
    ("amount", "rounded"),
    [(2.345, 2.35), (1.005, 1.01), (2.675, 2.68), (0.125, 0.13), (0.115, 0.12), (-2.345, -2.35), (2.3449999, 2.35), (2.344999, 2.34), (0.0049999, 0.01), (1234567.895, 1234567.9), (0.0, 0.0)],
)
def test_cents(amount: float, rounded: float) -> None:
    """2.3449999 is 2.345 to six places, which rounds to 2.35: that is the rule, in both witnesses."""
    assert money.cents(amount) == rounded


@given(st.integers(0, 10_000_000))
def test_every_half_cent_goes_up(count: int) -> None:
    half = Decimal(count) / 100 + Decimal("0.005")

    assert Decimal(repr(money.cents(float(half)))) == half.quantize(Decimal("0.01"), ROUND_HALF_UP)


@given(st.floats(0, 1e8))
def test_cents_are_within_half_a_cent(amount: float) -> None:
    assert abs(money.cents(amount) - amount) <= 0.005 + 1e-6
    assert money.cents(money.cents(amount)) == money.cents(amount)
    assert money.down(amount) <= money.up(amount) <= money.down(amount) + 1


def test_half_cents_in_ironcalc(mini: Mini) -> None:
    """0.005, 0.015, … in steps that meet every last digit, and their negatives."""
    amounts = [round(n * 0.01 + 0.005, 3) * sign for n in range(0, 4000, 13) for sign in (1, -1)] + [2.345, 4.35, 1.005, 24.0]
    mini.sums(block("x", "rows", "a: number", "cent: number = cents(a)", rows=len(amounts)))
    book = mini.recalculated({("x.a", n): amount for n, amount in enumerate(amounts)})

    assert book.column("x.cent") == [money.cents(amount) for amount in amounts]


@pytest.mark.parametrize("sign", [1, -1])
def test_rounding_to_whole_numbers_in_ironcalc(mini: Mini, sign: int) -> None:
    numbers = [sign * number for number in (0.5, 1.5, 24.0, 24.0000001, 0.1 + 0.2, 23.5)]
    mini.sums(block("x", "rows", "a: number", "more: number = up(a)", "less: number = down(a)", rows=len(numbers)))
    book = mini.recalculated({("x.a", n): number for n, number in enumerate(numbers)})

    assert book.column("x.more") == [money.up(number) for number in numbers]
    assert book.column("x.less") == [money.down(number) for number in numbers]
