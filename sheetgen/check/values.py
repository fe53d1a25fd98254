"""What a cell can hold, and when two cells of different origin hold the same."""

from __future__ import annotations

import math
from typing import Any, Final

RELATIVE: Final = 1e-9
ABSOLUTE: Final = 1e-9

Value = float | str | bool | None


class CellError(str):
    """An error value such as ``#DIV/0!``: text, and yet never equal to text that somebody typed."""

    __slots__ = ()


def plain(value: Any) -> Value:
    """Return a value as plain Python: NumPy's scalars unwrapped, whole numbers as floats, "" as nothing.

    Parameters
    ----------
    value : float, int, str, bool, NumPy scalar or None
        What an engine, a file or a calculation gives [unit of the cell].

    Raises
    ------
    TypeError
        It is of another kind.
    """
    if type(value) is float or value is None:
        return value
    if isinstance(value, str):
        return value or None
    if isinstance(value, bool):
        return value
    if isinstance(value, int | float):
        return float(value)
    unwrapped = value.item() if hasattr(value, "item") else value
    if unwrapped is value or not isinstance(unwrapped, int | float | bool | str):
        message = f"{value!r} is not something that a cell can hold"
        raise TypeError(message)
    return plain(unwrapped)


def agree(first: Value, second: Value) -> bool:
    """Return whether two plain values are the same.

    Parameters
    ----------
    first, second : float, str, bool or None
        As :func:`plain` returns them [unit of the cell].

    Returns
    -------
    bool
        Numbers agree where their difference is at most 1e-9 of the larger plus 1e-9; text and truth only where they
        are the same; nothing agrees with nothing alone, never with 0; an error value and what is not finite agree
        with nothing.

    Notes
    -----
    One program writes 16 digits and another 15, so that numbers are never the same to the last bit.
    """
    if type(first) is float and type(second) is float:
        if first == second:
            return math.isfinite(first)
        return abs(first - second) <= RELATIVE * max(abs(first), abs(second)) + ABSOLUTE and math.isfinite(
            first - second
        )
    if type(first) is not type(second) or isinstance(first, CellError):
        return False
    return first == second


def shown(value: Value) -> str:
    """Return a value as a finding shows it."""
    if value is None:
        return "nothing"
    if isinstance(value, CellError):
        return str(value)
    if isinstance(value, bool):
        return str(value).upper()
    return f'"{value}"' if isinstance(value, str) else f"{value:.15g}"
