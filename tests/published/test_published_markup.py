"""Markup and margin: arithmetic, as in any textbook of construction accounting."""

import pytest

from sheetgen.engine.price import (
    margin_had,
    margin_of_markup,
    markup_had,
    markup_of_margin,
    price_at_margin,
    price_at_markup,
)


def test_thirty_per_cent_on_ten():
    assert price_at_markup(10, 0.30) == 13.00


@pytest.mark.parametrize(("markup", "margin"), [(0.25, 0.20), (0.50, 0.33333), (0.42857, 0.30)])
def test_markup_and_margin(markup, margin):
    """25 % is 20 %, 50 % is 33.333 %, 42.857 % is 30 %; to the digits that are given."""
    assert margin_of_markup(markup) == pytest.approx(margin, abs=5e-6)
    assert markup_of_margin(margin) == pytest.approx(markup, abs=2e-5)


def test_both_ways_make_the_same_price():
    assert price_at_markup(1000, 0.25) == price_at_margin(1000, 0.20) == 1250


def test_what_is_had():
    assert markup_had(1250, 1000) == 0.25
    assert margin_had(1250, 1000) == 0.20
