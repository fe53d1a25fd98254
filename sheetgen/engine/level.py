"""The level beside a floor and the gap under a door, once the topping is on."""

from __future__ import annotations

from typing import Final

from sheetgen.engine.missing import MISSING, known, sixth

# A change of level up to the first stays as it is, up to the second it is bevelled; ADA 303.2 and 303.3.
FINE_IN: Final = 0.25
BEVEL_IN: Final = 0.5
# Run for one of rise; ADA 405.2, from memory.
RAMP_SLOPE: Final = 12.0

FINE: Final = 1.0
BEVEL: Final = 2.0
RAMP: Final = 3.0
TRIM: Final = 4.0


def level_result(change: float, fine: float = FINE_IN, bevel: float = BEVEL_IN) -> float:
    """Tell what a change of level asks for.

    Parameters
    ----------
    change : float
        Height of the change, perhaps missing, in one unit with the limits [in].
    fine, bevel : float
        Most that stays as it is, and most that is bevelled [in].

    Returns
    -------
    float
        Place in the list of results: fine, bevel or ramp [no].

    References
    ----------
    2010 ADA Standards for Accessible Design, 303.2 to 303.4.
    """
    if not known(change):
        return MISSING
    if sixth(change) <= sixth(fine):
        return FINE
    return BEVEL if sixth(change) <= sixth(bevel) else RAMP


def door_result(gap: float, wanted: float) -> float:
    """Tell whether a door still swings over the floor.

    Parameters
    ----------
    gap : float
        Gap that is left under the door, perhaps missing, in one unit with what is wanted [in].
    wanted : float
        Gap that must be left [in].

    Returns
    -------
    float
        Place in the list of results: fine or trim [no].
    """
    if not known(gap):
        return MISSING
    return FINE if sixth(gap) >= sixth(wanted) else TRIM


def ramp_length_ft(rise_in: float) -> float:
    """Compute how long a ramp is.

    Parameters
    ----------
    rise_in : float
        Height to be gained [in].

    Returns
    -------
    float
        Twelve times the rise [ft].

    References
    ----------
    2010 ADA Standards for Accessible Design, 405.2 (from memory).
    """
    return rise_in * RAMP_SLOPE / 12
