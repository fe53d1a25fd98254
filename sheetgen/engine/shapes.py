"""The shapes that sizes alone give: area = factor · one · other, each side a sum of the sizes."""

from __future__ import annotations

import math
from typing import Final

import attrs

Sizes = tuple[float, float, float]
_NONE: Final = (0.0, 0.0, 0.0)
SIDES, OFFSETS, TYPED = 2.0, 3.0, 4.0


@attrs.frozen
class Shape:
    """How a shape is measured.

    Parameters
    ----------
    used : str
        Sizes that it needs, of ``abc``.
    factor : float
        What one · other is multiplied by [-].
    one, other : tuple of float
        Coefficients of the three sizes in the two sides [-].
    along : tuple of float
        Coefficients of the three sizes in its perimeter, all 0 where they do not give one [-].
    zero : str
        Sizes that may be 0.
    way : float
        1 by sizes, 2 by three sides, 3 by offsets, 4 typed [no].
    """

    used: str
    factor: float = 0.0
    one: Sizes = _NONE
    other: Sizes = _NONE
    along: Sizes = _NONE
    zero: str = ""
    way: float = 1.0


_PI = math.pi
# Trade, takeoff: the table of shapes.
SHAPES: Final[dict[str, Shape]] = {
    "rectangle": Shape("ab", 1.0, (1, 0, 0), (0, 1, 0), (2, 2, 0)),
    "triangle": Shape("ab", 0.5, (1, 0, 0), (0, 1, 0)),
    "trapezoid": Shape("abc", 0.5, (1, 1, 0), (0, 0, 1)),
    "circle": Shape("a", _PI / 4, (1, 0, 0), (1, 0, 0), (_PI, 0, 0)),
    "half_circle": Shape("a", _PI / 8, (1, 0, 0), (1, 0, 0), (_PI / 2 + 1, 0, 0)),
    "quarter_circle": Shape("a", _PI / 4, (1, 0, 0), (1, 0, 0), (_PI / 2 + 2, 0, 0)),
    "ellipse": Shape("ab", _PI / 4, (1, 0, 0), (0, 1, 0), (_PI / 2, 0, 0)),
    "ring": Shape("ab", _PI / 4, (1, 1, 0), (1, -1, 0), (_PI, _PI, 0), zero="b"),
    "steps": Shape("abc", 1.0, (1, 0, 0), (0, 1, 1), zero="c"),
    "three_sides": Shape("abc", along=(1, 1, 1), way=SIDES),
    "offsets": Shape("a", way=OFFSETS),
    "typed": Shape("", way=TYPED),
}


def weighed(coefficients: Sizes, sizes: Sizes) -> float:
    """Add up sizes times their coefficients.

    Parameters
    ----------
    coefficients : tuple of float
        One for each size [-].
    sizes : tuple of float
        The three sizes, 0 where there is none [ft].

    Returns
    -------
    float
        Σ coefficient · size [ft].
    """
    first, second, third = coefficients
    a, b, c = sizes
    return first * a + second * b + third * c
