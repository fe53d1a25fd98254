"""The one rounding rule for money, and the one rule for rounding up."""

from __future__ import annotations

from decimal import ROUND_DOWN, ROUND_HALF_UP, ROUND_UP, Decimal

_SIXTH = Decimal("0.000001")
_CENT = Decimal("0.01")


def sixth(x: float) -> Decimal:
    """Round to 6 places, half away from zero as the spreadsheet's ROUND, so that float noise cannot tip what follows.

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
    """Round an amount to cents: to 6 places, then to 2, halves away from zero both times.

    Parameters
    ----------
    amount : float
        Amount [money].

    Returns
    -------
    float
        Amount to the cent [money].
    """
    return float(sixth(amount).quantize(_CENT, ROUND_HALF_UP)) + 0.0  # no minus zero


def up(x: float) -> float:
    """Round up to a whole number after rounding to 6 places: exactly 24.0 stays 24.

    The same as the spreadsheet's ``ROUNDUP(ROUND(x,6),0)``: away from zero, so -0.5 becomes -1. The trade never rounds a
    negative number up; the rule is here so that both witnesses have one.

    Parameters
    ----------
    x : float
        How many are needed [count].

    Returns
    -------
    float
        Whole number, not nearer to zero than x to 6 places [count].
    """
    return float(sixth(x).to_integral_value(ROUND_UP)) + 0.0


def down(x: float) -> float:
    """Round down to a whole number after rounding to 6 places.

    The same as the spreadsheet's ``ROUNDDOWN(ROUND(x,6),0)``: towards zero, so -0.5 becomes 0.

    Parameters
    ----------
    x : float
        A number [count].

    Returns
    -------
    float
        Whole number, not farther from zero than x to 6 places [count].
    """
    return float(sixth(x).to_integral_value(ROUND_DOWN)) + 0.0
