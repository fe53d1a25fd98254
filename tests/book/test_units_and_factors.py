"""Units: pint agrees with every conversion; typed lengths; symbols."""

from __future__ import annotations

import re

import pint
import pytest
from hypothesis import given
from hypothesis import strategies as st
from minibook import Mini, block, factors

from sheetgen import units
from sheetgen.book.compile import shipped
from sheetgen.book.measure import Factors, Measure, of_unit
from sheetgen.book.style import number_format

WORDS = st.sampled_from([word for word in units.WORDS if word not in {"temperature", "temperature_step"}])
REGISTRY = pint.UnitRegistry(on_redefinition="ignore")
for opaque in ("money", "bag", "batch", "package", "pack", "basis", "reading", "hundredth"):
    REGISTRY.define(f"{opaque} = [{opaque}]")
# Moisture vapour emission as ASTM F1869 states it, and as micrograms from a square metre in a second.
REGISTRY.define("mver_us = 1e-3 * pound / foot**2 / (24 * hour)")
REGISTRY.define("mver_metric = 1e-6 * gram / meter**2 / second")


@given(st.floats(-1e6, 1e6), WORDS, WORDS, st.sampled_from(["*", "/"]))
def test_us_to_metric_agrees_with_pint(value: float, one: str, two: str, mark: str) -> None:
    expression = f"{one}{mark}{two}"
    us, metric = (f"({units.WORDS[one][n]}){mark}({units.WORDS[two][n]})" for n in (0, 1))

    expected = REGISTRY.Quantity(value, us).to(metric).magnitude

    assert units.convert(value, expression, "us", "metric") == pytest.approx(expected, rel=1e-12, abs=1e-12)


@given(st.floats(-1e6, 1e6), st.sampled_from(sorted(units.WORDS)))
def test_there_and_back(value: float, word: str) -> None:
    there = units.convert(value, word, "us", "metric")

    assert units.convert(there, word, "metric", "us") == pytest.approx(value, rel=1e-9, abs=1e-9)


@pytest.mark.parametrize(
    ("value", "word", "metric"),
    [(32.0, "temperature", 0.0), (-40.0, "temperature", -40.0), (18.0, "temperature_step", 10.0), (1.0, "depth", 25.4), (1.0, "inch", 1.0), (1.0, "area", 0.09290304), (1.0, "volume", 28.316846592), (1.0, "liquid", 3.785411784), (5.0, "text", 5.0), (1.0, "mass", 0.45359237), (1.0, "pressure", 0.006894757293168361), (1.0, "water", 0.946352946), (1.0, "mver", 56.50957912480383)],
)
def test_exact_conversions(value: float, word: str, metric: float) -> None:
    """Exact by definition: 1 in = 25.4 mm, 1 gal = 231 in³, 1 lb = 0.45359237 kg, 1 psi = 1 lbf/in² (NIST SP 811, appendix B); the rest by arithmetic."""
    assert units.convert(value, word, "us", "metric") == pytest.approx(metric, rel=1e-12, abs=1e-12)


@pytest.mark.parametrize("kind", ["bid"])
def test_shipped_factors_are_what_they_say(kind: str) -> None:
    records = shipped(kind).blocks["factors"].records

    assert Factors(shipped(kind).blocks["factors"]).wrong() == []
    assert all(record["source"] for record in records)
    for record in records:
        assert float(record["value"]) == pytest.approx(REGISTRY.Quantity(1.0, record["bottom"]).to(record["top"]).magnitude, rel=1e-12)


@given(st.floats(1.0001, 1000.0), st.integers(1, 3), st.booleans())
def test_a_factor_is_found_with_its_power_and_side(scale: float, power: int, divide: bool) -> None:
    """What the compiler puts in is what pint would multiply by: 144 = 12², one inch is a twelfth of a foot."""
    source, target = (f"{word}{'*' + word if power > 1 else ''}{'*' + word if power > 2 else ''}" for word in ("length", "inch"))
    if divide:
        source, target = target, source

    found = Factors(shipped("bid").blocks["factors"]).between(of_unit(source, "us"), of_unit(target, "us"))

    assert found is not None
    assert (found.code, found.divide, found.power) == ("in_per_ft", divide, power)
    factor = 12.0 ** (-power if divide else power)
    by_pint = REGISTRY.Quantity(scale, units.pint_text(source, "us")).to(units.pint_text(target, "us")).magnitude
    assert scale * factor == pytest.approx(by_pint, rel=1e-12)


def test_a_factor_of_other_units_is_not_taken(mini: Mini) -> None:
    """60 is also seconds in a minute: the number alone does not make the factor."""
    found = Factors(shipped("bid").blocks["factors"])
    second, minute = (Measure("unit", units.registry().Unit(word)) for word in ("second", "minute"))

    with pytest.raises(LookupError):
        found.between(minute, second)


@pytest.mark.parametrize("system", ["us", "metric"])
@pytest.mark.parametrize("kind", ["bid", "cost", "rates"])
def test_every_unit_of_the_templates_has_symbol_and_format(kind: str, system: str) -> None:
    for _, field in shipped(kind).fields():
        symbol = units.symbol(field.unit, system)
        assert number_format(field.unit, field.name) not in {"", "General"}
        if field.unit not in units.PLAIN:
            units.unit(field.unit, system)
            assert symbol or units.registry().Quantity(1, units.unit(field.unit, system)).dimensionless


@pytest.mark.parametrize("unit", ["area//hour", "area**", "area/", "hour hour"])
def test_a_unit_that_pint_cannot_read_is_a_finding(mini: Mini, unit: str) -> None:
    mini.sums(block("x", "fields", "a: number")).text("02-sums.toml", f'title = "Sums"\nabout = "A."\ntype = "inputs"\n[[block]]\nname = "x"\nkind = "fields"\n[[block.field]]\nname = "a"\nkind = "input"\nmessage = "M."\nunit = "{unit}"\n')

    assert mini.codes() == ["template-unit"]


@pytest.mark.parametrize("word", ["EA", "MH", "SF", "ft", "furlong"])
def test_only_words_of_the_table_are_units(word: str) -> None:
    with pytest.raises(units.UnknownUnitError, match=word):
        units.unit(word, "us")


def test_symbols() -> None:
    assert [units.symbol(expression, "us") for expression in ("area/hour", "money/bag", "share", "text", "area*depth")] == ["ft²/h", "$/bag", "%", "", "ft²·in"]
    assert units.symbol("area/hour", "metric") == "m²/h"


def test_a_factor_of_an_unknown_unit_is_a_finding(mini: Mini) -> None:
    mini.sums(block("x", "fields", "a: length"), lists=factors(("q", 1.0, "no_unit", "inch")))

    assert "factor-wrong" in mini.codes()


@pytest.mark.parametrize(
    ("text", "feet", "inches"),
    [
        ("12' 6 1/2\"", 12.0, 6.5), ("12'6\"", 12.0, 6.0), ("12'-6\"", 12.0, 6.0), ("12' - 6\"", 12.0, 6.0), ("12 ft", 12.0, None),
        ("12 ft 6 in", 12.0, 6.0), ("6 in", None, 6.0), ("6''", None, 6.0), ('1/2"', None, 0.5), (".5 in", None, 0.5),
        ("5.5 ft", 5.5, None), ("2 feet 3 inches", 2.0, 3.0), ("1 foot 1 inch", 1.0, 1.0), ("  7 ' ", 7.0, None),
        ("12' 1/2\"", 12.0, 0.5), ("3 1/2 ft", 3.5, None), ("0' 0\"", 0.0, 0.0), ("6 1 / 2 in", None, 6.5),
    ],
)  # fmt: skip
def test_typed_lengths(text: str, feet: float | None, inches: float | None) -> None:
    assert units.typed_length(text) == (feet, inches)


@pytest.mark.parametrize("text", ["", " ", "12", "'", '"', "six feet", "12 m", "6 1/0 in", "1e3 ft", "12' 6", "6\" 12'", "12'' 6'", "1.2.3 ft", "12' 6\" 3", "=12 ft", "1/2/3 in"])
def test_what_is_not_a_length(text: str) -> None:
    with pytest.raises(ValueError, match=re.escape("is not a length") + "|divides by zero"):
        units.typed_length(text)


@pytest.mark.parametrize("text", ["-6 in", '- 6"', "-12 ft"])
def test_a_minus_is_never_dropped(text: str) -> None:
    with pytest.raises(ValueError, match="not a length"):
        units.typed_length(text)


@given(st.integers(0, 500), st.integers(0, 11), st.sampled_from([(0, 1), (1, 2), (1, 4), (3, 8), (15, 16)]))
def test_feet_inches_and_a_fraction(feet: int, inches: int, fraction: tuple[int, int]) -> None:
    upper, lower = fraction
    tail = f" {upper}/{lower}" if upper else ""

    assert units.typed_length(f"{feet}' {inches}{tail}\"") == (feet, inches + upper / lower)


SCALES = block("scales", "list", 'word: text; kind = "note"', 'value: number; kind = "constant"', record=[{"code": "fahrenheit", "word": "f", "value": 32.0}, {"code": "kelvin", "word": "k", "value": 273.15}])
STEPS = factors(("f_per_c", 1.8, "delta_degF", "delta_degC"), ("h_per_day", 24.0, "hour", "day"))


@pytest.mark.parametrize("value", [-40.0, 0.0, 32.0, 68.4, 212.0])
@pytest.mark.parametrize(("system", "shown"), [("us", "degF"), ("metric", "degC")])
def test_a_temperature_on_another_scale_agrees_with_pint(mini: Mini, system: str, shown: str, value: float) -> None:
    """°F, °C and K are read on each other's scales in formulas, with 32 °F and 273.15 K at 0 °C (NIST SP 811, appendix B)."""
    mini.sums(
        block("x", "fields", "t: temperature", 'f: number = number(t, "degF")', 'c_: number = number(t, "degC")', 'k: number = number(t, "kelvin")',
              'back: temperature = quantity(c_, "degC")', "rounded: temperature = round6(t)"),
        SCALES, lists=STEPS,
    )  # fmt: skip
    book = mini.recalculated({"x.t": value}, system)

    for name, unit in (("f", "degF"), ("c_", "degC"), ("k", "kelvin")):
        assert book.value(f"x.{name}") == pytest.approx(REGISTRY.Quantity(value, shown).to(unit).magnitude, rel=1e-12, abs=1e-9)
    assert book.value("x.back") == pytest.approx(value, rel=1e-12, abs=1e-9)
    assert book.value("x.rounded") == value


def test_a_wrong_scale_is_refused(mini: Mini) -> None:
    mini.sums(block("x", "fields", "a: temperature"), SCALES.replace("32.0", "30.0"), lists=STEPS)

    assert mini.codes() == ["scale-wrong"]


@pytest.mark.parametrize("word", ["money", "bag", "batch", "package", "pack", "basis", "reading", "percent"])
def test_an_opaque_word_is_no_plain_number(word: str) -> None:
    assert not of_unit(word, "us").plain
    assert of_unit(word, "us") != of_unit("share", "us")
