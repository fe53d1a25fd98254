"""Areas of the shapes that a takeoff knows."""

from __future__ import annotations

import math

from sheetgen.engine.missing import sixth
from sheetgen.engine.ranges import OutOfRangeError, require_above_zero, require_not_negative

# The sixth place of a metre: what a sheet in metres takes for noise.
_NOISE_FT = 1e-6 / 0.3048


def rectangle_area_ft2(first_ft: float, second_ft: float) -> float:
    """Compute the area of a rectangle.

    Parameters
    ----------
    first_ft, second_ft : float
        Sides, above 0 [ft].

    Returns
    -------
    float
        first · second [ft²].

    Raises
    ------
    OutOfRangeError
        A side is 0 or less.

    Notes
    -----
    Mensuration of plane figures, as are the shapes below; trade, takeoff.
    """
    require_above_zero(first_ft=first_ft, second_ft=second_ft)
    return first_ft * second_ft


def triangle_area_ft2(base_ft: float, height_ft: float) -> float:
    """Compute the area of a triangle from base and height.

    Parameters
    ----------
    base_ft, height_ft : float
        Base, and height square to it, above 0 [ft].

    Returns
    -------
    float
        ½ · base · height [ft²].

    Raises
    ------
    OutOfRangeError
        A size is 0 or less.
    """
    require_above_zero(base_ft=base_ft, height_ft=height_ft)
    return base_ft * height_ft / 2


def trapezoid_area_ft2(first_ft: float, second_ft: float, height_ft: float) -> float:
    """Compute the area of a trapezoid.

    Parameters
    ----------
    first_ft, second_ft : float
        The two parallel sides, above 0 [ft].
    height_ft : float
        Distance between them, above 0 [ft].

    Returns
    -------
    float
        ½ · (first + second) · height [ft²].

    Raises
    ------
    OutOfRangeError
        A size is 0 or less.
    """
    require_above_zero(first_ft=first_ft, second_ft=second_ft, height_ft=height_ft)
    return (first_ft + second_ft) / 2 * height_ft


def circle_area_ft2(diameter_ft: float) -> float:
    """Compute the area of a circle.

    Parameters
    ----------
    diameter_ft : float
        Diameter, above 0 [ft].

    Returns
    -------
    float
        π/4 · diameter² [ft²].

    Raises
    ------
    OutOfRangeError
        The diameter is 0 or less.
    """
    require_above_zero(diameter_ft=diameter_ft)
    return math.pi / 4 * diameter_ft**2


def half_circle_area_ft2(diameter_ft: float) -> float:
    """Compute the area of a half circle.

    Parameters
    ----------
    diameter_ft : float
        Diameter, the straight side, above 0 [ft].

    Returns
    -------
    float
        π/8 · diameter² [ft²].

    Raises
    ------
    OutOfRangeError
        The diameter is 0 or less.
    """
    return circle_area_ft2(diameter_ft) / 2


def quarter_circle_area_ft2(radius_ft: float) -> float:
    """Compute the area of a quarter circle.

    Parameters
    ----------
    radius_ft : float
        Radius, either straight side, above 0 [ft].

    Returns
    -------
    float
        π/4 · radius² [ft²].

    Raises
    ------
    OutOfRangeError
        The radius is 0 or less.
    """
    require_above_zero(radius_ft=radius_ft)
    return math.pi / 4 * radius_ft**2


def ellipse_area_ft2(first_ft: float, second_ft: float) -> float:
    """Compute the area of an ellipse.

    Parameters
    ----------
    first_ft, second_ft : float
        Full axes, above 0 [ft].

    Returns
    -------
    float
        π/4 · first · second [ft²].

    Raises
    ------
    OutOfRangeError
        An axis is 0 or less.
    """
    require_above_zero(first_ft=first_ft, second_ft=second_ft)
    return math.pi / 4 * first_ft * second_ft


def ring_area_ft2(outer_ft: float, inner_ft: float) -> float:
    """Compute the area between two circles with one centre.

    Parameters
    ----------
    outer_ft : float
        Outer diameter, above 0 [ft].
    inner_ft : float
        Inner diameter, 0 or more [ft].

    Returns
    -------
    float
        π/4 · (outer + inner) · (outer - inner) [ft²].

    Raises
    ------
    OutOfRangeError
        A diameter is out of range, or the inner is the larger by more than noise.
    """
    require_above_zero(outer_ft=outer_ft)
    require_not_negative(inner_ft=inner_ft)
    if inner_ft - outer_ft > _NOISE_FT:
        raise OutOfRangeError("inner_ft", inner_ft, f"at most {outer_ft}")
    return math.pi / 4 * (outer_ft + inner_ft) * (outer_ft - inner_ft)


def ring_closes(outer: float, inner: float) -> bool:
    """Tell whether two diameters make a ring.

    Parameters
    ----------
    outer, inner : float
        Diameters in one unit [ft].

    Returns
    -------
    bool
        Whether the inner is no larger, to 6 places.
    """
    return sixth(inner - outer) <= 0


def steps_area_ft2(width_ft: float, tread_ft: float, riser_ft: float) -> float:
    """Compute the area to be covered on one step.

    Parameters
    ----------
    width_ft, tread_ft : float
        Width of the flight and depth of a tread, above 0 [ft].
    riser_ft : float
        Height of a riser, 0 or more [ft].

    Returns
    -------
    float
        width · (tread + riser) [ft²].

    Raises
    ------
    OutOfRangeError
        A size is out of range.
    """
    require_above_zero(width_ft=width_ft, tread_ft=tread_ft)
    require_not_negative(riser_ft=riser_ft)
    return width_ft * (tread_ft + riser_ft)


def three_sides_close(first: float, second: float, third: float) -> bool:
    """Tell whether three lengths can be the sides of a triangle with an area.

    Parameters
    ----------
    first, second, third : float
        Sides in one unit [ft].

    Returns
    -------
    bool
        Whether every two sides together are longer than the third, to 6 places.
    """
    least = min(first + second - third, second + third - first, third + first - second)
    return sixth(least) > 0


def three_sides_area_ft2(first_ft: float, second_ft: float, third_ft: float) -> float:
    """Compute the area of a triangle from its three sides.

    Parameters
    ----------
    first_ft, second_ft, third_ft : float
        Sides, above 0 [ft].

    Returns
    -------
    float
        √(s(s - first)(s - second)(s - third)), s half the sum of the sides [ft²].

    Raises
    ------
    OutOfRangeError
        A side is 0 or less, or two sides are no longer than the third.

    Notes
    -----
    Heron's formula. A triangle that cannot close is an error, not an area of 0.
    """
    require_above_zero(first_ft=first_ft, second_ft=second_ft, third_ft=third_ft)
    if not three_sides_close(first_ft, second_ft, third_ft):
        longest = max(first_ft, second_ft, third_ft)
        raise OutOfRangeError("longest side", longest, "shorter than the other two together")
    half = (first_ft + second_ft + third_ft) / 2
    return math.sqrt(half * (half - first_ft) * (half - second_ft) * (half - third_ft))
