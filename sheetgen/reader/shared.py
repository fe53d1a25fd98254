"""Shared formulas: one cell writes the formula, the others only say how far away they stand."""

from __future__ import annotations

import functools
import re
from typing import Final

MAX_ROW: Final = 1_048_576
MAX_COLUMN: Final = 16_384
# A cell, a whole row or a whole column, as one corner of a range; $ holds it in place.
_CORNER: Final = re.compile(r"(\$?)([A-Za-z]{1,3})(\$?)(\d{1,7})\Z")
_COLUMN: Final = re.compile(r"(\$?)([A-Za-z]{1,3})\Z")
_ROW: Final = re.compile(r"(\$?)(\d{1,7})\Z")

# Text that stays, or a corner: (column or None, held, row or None, held).
Piece = str | tuple[int | None, bool, int | None, bool]


@functools.cache
def column_letters(column: int) -> str:
    """Return the letters of a column: 1 is A, 16384 is XFD."""
    letters = ""
    while column:
        column, rest = divmod(column - 1, 26)
        letters = chr(65 + rest) + letters
    return letters


COLUMNS: Final = {column_letters(number): number for number in range(1, MAX_COLUMN + 1)}


class SharedFormula:
    """A formula taken apart once, to be written again for each cell that shares it.

    Parameters
    ----------
    text : str
        Formula without the equals sign, as the first cell has it.
    row, column : int
        Where the first cell stands [count].
    """

    def __init__(self, text: str, row: int, column: int) -> None:
        self.text = text
        self._row = row
        self._column = column
        self._pieces: list[Piece] | None = None

    def at(self, row: int, column: int) -> str:
        """Return the formula as the cell at this row and column has it; empty if unreadable."""
        if self._pieces is None:
            self._pieces = _take_apart(self.text)
        down, right = row - self._row, column - self._column
        return "".join(piece if isinstance(piece, str) else _moved(piece, down, right) for piece in self._pieces)


def _take_apart(text: str) -> list[Piece]:
    from openpyxl.formula.tokenizer import Token, Tokenizer, TokenizerError

    pieces: list[Piece] = []
    try:
        tokens = Tokenizer("=" + text).items
    except (TokenizerError, IndexError, ValueError):
        return []
    for token in tokens:
        if token.type == Token.OPERAND and token.subtype == Token.RANGE:
            pieces.extend(_range_pieces(token.value))
        elif token.type == Token.FUNC and ":" in token.value:
            before, _, function = token.value.rpartition(":")  # A1:INDEX( is one token
            pieces.extend([*_range_pieces(before + ":"), function])
        else:
            pieces.append(token.value)
    return pieces


def _range_pieces(operand: str) -> list[Piece]:
    sheet, mark, address = operand.rpartition("!")
    corners = address.split(":")
    parsed = [_corner(corner, alone=len(corners) == 1) if corner else "" for corner in corners]
    if len(corners) > 2 or None in parsed:
        return [operand]  # a name, a table, or an error value
    pieces: list[Piece] = [sheet + mark] if mark else []
    for index, corner in enumerate(parsed):
        if index:
            pieces.append(":")
        if corner is not None:
            pieces.append(corner)
    return pieces


def _corner(text: str, *, alone: bool) -> Piece | None:
    cell = _CORNER.match(text)
    if cell:
        return _checked(COLUMNS.get(cell[2].upper()), bool(cell[1]), int(cell[4]), bool(cell[3]))
    if alone:
        return None
    if column := _COLUMN.match(text):
        return _checked(COLUMNS.get(column[2].upper()), bool(column[1]), None, held_row=False)
    if row := _ROW.match(text):
        return _checked(None, False, int(row[2]), bool(row[1]))  # noqa: FBT003 - no column to hold
    return None


def _checked(
    column: int | None,
    held_column: bool,  # noqa: FBT001
    row: int | None,
    held_row: bool,  # noqa: FBT001
) -> Piece | None:
    if column is not None and not 1 <= column <= MAX_COLUMN:
        return None
    if row is not None and not 1 <= row <= MAX_ROW:
        return None
    return column, held_column, row, held_row


def _moved(corner: tuple[int | None, bool, int | None, bool], down: int, right: int) -> str:
    column, held_column, row, held_row = corner
    text = ""
    if column is not None:
        moved = column if held_column else (column + right - 1) % MAX_COLUMN + 1
        text = ("$" if held_column else "") + column_letters(moved)
    if row is not None:
        moved = row if held_row else (row + down - 1) % MAX_ROW + 1
        text += ("$" if held_row else "") + str(moved)
    return text
