"""Areas from widths measured at equal spacing."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from sheetgen.engine.ranges import OutOfRangeError, require_above_zero

if TYPE_CHECKING:
    from collections.abc import Sequence

WIDTHS_LEAST = 2
_SIMPSON_LEAST = 3
# Weights of widths at equal spacing: at an end, at an inner even and an inner odd place.
SIMPSON_END, SIMPSON_EVEN, SIMPSON_ODD = 1 / 3, 4 / 3, 2 / 3
TRAPEZOID_END, TRAPEZOID_INNER = 0.5, 1.0


def is_simpson(widths: float) -> bool:
    """Tell whether Simpson's rule holds for a number of widths.

    Parameters
    ----------
    widths : float
        How many there are, ends included [count].

    Returns
    -------
    bool
        Whether the number of intervals is even, and not 0.
    """
    return widths >= _SIMPSON_LEAST and widths % 2 == 1


def offset_weight(place: float, widths: float) -> float:
    """Weigh one of several widths at equal spacing.

    Parameters
    ----------
    place : float
        Which width, from 1 [count].
    widths : float
        How many there are, ends included [count].

    Returns
    -------
    float
        Share of the spacing that the width stands for [-].

    Raises
    ------
    OutOfRangeError
        The place is not among the widths.

    Notes
    -----
    Simpson's rule, ⅓ · (1 4 2 4 … 4 1), where the number of intervals is even, else trapezoids,
    ½ 1 1 … 1 ½.
    """
    if not 1 <= place <= widths:
        raise OutOfRangeError("place", place, f"from 1 to {widths}")
    at_an_end = place in {1, widths}
    if is_simpson(widths):
        if at_an_end:
            return SIMPSON_END
        return SIMPSON_EVEN if place % 2 == 0 else SIMPSON_ODD
    return TRAPEZOID_END if at_an_end else TRAPEZOID_INNER


def offsets_area_ft2(spacing_ft: float, widths_ft: Sequence[float]) -> float:
    """Compute an area from widths measured at equal spacing.

    Parameters
    ----------
    spacing_ft : float
        Distance from one width to the next, above 0 [ft].
    widths_ft : sequence of float
        Widths in order, ends included, two or more [ft].

    Returns
    -------
    float
        spacing · Σ weight · width [ft²].

    Raises
    ------
    OutOfRangeError
        The spacing is 0 or less, or there are fewer than two widths.
    """
    require_above_zero(spacing_ft=spacing_ft)
    count = len(widths_ft)
    if count < WIDTHS_LEAST:
        raise OutOfRangeError("widths_ft", count, "two or more")
    weights = (offset_weight(place, count) for place in range(1, count + 1))
    return spacing_ft * math.fsum(weight * width for weight, width in zip(weights, widths_ft, strict=True))
