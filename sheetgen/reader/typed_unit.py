"""A unit as people type it behind a number: the sheet's own symbol, another spelling of it, or another unit."""

from __future__ import annotations

from typing import Final

# By the symbol that a sheet shows: how else people write it; small letters, without spaces and dots.
_SPELLINGS: Final[dict[str, tuple[str, ...]]] = {
    "ft": ("'", "foot", "feet"),
    "in": ('"', "''", "inch", "inches"),
    "ft²": ("ft2", "sqft", "sf", "squarefeet", "sqfeet"),
    "ft³": ("ft3", "cuft", "cf", "cubicfeet"),
    "yd": ("yard", "yards"),
    "gal": ("gallon", "gallons", "gals"),
    "qt": ("quart", "quarts", "qts"),
    "lb": ("lbs", "pound", "pounds", "#"),
    "mi": ("mile", "miles"),
    "mph": ("mi/h", "milesperhour"),
    "m": ("metre", "metres", "meter", "meters"),
    "cm": ("centimetre", "centimetres", "centimeter", "centimeters"),
    "mm": ("millimetre", "millimetres", "millimeter", "millimeters"),
    "m²": ("m2", "sqm", "qm", "squaremetres", "squaremeters"),
    "m³": ("m3", "cbm"),
    "L": ("l", "litre", "litres", "liter", "liters", "ltr"),
    "kg": ("kilo", "kilos", "kgs", "kilogram", "kilograms"),
    "g": ("gram", "grams"),
    "km": ("kilometre", "kilometres", "kilometer", "kilometers"),
    "km/h": ("kmh", "kph"),
    "°F": ("f", "degf", "deg", "°", "fahrenheit"),
    "°C": ("c", "degc", "deg", "°", "celsius"),
    "h": ("hr", "hrs", "hour", "hours"),
    "min": ("mins", "minute", "minutes"),
    "s": ("sec", "secs", "second", "seconds"),
    "day": ("d", "days"),
    "bag": ("bags",),
    "batch": ("batches",),
    "pkg": ("pkgs", "package", "packages", "pack", "packs"),
    "$": ("usd", "dollar", "dollars"),
    "%": ("percent", "pct"),
}
# Units of one kind, by how much of the first each is.
_KINDS: Final[tuple[dict[str, float], ...]] = (
    {"m": 1.0, "cm": 0.01, "mm": 0.001, "ft": 0.3048, "in": 0.0254, "yd": 0.9144},
    {"m²": 1.0, "ft²": 0.3048**2},
    {"m³": 1.0, "L": 0.001, "ft³": 0.3048**3, "gal": 231 * 0.0254**3, "qt": 231 * 0.0254**3 / 4},
    {"kg": 1.0, "g": 0.001, "lb": 0.45359237},
    {"km": 1.0, "mi": 1.609344},
    {"h": 1.0, "min": 1 / 60, "s": 1 / 3600, "day": 24.0},
)


def _folded(text: str) -> str:
    return text.casefold().replace(" ", "").replace(".", "").replace("²", "2").replace("³", "3")


# Every way of writing a symbol.
_FORMS: Final = {
    _folded(symbol): frozenset(map(_folded, (symbol, *spellings))) for symbol, spellings in _SPELLINGS.items()
}


def same_unit(typed: str, symbol: str) -> bool:
    """Return whether a typed unit is the one that the sheet shows.

    Parameters
    ----------
    typed : str
        What stands behind the number.
    symbol : str
        The unit of the cell; behind an amount of money, what it is per.
    """
    if not symbol:
        return False
    folded = _folded(symbol)
    return _folded(typed) in {folded, folded.removeprefix("/"), *_FORMS.get(folded, ())}


def offered(value: float, typed: str, symbol: str) -> float | None:
    """Return what to type in the unit of the sheet for a number in another one; None where that is not known.

    Parameters
    ----------
    value : float
        The number as it was typed [the unit typed].
    typed : str
        The unit typed behind it.
    symbol : str
        The unit of the cell.
    """
    for kind in _KINDS:
        here = [factor for unit, factor in kind.items() if _folded(unit) == _folded(symbol)]
        there = [factor for unit, factor in kind.items() if _folded(typed) in _FORMS[_folded(unit)]]
        if here and there:
            return value * there[0] / here[0]
    return None
