"""Standard-cost variances: OpenStax, Principles of Accounting, vol. 2, chapter 8; numbers read.

Positive is unfavourable, as everywhere in the books.
"""

import pytest

from sheetgen.engine.variance import (
    efficiency_variance,
    price_variance,
    quantity_variance,
    rate_variance,
)


def test_shampoo_material():
    """Standard 8 oz at $0.85 a unit, 11,000 units, 89,000 oz bought and used for $74,760."""
    allowed = 11_000 * 8
    price = price_variance(74_760, 89_000, 0.85)
    quantity = quantity_variance(89_000, allowed, 0.85)

    assert price == -890
    assert quantity == 850
    assert price + quantity == 74_760 - allowed * 0.85 == -40


def test_shampoo_labour():
    """Standard 1.5 h at $35 a unit, 11,000 units, 16,000 h for $565,600.

    The page calls the total unfavourable, which is an erratum: 565,600 is less than 577,500.
    """
    allowed = 11_000 * 1.5
    rate = rate_variance(16_000, 565_600 / 16_000, 35)
    time = efficiency_variance(16_000, allowed, 35)

    assert rate == 5_600
    assert time == -17_500
    assert rate + time == 565_600 - allowed * 35 == -11_900


@pytest.mark.parametrize(
    ("paid", "price", "bought", "variance"),
    [(9, 7, 20, 40), (9.50, 8, 0.10, 0.15)],
)
def test_price_variance_of_a_unit(paid, price, bought, variance):
    """(9 - 7) · 20 and (9.50 - 8) · 0.10."""
    assert price_variance(paid * bought, bought, price) == variance


def test_quantity_variance_of_a_unit():
    """(0.20 - 0.10) · 8."""
    assert quantity_variance(0.20, 0.10, 8) == 0.80


def test_cost_card():
    """4 lb at 5.25, 2.75 h at 11, overheads 4 at 15, 6.75 at 5 and 6.75 at 3: 165.25."""
    assert 4 * 5.25 + 2.75 * 11 + 4 * 15 + 6.75 * 5 + 6.75 * 3 == 165.25


def test_rate_and_time():
    """32,000 h at 15.75 against 31,450 h at 15.50: +8,000 and +8,525, arithmetic."""
    rate = rate_variance(32_000, 15.75, 15.50)
    time = efficiency_variance(32_000, 31_450, 15.50)

    assert (rate, time) == (8_000, 8_525)
    assert rate + time == 32_000 * 15.75 - 31_450 * 15.50


@pytest.mark.parametrize(
    ("used", "needed", "price", "paid_each"),
    [(13.5, 12.772483, 38.50, 39.00), (40, 44, 2.25, 2.10), (7, 7, 9.99, 12.34)],
)
def test_price_and_quantity_make_the_total(used, needed, price, paid_each):
    """Wherever what was bought was used, price + quantity = total; arithmetic, to the cent of each."""
    paid = used * paid_each
    total = paid - needed * price

    assert price_variance(paid, used, price) + quantity_variance(used, needed, price) == pytest.approx(total, abs=0.01)
