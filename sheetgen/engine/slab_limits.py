"""The limits that a slab is held to: the data sheet's, or a default where it is silent."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING, Final

import attrs

from sheetgen.engine.lists import LIMIT_SOURCES
from sheetgen.engine.missing import MISSING, known

if TYPE_CHECKING:
    from collections.abc import Sequence

_NUMBERS = {code: float(number) for number, code in enumerate(LIMIT_SOURCES, start=1)}
DATA_SHEET: Final = _NUMBERS["data_sheet"]
DEFAULT: Final = _NUMBERS["default"]
NO_LIMIT: Final = _NUMBERS["no_limit"]
NOT_STATED: Final = _NUMBERS["not_stated"]
RULE: Final = _NUMBERS["rule"]


@attrs.frozen(kw_only=True)
class Limit:
    """The sides of a limit and what holds where the data sheet is silent.

    Parameters
    ----------
    unit : str
        Unit word.
    least, most : bool
        Whether there is such a side.
    default_least, default_most : float
        Default, perhaps missing [unit, US].
    """

    unit: str
    least: bool = False
    most: bool = False
    default_least: float = MISSING
    default_most: float = MISSING


LIMITS: Final[dict[str, Limit]] = {
    # ASTM F710-03.
    "humidity": Limit(unit="percent", most=True, default_most=75),
    "mver": Limit(unit="mver", most=True, default_most=3),
    "ph": Limit(unit="number", least=True, most=True, default_least=7, default_most=10),
    # ASTM C1583, from memory.
    "strength": Limit(unit="pressure", least=True, default_least=200),
    # ASTM F3191: slower than a minute is dense, and is profiled.
    "absorption": Limit(unit="second", most=True, default_most=60),
    "profile": Limit(unit="number", least=True, most=True),
    # Common practice, no source.
    "age": Limit(unit="day", least=True, default_least=28),
    "temperature": Limit(unit="temperature", least=True, most=True, default_least=50, default_most=90),
}

# Profile (CSP) that a grade wants, from memory of ICRI 310.2R and contractors' pages: the data sheet decides.
GRADE_PROFILES: Final[dict[str, tuple[float, float]]] = {
    "squeegee": (2, 4),
    "trowel": (2, 4),
    "semi_self_levelling": (3, 5),
    "self_levelling": (4, 6),
    "vertical": (2, 4),
}


def limit_used(typed: float | None, default: float) -> float:
    """Return the limit that holds on one side.

    Parameters
    ----------
    typed : float or None
        As on the data sheet; infinite for "no limit", None where it is silent [unit].
    default : float
        What holds where it is silent, perhaps missing [unit].

    Returns
    -------
    float
        Limit, missing where there is none [unit].
    """
    if typed is None:
        return default
    return MISSING if math.isinf(typed) else typed


def source_no(sides: Sequence[tuple[float | None, float]]) -> float:
    """Tell where a limit comes from.

    Parameters
    ----------
    sides : sequence of (float or None, float)
        As typed and the default, for each side that the limit has.

    Returns
    -------
    float
        Place in the list of sources [no].
    """
    if all(typed is not None and math.isinf(typed) for typed, _ in sides):
        return NO_LIMIT
    if any(typed is None and known(default) for typed, default in sides):
        return DEFAULT
    if not any(known(limit_used(typed, default)) for typed, default in sides):
        return NOT_STATED
    return DATA_SHEET
