"""Where one printed page ends and the next begins: a part is kept together, and its title never stands alone."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Final

from sheetgen.units import System

# Width and height of the paper [in].
_PAPER: Final[dict[System, tuple[float, float]]] = {"us": (8.5, 11.0), "metric": (8.27, 11.69)}
_POINTS_PER_INCH: Final = 72.0
# A column takes 7 pixels for each digit and 5 more, a point is 4/3 of a pixel [point].
_POINTS_PER_DIGIT: Final = 5.25
_POINTS_PER_COLUMN: Final = 3.75
# Programs differ a little in how much they put on a page; a part of more than half a page is cut where it must be.
_SURE: Final = 0.97
_MOST_KEPT: Final = 0.5
# With its title stay so many rows [count].
_HEAD: Final = 4


def breaks(
    system: System, widths: Sequence[float], heights: Mapping[int, float], parts: Sequence[Sequence[int]], margins: tuple[float, float]
) -> list[int]:
    """Return the rows before which a new page begins.

    Parameters
    ----------
    system : {'us', 'metric'}
        Whose paper.
    widths : sequence of float
        Widths of the columns that are printed, which are made to fit the page [digit].
    heights : mapping of int to float
        Height of each row from the first [point].
    parts : sequence of sequence of int
        Rows of each part, from top to bottom.
    margins : tuple of float
        At the sides, and above and below [in].

    Returns
    -------
    list of int
        Numbers of rows [0-based].
    """
    wide, high = _PAPER[system]
    needed = sum(width * _POINTS_PER_DIGIT + _POINTS_PER_COLUMN for width in widths)
    scale = min(1.0, (wide - 2 * margins[0]) * _POINTS_PER_INCH / needed)
    room = (high - 2 * margins[1]) * _POINTS_PER_INCH / scale * _SURE
    found: list[int] = []
    top = 0.0
    below = {}
    for row in sorted(heights):
        below[row] = top
        top += heights[row]
    start = 0.0
    for rows in parts:
        if not rows:
            continue
        end = below[rows[-1]] + heights[rows[-1]]
        if end - below[rows[0]] > room * _MOST_KEPT:
            kept = rows[min(_HEAD, len(rows)) - 1]
            end = below[kept] + heights[kept]
        if end - start > room:
            found.append(rows[0])
            start = below[rows[0]]
        # What is longer than the rest of its page goes on over further ones.
        while below[rows[-1]] + heights[rows[-1]] - start > room:
            start += room
    return found
