"""Units against NIST SP 811 (2008), appendix B, and NIST Handbook 44, appendix C, both read."""

import pytest

from sheetgen.units import convert, linear, registry


@pytest.mark.parametrize(
    ("expression", "metric"),
    [
        pytest.param("length", 0.3048, id="foot in metres, exact"),
        pytest.param("inch", 1.0, id="inch stays an inch"),
        pytest.param("depth", 25.4, id="inch in millimetres, exact"),
        pytest.param("mass", 0.45359237, id="pound in kilograms, exact"),
        pytest.param("liquid", 3.785411784, id="US gallon of 231 cubic inches in litres, exact"),
        pytest.param("volume", 28.316846592, id="cubic foot in litres, exact"),
        pytest.param("area", 1 / 10.763910416709722, id="square foot in square metres, arithmetic"),
        pytest.param("distance", 1.609344, id="mile of 5280 ft in kilometres, exact"),
    ],
)
def test_us_unit_in_metric(expression, metric):
    factor, offset = linear(expression, "us", "metric")

    # The factors are exact; what remains is the rounding of one division.
    assert factor == pytest.approx(metric, rel=1e-14)
    assert offset == 0


def test_cubic_foot_in_gallons():
    """NIST Handbook 44, appendix C: 1 ft³ = 7.480 519 480 519 gal, read."""
    gallons = registry().Quantity(1.0, "foot**3").to("gallon").magnitude

    assert gallons == pytest.approx(7.480519480519, abs=1e-9)


def test_pound_per_square_foot():
    """4.882427636383 kg/m², arithmetic from the exact foot and pound."""
    assert convert(1.0, "mass/area", "us", "metric") == pytest.approx(4.882427636383, abs=1e-12)


def test_psi_in_pascal():
    """NIST SP 811, appendix B: 6894.757 293 Pa, read; its last digit shown is 1e-6."""
    pascal = registry().Quantity(1.0, "pound_force/inch**2").to("pascal").magnitude

    assert pascal == pytest.approx(6894.757293, abs=1e-5)


def test_moisture_vapour_emission_rate():
    """1 lb/1000 ft²/24 h = 56.5096 µg/(s·m²), arithmetic."""
    rate = registry().Quantity(1.0 / 1000 / 24, "pound/foot**2/hour")

    assert rate.to("microgram/second/meter**2").magnitude == pytest.approx(56.5096, abs=1e-3)


def test_temperature_difference_has_no_offset():
    """A difference of 5 °F is 2.778 °C, never -15 °C: NIST SP 811, read."""
    assert convert(5.0, "temperature_step", "us", "metric") == pytest.approx(2.778, abs=5e-4)
    assert convert(5.0, "temperature", "us", "metric") == pytest.approx(-15.0, abs=1e-9)
