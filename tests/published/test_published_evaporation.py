"""Evaporation from a fresh surface.

P. J. Uno, ACI Materials Journal 95-M34 (1998), from Menzel and ACI 305R: both forms read. The books use the US
form, converted.
"""

import pytest

from sheetgen.engine import climate
from sheetgen.engine.climate import evaporation_lb_per_ft2_h, evaporation_signed_lb_per_ft2_h
from sheetgen.units import convert


def test_a_hot_windy_day():
    """87 °F concrete, 80 °F air, 50 %, 12 mph: 0.24 lb/ft²/h (0.005); result read, inputs from memory."""
    assert evaporation_lb_per_ft2_h(87, 80, 50, 12) == pytest.approx(0.24, abs=0.005)


@pytest.mark.parametrize(
    ("wind_mph", "rate"),
    [(0, 0.015), (5, 0.038), (10, 0.062), (15, 0.085), (20, 0.110), (25, 0.135)],
)
def test_table_at_70(wind_mph, rate):
    """ACI 305R, table at 70 °F, 70 °F and 70 %: from memory (0.003, the last digit and the chart's width)."""
    assert evaporation_lb_per_ft2_h(70, 70, 70, wind_mph) == pytest.approx(rate, abs=0.003)


@pytest.mark.parametrize(("wind_mph", "rate"), [(0, 0.070), (10, 0.336), (25, 0.740)])
def test_table_at_90(wind_mph, rate):
    """ACI 305R, table at 90 °F, 90 °F and 10 %: from memory (4 %)."""
    assert evaporation_lb_per_ft2_h(90, 90, 10, wind_mph) == pytest.approx(rate, rel=0.04)


def uno_si(concrete_c, air_c, share, wind_kmh):
    """Uno's SI form as printed [kg/m²/h]; read."""
    return 5 * ((concrete_c + 18) ** 2.5 - share * (air_c + 18) ** 2.5) * (wind_kmh + 4) * 1e-6


@pytest.mark.parametrize("concrete_c", [15, 25, 35])
@pytest.mark.parametrize("air_c", [10, 20, 30])
@pytest.mark.parametrize("percent", [20, 50])
@pytest.mark.parametrize("wind_kmh", [0, 10, 40])
def test_against_the_si_form(concrete_c, air_c, percent, wind_kmh):
    """The SI form lies 4 to 5 % below the US form, for it rounds 32/1.8 to 18 and the factors: 6 %."""
    us = evaporation_lb_per_ft2_h(
        convert(concrete_c, "temperature", "metric", "us"),
        convert(air_c, "temperature", "metric", "us"),
        percent,
        convert(wind_kmh, "speed", "metric", "us"),
    )

    assert convert(us, "mass/area/hour", "us", "metric") == pytest.approx(
        max(0, uno_si(concrete_c, air_c, percent / 100, wind_kmh)), rel=0.06, abs=0.002
    )


def test_nothing_leaves_saturated_air():
    """Equal temperatures at 100 %: 0; arithmetic."""
    assert evaporation_lb_per_ft2_h(75, 75, 100, 10) == 0


def test_condensing():
    """60 °F concrete in air of 80 °F and 90 %: below 0 before it is cut, hence 0 and "condensing"; arithmetic."""
    signed = evaporation_signed_lb_per_ft2_h(60, 80, 90, 5)

    assert signed < 0
    assert evaporation_lb_per_ft2_h(60, 80, 90, 5) == 0
    assert climate.evaporation_no(0.0, 0.1, 0.2, condensing=signed < 0) == climate.CONDENSING


def test_alarm():
    """0.2 lb/ft²/h, that is 0.976 kg/m²/h: read. 0.1 for thin polymer mixes: from memory."""
    assert climate.ALARM_LB_PER_FT2_H == 0.2
    assert convert(0.2, "mass/area/hour", "us", "metric") == pytest.approx(0.976, abs=0.0006)
    alarms = climate.THIN_ALARM_LB_PER_FT2_H, climate.ALARM_LB_PER_FT2_H
    states = [climate.evaporation_no(rate, *alarms, condensing=False) for rate in (0.099, 0.1, 0.199, 0.2)]

    assert states == [climate.LOW, climate.HIGH_FOR_THIN, climate.HIGH_FOR_THIN, climate.HIGH]


def test_how_far_the_real_rate_may_be():
    """±40 %: Hover 2020, read."""
    assert climate.REAL_SHARES == (0.6, 1.4)


@pytest.mark.parametrize("wrong", [(200, 80, 50, 5), (80, 10, 50, 5), (80, 80, 101, 5), (80, 80, 50, -1), (80, 80, 50, 61)])
def test_out_of_range(wrong):
    with pytest.raises(ValueError, match="must be"):
        evaporation_lb_per_ft2_h(*wrong)
