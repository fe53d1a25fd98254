"""Missing is never zero: numbers that may be missing, and rounding that lets them pass.

Inside the engine a missing number is NaN, because it passes through every sum by itself. At the edge,
in `Job` and in `Values`, it is None.
"""

from __future__ import annotations

import math
from typing import Final

from sheetgen import money

MISSING: Final = math.nan
# From here on a float has no cents left to round, and Decimal no room for six places.
_NO_PLACES_LEFT: Final = 1e15


def value(x: float | None) -> float:
    """Return a number as typed, missing where it is blank.

    Parameters
    ----------
    x : float or None
        What was typed [-].

    Returns
    -------
    float
        x, or missing [-].
    """
    return MISSING if x is None else x


def given(x: float | None, blank: float) -> float:
    """Return a number as typed, or what a blank stands for.

    Parameters
    ----------
    x : float or None
        What was typed [-].
    blank : float
        What a blank stands for [-].

    Returns
    -------
    float
        x, or what a blank stands for [-].
    """
    return blank if x is None else x


def known(x: float) -> bool:
    """Tell whether a number is there.

    Parameters
    ----------
    x : float
        Number, perhaps missing [-].

    Returns
    -------
    bool
        False where it is missing.
    """
    return not math.isnan(x)


def ratio(upper: float, lower: float) -> float:
    """Divide; what is divided by nothing is missing.

    Parameters
    ----------
    upper, lower : float
        Numbers, perhaps missing [-].

    Returns
    -------
    float
        upper / lower, missing where lower is 0 [-].
    """
    return MISSING if lower == 0 else upper / lower


def above_zero(x: float) -> float:
    """Keep a number above 0; anything else is missing, because nothing can be divided by it.

    Parameters
    ----------
    x : float
        Number, perhaps missing [-].

    Returns
    -------
    float
        x where it is above 0, else missing [-].
    """
    return x if x > 0 else MISSING


def larger(x: float, y: float) -> float:
    """Return the larger of two numbers, missing where either is.

    Parameters
    ----------
    x, y : float
        Numbers, perhaps missing [-].

    Returns
    -------
    float
        The larger [-].
    """
    return max(x, y) if known(x) and known(y) else MISSING


def smaller(x: float, y: float) -> float:
    """Return the smaller of two numbers, missing where either is.

    Parameters
    ----------
    x, y : float
        Numbers, perhaps missing [-].

    Returns
    -------
    float
        The smaller [-].
    """
    return min(x, y) if known(x) and known(y) else MISSING


def sixth(x: float) -> float:
    """Round to 6 places, half up, so that float noise cannot tip a comparison.

    Parameters
    ----------
    x : float
        Number, perhaps missing [-].

    Returns
    -------
    float
        x to 6 places [-].
    """
    return float(money.sixth(x)) if abs(x) < _NO_PLACES_LEFT else x


def cents(amount: float) -> float:
    """Round an amount to cents by the rule of `money.cents`; missing stays missing.

    Parameters
    ----------
    amount : float
        Amount, perhaps missing [money].

    Returns
    -------
    float
        Amount to the cent [money].
    """
    return money.cents(amount) if abs(amount) < _NO_PLACES_LEFT else amount


def up(x: float) -> float:
    """Round up to a whole number by the rule of `money.up`; missing stays missing.

    Parameters
    ----------
    x : float
        How many are needed, perhaps missing [count].

    Returns
    -------
    float
        Whole number [count].
    """
    return money.up(x) if abs(x) < _NO_PLACES_LEFT else x
