"""A limit that may be missing, compared as the sheet shows it."""

from __future__ import annotations

from typing import TYPE_CHECKING

from sheetgen.engine.blocks.table import flag
from sheetgen.engine.missing import MISSING, known, sixth

if TYPE_CHECKING:
    from sheetgen.engine.inputs import Display


def shown(x: float, unit: str, display: Display) -> float:
    """Return a number as the sheet shows it, rounded for a comparison.

    Parameters
    ----------
    x : float
        Number, perhaps missing [unit].
    unit : str
        Unit word.
    display : Display
        How the sheet shows it.

    Returns
    -------
    float
        To 6 places, in the display unit [unit].
    """
    return sixth(display(x, unit))


def rounded(x: float, unit: str, display: Display) -> float:
    """Round a number to 6 places of its display unit.

    Parameters
    ----------
    x : float
        Number, perhaps missing [unit].
    unit : str
        Unit word.
    display : Display
        How the sheet shows it.

    Returns
    -------
    float
        In the unit of the engine [unit].
    """
    return display.back(shown(x, unit, display), unit)


def below(x: float, least: float, unit: str, display: Display) -> float:
    """Tell whether a number is below its limit.

    Parameters
    ----------
    x : float
        Number, perhaps missing [unit].
    least : float
        Limit; a missing one does not limit [unit].
    unit : str
        Unit word of both.
    display : Display
        How the sheet shows both.

    Returns
    -------
    float
        1 where it is, else 0; missing where there is a limit but no number [count].
    """
    if not known(least):
        return 0.0
    return flag(holds=shown(x, unit, display) < shown(least, unit, display)) if known(x) else MISSING


def above(x: float, most: float, unit: str, display: Display) -> float:
    """Tell whether a number is above its limit.

    Parameters
    ----------
    x : float
        Number, perhaps missing [unit].
    most : float
        Limit; a missing one does not limit [unit].
    unit : str
        Unit word of both.
    display : Display
        How the sheet shows both.

    Returns
    -------
    float
        1 where it is, else 0; missing where there is a limit but no number [count].
    """
    if not known(most):
        return 0.0
    return flag(holds=shown(x, unit, display) > shown(most, unit, display)) if known(x) else MISSING
