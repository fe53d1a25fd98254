"""Units: the one pint registry, the unit words of the templates, US and metric, and typed lengths."""

from __future__ import annotations

import functools
import re
from typing import Any, Final, Literal

System = Literal["us", "metric"]
SYSTEMS: Final[tuple[System, ...]] = ("us", "metric")

# unit word: (US unit, metric unit), as pint knows them. The engine computes in the US column.
WORDS: Final[dict[str, tuple[str, str]]] = {
    "length": ("foot", "meter"),
    "inch": ("inch", "inch"),
    "depth": ("inch", "millimeter"),
    "area": ("foot**2", "meter**2"),
    "volume": ("foot**3", "liter"),
    "liquid": ("gallon", "liter"),
    "distance": ("mile", "kilometer"),
    "water": ("quart", "liter"),
    "mass": ("pound", "kilogram"),
    "gram": ("gram", "gram"),
    "pressure": ("psi", "megapascal"),
    "mver": ("mver_us", "mver_metric"),
    "temperature": ("degF", "degC"),
    "temperature_step": ("delta_degF", "delta_degC"),
    "speed": ("mile/hour", "kilometer/hour"),
    "day": ("day", "day"),
    "hour": ("hour", "hour"),
    "minute": ("minute", "minute"),
    "second": ("second", "second"),
    "kelvin": ("kelvin", "kelvin"),
    "money": ("money", "money"),
    "bag": ("bag", "bag"),
    "batch": ("batch", "batch"),
    "package": ("package", "package"),
    "pack": ("pack", "pack"),
    "basis": ("basis", "basis"),
    "reading": ("reading", "reading"),
    "percent": ("hundredth", "hundredth"),
    "share": ("dimensionless", "dimensionless"),
    "number": ("dimensionless", "dimensionless"),
    "count": ("dimensionless", "dimensionless"),
}
# Kinds of value that carry no dimension and take part in no sum.
PLAIN: Final = frozenset({"text", "code", "no", "date", "clock"})
_OPAQUE: Final = ("money", "bag", "batch", "package", "pack", "basis", "reading", "hundredth")
# Moisture vapour emission: pounds from 1000 square feet in 24 hours, or micrograms from a square metre in a second.
_DEFINED: Final = ("mver_us = pound / (1000 * foot**2 * day)", "mver_metric = microgram / (meter**2 * second)")
_SYMBOLS: Final[dict[str, str]] = {
    "foot": "ft",
    "foot**2": "ft²",
    "foot**3": "ft³",
    "inch": "in",
    "meter": "m",
    "meter**2": "m²",
    "millimeter": "mm",
    "liter": "L",
    "gallon": "gal",
    "mile": "mi",
    "kilometer": "km",
    "quart": "qt",
    "pound": "lb",
    "kilogram": "kg",
    "gram": "g",
    "psi": "psi",
    "megapascal": "MPa",
    "mver_us": "lb/1000 ft²/24 h",
    "mver_metric": "µg/s/m²",
    "hour": "h",
    "minute": "min",
    "second": "s",
    "kelvin": "K",
    "day": "day",
    "money": "$",
    "bag": "bag",
    "batch": "batch",
    "package": "pkg",
    "pack": "unit",
    "basis": "basis",
    "reading": "reading",
    "hundredth": "%",
    "degF": "°F",
    "degC": "°C",
    "delta_degF": "°F",
    "delta_degC": "°C",
    "mile/hour": "mph",
    "kilometer/hour": "km/h",
    "dimensionless": "",
}


@functools.cache
def registry() -> Any:
    """Return the one pint registry, made when first needed (pint is slow to import)."""
    import pint

    # pint knows a bag of cement as a mass; here a bag is what the maker fills.
    made: Any = pint.UnitRegistry(on_redefinition="ignore")
    for word in _OPAQUE:
        made.define(f"{word} = [{word}]")
    for line in _DEFINED:
        made.define(line)
    return made


class UnknownUnitError(ValueError):
    """Raised for a unit expression that holds a word outside the closed table, or is not words joined by * and /."""

    def __init__(self, expression: str, word: str) -> None:
        self.expression = expression
        self.word = word
        super().__init__(f"unknown unit word '{word}' in '{expression}'")


_EXPRESSION = re.compile(r"^\s*[A-Za-z_]+(?:\s*[*/]\s*[A-Za-z_]+)*\s*$")


def pint_text(expression: str, system: System) -> str:
    """Return the pint unit text of a unit expression such as ``area/hour``.

    Parameters
    ----------
    expression : str
        Unit words joined by ``*`` and ``/``.
    system : {'us', 'metric'}
        Whose display units.

    Returns
    -------
    str
        Text that pint parses.

    Raises
    ------
    UnknownUnitError
        A word is not in the closed table, or the expression is not words joined by ``*`` and ``/``.
    """
    column = SYSTEMS.index(system)
    if not _EXPRESSION.match(expression):
        raise UnknownUnitError(expression, expression)

    def unit(match: re.Match[str]) -> str:
        word = match.group(0)
        if word not in WORDS:
            raise UnknownUnitError(expression, word)
        return f"({WORDS[word][column]})"

    return re.sub(r"[A-Za-z_]+", unit, expression)


@functools.cache
def unit(expression: str, system: System) -> Any:
    """Return the pint unit of a unit expression in one system of units."""
    return registry().Unit(pint_text(expression, system))


@functools.cache
def symbol(expression: str, system: System) -> str:
    """Return what a sheet shows for a unit expression, such as ``ft²/gal``."""
    if expression in PLAIN:
        return ""
    if expression == "share":
        return "%"
    column = SYSTEMS.index(system)
    parts = re.split(r"([*/])", expression)
    shown = []
    for part in parts:
        word = part.strip()
        if word in {"*", "/"}:
            shown.append("·" if word == "*" else "/")
        elif word in WORDS:
            shown.append(_SYMBOLS[WORDS[word][column]])
        else:
            raise UnknownUnitError(expression, word)
    return "".join(shown).strip()


@functools.cache
def linear(expression: str, source: System, target: System) -> tuple[float, float]:
    """Return (factor, offset) such that target = factor · source + offset.

    Parameters
    ----------
    expression : str
        Unit expression.
    source, target : {'us', 'metric'}
        From which display unit to which.

    Returns
    -------
    factor, offset : float
        Factor [target unit per source unit] and offset [target unit].
    """
    if source == target or expression in PLAIN:
        return 1.0, 0.0
    quantity = registry().Quantity
    origin, goal = unit(expression, source), unit(expression, target)
    zero = float(quantity(0.0, origin).to(goal).magnitude)
    one = float(quantity(1.0, origin).to(goal).magnitude)
    return one - zero, zero


def convert(value: float, expression: str, source: System, target: System) -> float:
    """Convert one number between the display units of the two systems.

    Parameters
    ----------
    value : float
        Number in the unit of the source system [unit of the expression].
    expression : str
        Unit expression.
    source, target : {'us', 'metric'}
        From which display unit to which.

    Returns
    -------
    float
        Number in the unit of the target system [unit of the expression].
    """
    factor, offset = linear(expression, source, target)
    return value * factor + offset


def fits(expression: str, other: str) -> bool:
    """Return whether two unit expressions measure the same kind of thing, so that one can be turned into the other."""
    return bool(unit(expression, "us").dimensionality == unit(other, "us").dimensionality)


def between(value: float, source: str, target: str, system: System) -> float:
    """Turn a number in one unit expression into another one that fits, within one system.

    Parameters
    ----------
    value : float
        The number [unit of the source].
    source, target : str
        Unit expressions.
    system : {'us', 'metric'}
        Whose display units.

    Returns
    -------
    float
        The number [unit of the target].
    """
    return float(registry().Quantity(value, unit(source, system)).to(unit(target, system)).magnitude)


_NUMBER = r"(?:\d+(?:\.\d+)?(?:\s+\d+\s*/\s*\d+)?|\d+\s*/\s*\d+|\.\d+)"
_TYPED = re.compile(
    rf"^\s*(?:(?P<feet>{_NUMBER})\s*(?:'|ft\b|feet\b|foot\b)\s*(?:-\s*(?=[\d.]))?)?"  # 12'-6": the dash joins
    rf"(?:(?P<inches>{_NUMBER})\s*(?:\"|''|in\b|inch(?:es)?\b))?\s*$"
)


def _plain_number(text: str) -> float:
    total = 0.0
    for part in re.sub(r"\s*/\s*", "/", text).split():
        upper, _, lower = part.partition("/")
        if lower and float(lower) == 0:
            message = f"'{text}' divides by zero"
            raise ValueError(message)
        total += float(upper) / float(lower) if lower else float(upper)
    return total


def typed_length(text: str) -> tuple[float | None, float | None]:
    """Read a length as people type it: ``12' 6 1/2"``, ``12 ft``, ``6 in``.

    Parameters
    ----------
    text : str
        Feet and inches.

    Returns
    -------
    feet : float or None
        Feet [ft], None where none were typed.
    inches : float or None
        Inches [in], None where none were typed.

    Raises
    ------
    ValueError
        The text is not a length.
    """
    found = _TYPED.match(text)
    if not found or not (found["feet"] or found["inches"]):
        message = f"'{text}' is not a length; type it like 12' 6 1/2\""
        raise ValueError(message)
    feet = _plain_number(found["feet"]) if found["feet"] else None
    inches = _plain_number(found["inches"]) if found["inches"] else None
    return feet, inches
