"""The firm at the head of a page: its name large, the rest in quiet lines under it, its picture at the right edge."""

from __future__ import annotations

import io
import textwrap
from collections.abc import Mapping
from typing import Any, Final

from sheetgen.book.plan import UNIT
from sheetgen.picture import Picture

# Sizes of the name, the first at which it takes one line; and of the lines under it [point].
_SIZES: Final = (20, 18, 16, 14)
_QUIET_SIZE: Final = 10
# Widths count digits of 11 points; bold letters are about as wide [point, digit per letter].
_DIGIT_SIZE, _BOLD_LETTER, _LETTER = 11, 1.05, 0.95
_LEADING: Final = 1.35
# The most that a picture takes where the sheet has no free columns beside the block, and its height [pixel].
_PICTURE_PIXELS, _LEAST_HIGH, _MOST_HIGH = 260, 60, 96
# A picture stays so much above the line under the block [point].
_CLEAR: Final = 3.0
_PIXELS_PER_DIGIT, _PADDING, _POINTS = 7, 5, 0.75


def size_of(text: str, room: float, *, name: bool) -> int:
    """Return the size of a line [point].

    Parameters
    ----------
    text : str
        What it says.
    room : float
        Width that it may take [digit of 11 points].
    name : bool
        Whether it is the name of the firm.
    """
    if not name:
        return _QUIET_SIZE
    return next((size for size in _SIZES if len(text) <= _letters(size, room)), _SIZES[-1])


def height(text: str, size: int, room: float) -> float:
    """Return the height of a row whose text has a size [point], broken into lines where it must be."""
    return max(1, len(textwrap.wrap(text, _letters(size, room)))) * size * _LEADING


def _letters(size: int, room: float) -> int:
    """Return how many letters of a size [point] stand in one line."""
    letter = _LETTER if size == _QUIET_SIZE else _BOLD_LETTER
    return int(room * _DIGIT_SIZE / size / letter)


def put_picture(worksheet: Any, picture: Picture, row: int, high: float, widths: Mapping[int, float], words: Mapping[str, str]) -> None:
    """Put the firm's picture beside a block, its right edge on that of the page.

    Parameters
    ----------
    worksheet : xlsxwriter.worksheet.Worksheet
        The sheet.
    picture : Picture
        The picture.
    row : int
        First row of the block.
    high : float
        Height of the block [point].
    widths : mapping of int to float
        Widths of the columns that are printed [digit of 11 points].
    words : mapping of str to str
        Words of the book.
    """
    pixels = [int(widths[column] * _PIXELS_PER_DIGIT + _PADDING) for column in sorted(widths)]
    free = sum(pixels[UNIT:]) or _PICTURE_PIXELS
    scale = min(min((high - _CLEAR) / _POINTS, _MOST_HIGH) / picture.height, min(free, _PICTURE_PIXELS) / picture.width)
    left = max(0, sum(pixels) - int(picture.width * scale)) if pixels[UNIT:] else sum(pixels)
    column = 0
    while column < len(pixels) and left >= pixels[column]:
        left -= pixels[column]
        column += 1
    look = {
        "image_data": io.BytesIO(picture.data), "x_scale": scale, "y_scale": scale, "x_offset": left,
        "description": words["picture"], "object_position": 2,
    }  # fmt: skip
    worksheet.insert_image(row, column, f"picture.{picture.kind}", look)


def high(lines: float) -> float:
    """Return the height that a block of lines takes where it has a picture beside it [point]."""
    return max(lines, _LEAST_HIGH * _POINTS)
