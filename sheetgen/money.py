"""The one rounding rule for money, and the one rule for rounding up."""

from __future__ import annotations

import math
from decimal import ROUND_HALF_UP, Decimal

_SIXTH = Decimal("0.000001")
_CENT = Decimal("0.01")


def sixth(x: float) -> Decimal:
    """Round to 6 places, half up, so that float noise cannot tip what follows.

    Parameters
    ----------
    x : float
        Any finite number [-].

    Returns
    -------
    Decimal
        x to 6 places [-].
    """
    return Decimal(repr(float(x))).quantize(_SIXTH, ROUND_HALF_UP)


def cents(amount: float) -> float:
    """Round an amount to cents: half up to 6 places, then half up to 2.

    Parameters
    ----------
    amount : float
        Amount [money].

    Returns
    -------
    float
        Amount to the cent [money].
    """
    return float(sixth(amount).quantize(_CENT, ROUND_HALF_UP))


def up(x: float) -> float:
    """Round up to a whole number after rounding to 6 places: exactly 24.0 stays 24.

    Parameters
    ----------
    x : float
        How many are needed [count].

    Returns
    -------
    float
        Whole number, not less than x to 6 places [count].
    """
    return float(math.ceil(sixth(x)))


def down(x: float) -> float:
    """Round down to a whole number after rounding to 6 places.

    Parameters
    ----------
    x : float
        A number [count].

    Returns
    -------
    float
        Whole number, not more than x to 6 places [count].
    """
    return float(math.floor(sixth(x)))
