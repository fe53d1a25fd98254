"""Dew point, and how far a surface must stay above it."""

import psychrolib
import pytest

from sheetgen.engine import climate
from sheetgen.engine.climate import dew_point_f
from sheetgen.units import convert


def dew_point_c(air_c, percent):
    return convert(dew_point_f(convert(air_c, "temperature", "metric", "us"), percent), "temperature", "us", "metric")


@pytest.mark.parametrize(
    ("air_c", "percent", "dew_c", "within"),
    [
        pytest.param(20, 52.5224541378, 10.0, 0.06, id="read"),
        pytest.param(20, 100, 20.0, 0.06, id="saturated air, read"),
        pytest.param(5, 21.9244774, -15, 0.06, id="below freezing, read"),
        pytest.param(25, 60, 16.70, 0.02, id="arithmetic 25"),
        pytest.param(20, 50, 9.26, 0.02, id="arithmetic 20"),
        pytest.param(30, 70, 23.93, 0.02, id="arithmetic 30"),
    ],
)
def test_dew_point(air_c, percent, dew_c, within):
    """Alduchov and Eskridge (1996), 17.625 and 243.04 °C, read."""
    assert dew_point_c(air_c, percent) == pytest.approx(dew_c, abs=within)


def test_saturation_pressures():
    """ASHRAE Fundamentals 2017, ch. 1, table 3: 872.6 Pa at 5 °C, 12351.3 Pa at 50 °C (0.3 %), read.

    Air of 50 °C that holds as much vapour as saturated air of 5 °C has its dew point there. Near 5 °C the
    pressure grows 6.9 % for each °C: two values good to 0.3 % each place the dew point within 0.09 °C.
    """
    assert dew_point_c(50, 100 * 872.6 / 12351.3) == pytest.approx(5.0, abs=0.09)


def test_against_psychrolib():
    """psychrolib, ASHRAE's formulas, over a grid. Below freezing it takes frost for dew: left out.

    Both fits are good to about 0.3 % in pressure, 0.05 °C; 0.15 °C leaves room for the ends of the range.
    """
    psychrolib.SetUnitSystem(psychrolib.SI)
    grid = [(air_c, percent) for air_c in range(0, 51, 5) for percent in range(10, 101, 10)]
    expected = {(air_c, percent): psychrolib.GetTDewPointFromRelHum(air_c, percent / 100) for air_c, percent in grid}
    unfrozen = {at: dew_c for at, dew_c in expected.items() if dew_c >= 0}

    assert len(unfrozen) == 82
    assert {at: dew_point_c(*at) for at in unfrozen} == pytest.approx(unfrozen, abs=0.15)


@pytest.mark.parametrize("air_c", [5, 10, 15, 20, 25])
@pytest.mark.parametrize("percent", [51, 60, 75, 90, 100])
def test_rule_of_thumb(air_c, percent):
    """Td ≈ T - (100 - RH)/5 within 1.1 °C at 5 to 25 °C and above 50 %: Lawrence 2005, read."""
    assert dew_point_c(air_c, percent) == pytest.approx(air_c - (100 - percent) / 5, abs=1.1)


@pytest.mark.parametrize(("surface_c", "state"), [(13.0, climate.FINE), (12.9, climate.CLOSE)])
def test_three_degrees_above(surface_c, state):
    """ISO 8502-4, ASTM D3276: at least 3 °C (5.4 °F) above a dew point of 10 °C; read."""
    assert climate.dew_no(surface_c - 10.0, 3.0) == state
    assert climate.dew_no(convert(surface_c - 10.0, "temperature_step", "metric", "us"), 5.4) == state


@pytest.mark.parametrize("wrong", [(19, 50), (131, 50), (70, 0), (70, 101)])
def test_out_of_range(wrong):
    with pytest.raises(ValueError, match="must be"):
        dew_point_f(*wrong)
