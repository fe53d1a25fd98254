"""Plausible data sheets: trade, materials; arithmetic."""

import pytest

from sheetgen.engine.data_sheet import WATER_LB_PER_QT, mixed_density_lb_per_ft3
from sheetgen.units import convert, registry


def test_water():
    """A litre weighs a kilogram: 8.345404 lb/gal, arithmetic from the exact pound and gallon."""
    assert pytest.approx(8.345404, abs=5e-7) == WATER_LB_PER_QT * 4
    in_pounds = registry().Quantity(1, "kilogram/liter").to("pound/quart").magnitude
    assert pytest.approx(in_pounds, rel=1e-12) == WATER_LB_PER_QT


def test_density_of_a_mix():
    """50 lb and 5 qt in 0.45 ft³: (50 + 5·2.086351)/0.45 = 134.2928 lb/ft³; arithmetic."""
    density = mixed_density_lb_per_ft3(50, 5, 0.45)

    assert density == pytest.approx(134.2928, abs=5e-5)
    assert convert(density, "mass/volume", "us", "metric") == pytest.approx((50 * 0.45359237 + 5 * 0.946352946) / (0.45 * 28.316846592), rel=1e-9)


def test_no_yield():
    with pytest.raises(ValueError, match="above 0"):
        mixed_density_lb_per_ft3(50, 5, 0)
