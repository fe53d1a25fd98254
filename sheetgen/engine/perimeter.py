"""Perimeters, where the sizes of a shape define one."""

from __future__ import annotations

import math

from sheetgen.engine.ranges import require_above_zero, require_not_negative


def rectangle_perimeter_ft(first_ft: float, second_ft: float) -> float:
    """Compute the perimeter of a rectangle.

    Parameters
    ----------
    first_ft, second_ft : float
        Sides, above 0 [ft].

    Returns
    -------
    float
        2 · (first + second) [ft].

    Raises
    ------
    OutOfRangeError
        A side is 0 or less.
    """
    require_above_zero(first_ft=first_ft, second_ft=second_ft)
    return 2 * (first_ft + second_ft)


def circle_perimeter_ft(diameter_ft: float) -> float:
    """Compute the circumference of a circle.

    Parameters
    ----------
    diameter_ft : float
        Diameter, above 0 [ft].

    Returns
    -------
    float
        π · diameter [ft].

    Raises
    ------
    OutOfRangeError
        The diameter is 0 or less.
    """
    require_above_zero(diameter_ft=diameter_ft)
    return math.pi * diameter_ft


def half_circle_perimeter_ft(diameter_ft: float) -> float:
    """Compute the perimeter of a half circle, its straight side included.

    Parameters
    ----------
    diameter_ft : float
        Diameter, above 0 [ft].

    Returns
    -------
    float
        (π/2 + 1) · diameter [ft].

    Raises
    ------
    OutOfRangeError
        The diameter is 0 or less.
    """
    require_above_zero(diameter_ft=diameter_ft)
    return (math.pi / 2 + 1) * diameter_ft


def quarter_circle_perimeter_ft(radius_ft: float) -> float:
    """Compute the perimeter of a quarter circle, its straight sides included.

    Parameters
    ----------
    radius_ft : float
        Radius, above 0 [ft].

    Returns
    -------
    float
        (π/2 + 2) · radius [ft].

    Raises
    ------
    OutOfRangeError
        The radius is 0 or less.
    """
    require_above_zero(radius_ft=radius_ft)
    return (math.pi / 2 + 2) * radius_ft


def ellipse_perimeter_ft(first_ft: float, second_ft: float) -> float:
    """Compute the perimeter of an ellipse, approximately.

    Parameters
    ----------
    first_ft, second_ft : float
        Full axes, above 0 [ft].

    Returns
    -------
    float
        π/2 · (3(a + b) - √((3a + b)(a + 3b))), a and b the full axes [ft].

    Raises
    ------
    OutOfRangeError
        An axis is 0 or less.

    Notes
    -----
    Exact for a circle; for an ellipse five times as long as wide it is short by less than 0.1 %.

    References
    ----------
    S. Ramanujan, Modular equations and approximations to π, Quarterly Journal of Mathematics 45
    (1914), the first of two approximations.
    """
    require_above_zero(first_ft=first_ft, second_ft=second_ft)
    root = math.sqrt((3 * first_ft + second_ft) * (first_ft + 3 * second_ft))
    return math.pi / 2 * (3 * (first_ft + second_ft) - root)


def ring_perimeter_ft(outer_ft: float, inner_ft: float) -> float:
    """Compute the two edges of a ring together.

    Parameters
    ----------
    outer_ft : float
        Outer diameter, above 0 [ft].
    inner_ft : float
        Inner diameter, 0 or more [ft].

    Returns
    -------
    float
        π · (outer + inner) [ft].

    Raises
    ------
    OutOfRangeError
        A diameter is out of range.
    """
    require_above_zero(outer_ft=outer_ft)
    require_not_negative(inner_ft=inner_ft)
    return math.pi * (outer_ft + inner_ft)


def three_sides_perimeter_ft(first_ft: float, second_ft: float, third_ft: float) -> float:
    """Compute the perimeter of a triangle from its three sides.

    Parameters
    ----------
    first_ft, second_ft, third_ft : float
        Sides, above 0 [ft].

    Returns
    -------
    float
        first + second + third [ft].

    Raises
    ------
    OutOfRangeError
        A side is 0 or less.
    """
    require_above_zero(first_ft=first_ft, second_ft=second_ft, third_ft=third_ft)
    return first_ft + second_ft + third_ft
