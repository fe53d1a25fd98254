"""Heat index: NWS chart and bands, read."""

import pytest

from sheetgen.engine.heat import HEAT_BANDS_F, heat_index_f, heat_no, regression_f


@pytest.mark.parametrize(("air_f", "percent", "feels_f"), [(90, 70, 106), (100, 40, 109), (86, 90, 105)])
def test_chart(air_f, percent, feels_f):
    """NWS heat index chart, read; printed to the degree (±1)."""
    assert heat_index_f(air_f, percent) == pytest.approx(feels_f, abs=1)


def test_bands():
    """NWS: caution from 80 °F, extreme caution from 90, danger from 105, extreme danger from 130; read."""
    assert HEAT_BANDS_F == (80, 90, 105, 130)
    assert [heat_no(at) for at in (79.9, 80, 89.9, 90, 104.9, 105, 129.9, 130)] == [1, 2, 2, 3, 3, 4, 4, 5]


def test_dry_air_takes_away():
    """NWS Weather Prediction Center, "The Heat Index Equation" (read): at 95 °F and 9 % the adjustment is (13 - 9)/4·1 = 1."""
    dry, bound = heat_index_f(95, 9), regression_f(95, 9)

    assert bound - dry == pytest.approx(1.0, abs=1e-12)


def test_moist_air_adds():
    """The same page: at 82 °F and 95 % the adjustment is (95 - 85)/10 · (87 - 82)/5 = 1."""
    assert heat_index_f(82, 95) - regression_f(82, 95) == pytest.approx(1.0, abs=1e-12)


def test_both_adjustments_vanish_at_their_bounds():
    """At 13 %, at 85 %, at 112 °F and at 87 °F nothing jumps; arithmetic."""
    assert heat_index_f(100, 13) == regression_f(100, 13)
    assert heat_index_f(84, 85) == regression_f(84, 85)
    assert heat_index_f(112, 8) == pytest.approx(regression_f(112, 8), abs=1e-12)
    assert heat_index_f(87, 95) == pytest.approx(regression_f(87, 95), abs=1e-12)


def test_a_mild_day_feels_as_it_is():
    """The simple form averaged with the temperature: 70 °F and 50 % is (0.5·(70 + 61 + 2.4 + 4.7) + 70)/2 = 69.525; arithmetic."""
    assert heat_index_f(70, 50) == pytest.approx(69.525, abs=1e-9)
