"""What a pour is made of: depth, batches, ribbons, strips, and the widest bay that keeps its edge wet."""

from __future__ import annotations

import math

from sheetgen import money
from sheetgen.engine.materials import covered_area_ft2
from sheetgen.engine.missing import MISSING, known, ratio, sixth, up
from sheetgen.engine.ranges import require_above_zero, require_not_negative


def coat_depth_in(thickness_in: float, fill_in: float, coat: float) -> float:
    """Compute how deep a coat is laid.

    Parameters
    ----------
    thickness_in : float
        Thickness of one coat [in].
    fill_in : float
        What profile and low spots take, as a depth [in].
    coat : float
        Which coat it is, from 1 [no].

    Returns
    -------
    float
        thickness + fill for the first coat, the thickness for each further one [in].

    Notes
    -----
    Trade, the pour: the slab is filled once.
    """
    return thickness_in + fill_in if coat == 1 else thickness_in


def batch_area_ft2(bags_each: float, yield_ft3_per_bag: float, depth_in: float) -> float:
    """Compute the area that a batch covers.

    Parameters
    ----------
    bags_each : float
        Bags in a batch [bag/batch].
    yield_ft3_per_bag : float
        Mixed volume that a bag gives [ft³/bag].
    depth_in : float
        Depth of the coat, above 0 [in].

    Returns
    -------
    float
        bags · yield / depth [ft²].

    Raises
    ------
    OutOfRangeError
        The depth is 0 or less.
    """
    return covered_area_ft2(bags_each * yield_ft3_per_bag, depth_in)


def whole_batches(area_ft2: float, waste: float, each_ft2: float) -> float:
    """Count the batches of a pour; the last, part batch counts as whole.

    Parameters
    ----------
    area_ft2 : float
        Area of the pour [ft²].
    waste : float
        Share of what is needed that is lost [-].
    each_ft2 : float
        Area that a batch covers, above 0 [ft²].

    Returns
    -------
    float
        up(area · (1 + waste) / area of a batch) [batch].

    Raises
    ------
    OutOfRangeError
        A batch covers nothing.
    """
    require_above_zero(each_ft2=each_ft2)
    return up(area_ft2 * (1 + waste) / each_ft2)


def square_side_ft(area_ft2: float) -> float:
    """Compute the side of a square bay, which stands for a bay that nobody has measured.

    Parameters
    ----------
    area_ft2 : float
        Area of the pour, 0 or more [ft²].

    Returns
    -------
    float
        √area [ft].

    Raises
    ------
    OutOfRangeError
        The area is below 0.
    """
    require_not_negative(area_ft2=area_ft2)
    return math.sqrt(area_ft2)


def ribbon_length_ft(each_ft2: float, width_ft: float) -> float:
    """Compute how long the ribbon of one batch is.

    Parameters
    ----------
    each_ft2 : float
        Area that a batch covers [ft²].
    width_ft : float
        Width that a ribbon is laid in, above 0 [ft].

    Returns
    -------
    float
        area / width [ft].

    Raises
    ------
    OutOfRangeError
        The width is 0 or less.
    """
    require_above_zero(width_ft=width_ft)
    return each_ft2 / width_ft


def whole_lengths(bay_ft: float, each_ft: float) -> float:
    """Count the ribbons side by side across a bay, or the strips one behind the other along it.

    Parameters
    ----------
    bay_ft : float
        Width or length of the bay [ft].
    each_ft : float
        Width or length of a ribbon, above 0 [ft].

    Returns
    -------
    float
        up(bay / ribbon) [count].

    Raises
    ------
    OutOfRangeError
        The ribbon is 0 or less.
    """
    require_above_zero(each_ft=each_ft)
    return up(bay_ft / each_ft)


def widest_bay_ft(width_ft: float, open_time_min: float, cycle_min: float) -> float:
    """Compute how wide a bay may be for the next strip to meet edges that are still open.

    Parameters
    ----------
    width_ft : float
        Width of a ribbon [ft].
    open_time_min : float
        How long an edge stays open, perhaps missing [min].
    cycle_min : float
        Minutes from one batch to the next [min].

    Returns
    -------
    float
        width · max(1, floor(open time / cycle)), missing where the open time is [ft].

    Notes
    -----
    Trade, the pour. It speaks of the mean pace: where several hands come in waves the wait at one edge may be longer,
    which the check of the ends finds batch by batch.
    """
    ribbons = ratio(open_time_min, sixth(cycle_min))
    return width_ft * max(1.0, money.down(ribbons)) if known(ribbons) else MISSING
