"""Temperature and time: the exponent of ASTM C1074, and a common table of setting times."""

import math

import pytest

from sheetgen.engine.temperature import time_factor
from sheetgen.units import convert


def factor_c(temperature_c, reference_c, q):
    return time_factor(*(convert(one, "temperature", "metric", "us") for one in (temperature_c, reference_c)), q)


@pytest.mark.parametrize(
    ("temperature_c", "rate"),
    [(5, 0.399), (10, 0.548), (15, 0.744), (20, 1.0), (25, 1.331), (30, 1.755), (35, 2.294), (40, 2.972)],
)
def test_factors_of_equivalent_age(temperature_c, rate):
    """ASTM C1074, exp(-Q(1/Ta - 1/Ts)) at Ts 20 °C and Q 5000 K (0.002): arithmetic. A time is its inverse."""
    assert 1 / factor_c(temperature_c, 20, 5000) == pytest.approx(rate, abs=0.002)


# Common table of setting times [°F: h]; read, secondary.
SETTING_H = {100: 1 + 2 / 3, 90: 2 + 2 / 3, 80: 4, 70: 6, 60: 8}


@pytest.mark.parametrize(("temperature_f", "least_q", "most_q"), [(80, 6400, 7000), (90, 6400, 7000), (100, 6400, 7000), (60, 4400, 4550)])
def test_setting_times_imply_two_constants(temperature_f, least_q, most_q):
    """Q 6400 to 7000 K above 70 °F, about 4400 to 4550 K below: read; the ends are rounded to 50 K."""
    bounds = [6 * time_factor(temperature_f, 70, q) for q in (least_q - 50, most_q + 50)]

    assert min(bounds) <= SETTING_H[temperature_f] <= max(bounds)


@pytest.mark.parametrize("temperature_f", sorted(SETTING_H))
def test_starter_constants_reproduce_the_table(temperature_f):
    """6500 K above the reference and 4500 K below (trade, the pour): within 2 %, but for 100 °F where the table implies 7000 K."""
    q = 6500 if temperature_f > 70 else 4500

    assert 6 * time_factor(temperature_f, 70, q) == pytest.approx(SETTING_H[temperature_f], rel=0.11 if temperature_f == 100 else 0.02)


@pytest.mark.parametrize("temperature_f", [90, 100])
def test_one_constant_does_not(temperature_f):
    """Q = 5000 K misses the table above 80 °F, hence two: read."""
    assert 6 * time_factor(temperature_f, 70, 5000) > SETTING_H[temperature_f] * 1.1


def test_the_reference_changes_nothing():
    assert time_factor(70, 70, 6500) == 1


@pytest.mark.parametrize("wrong", [(-460, 70), (70, -460)])
def test_below_absolute_zero(wrong):
    with pytest.raises(ValueError, match="must be"):
        time_factor(*wrong, 5000)


def test_missing_passes():
    assert math.isnan(time_factor(math.nan, 70, 5000))
