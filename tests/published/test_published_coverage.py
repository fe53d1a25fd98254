"""Volume and coverage: arithmetic, and makers' coverage figures where named."""

import pytest

from sheetgen.engine.materials import (
    bags_before_rounding,
    covered_area_ft2,
    film_coverage_ft2_per_gal,
    mixed_volume_ft3,
    wet_film_mil,
    whole_bags,
)
from sheetgen.units import convert


@pytest.mark.parametrize(
    ("depth_in", "area_ft2"),
    [(1 / 16, 192), (1 / 8, 96), (3 / 16, 64), (1 / 4, 48), (1 / 2, 24)],
)
def test_area_of_a_cubic_foot(depth_in, area_ft2):
    """12 in over the depth: arithmetic."""
    assert covered_area_ft2(1.0, depth_in) == area_ft2


def test_area_of_a_cubic_yard_an_inch_thick():
    """27 ft³ · 12 = 324 ft²: arithmetic."""
    assert covered_area_ft2(27.0, 1.0) == pytest.approx(324, abs=1e-9)


def test_bags_for_a_thousand_square_feet():
    """1000 ft² at 1/8 in, 5 % waste, 0.45 ft³ a bag: 24.306, hence 25 bags; arithmetic."""
    mixed = mixed_volume_ft3(1000, 1 / 8, coats=1, fill_in=0, waste=0.05)
    bags = bags_before_rounding(mixed, 0.45)

    assert bags == pytest.approx(24.306, abs=5e-4)
    assert whole_bags(bags) == 25


@pytest.mark.parametrize("bags", [24.0, 24.0000004, 23.9999996, 3 * 8.000000000000002])
def test_exactly_24_bags_stay_24(bags):
    """Rounding to 6 places comes before rounding up: trade, materials."""
    assert whole_bags(bags) == 24


def test_a_millionth_of_a_bag_is_a_bag():
    assert whole_bags(24.000001) == 25


def test_coverage_of_a_gallon_at_one_mil():
    """1604 ft²/gal (0.2), read; 231 in³ at 0.001 in."""
    assert film_coverage_ft2_per_gal(1) == pytest.approx(1604, abs=0.2)


def test_coverage_by_solids():
    """65 % solids at 5 mil: 208.52 ft²/gal (0.03), read."""
    assert film_coverage_ft2_per_gal(5, 0.65) == pytest.approx(208.52, abs=0.03)


def test_coverage_by_solids_in_metric():
    """65 % solids at 125 µm: 5.2 m²/L, read, which is 0.65 / 125e-6 / 1000."""
    coverage = film_coverage_ft2_per_gal(125 / 25.4, 0.65)

    assert convert(coverage, "area/liquid", "us", "metric") == pytest.approx(5.2, abs=1e-9)


def test_wet_film_of_400_square_feet():
    """400 ft²/gal: 4.01 mil (0.01), read."""
    assert wet_film_mil(400) == pytest.approx(4.01, abs=0.01)


@pytest.mark.parametrize("film_mil", [1, 4, 12.5])
def test_wet_film_undoes_coverage(film_mil):
    assert wet_film_mil(film_coverage_ft2_per_gal(film_mil)) == pytest.approx(film_mil, rel=1e-12)
