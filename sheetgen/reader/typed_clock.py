"""A time of day as people type it: 7:30, 14:00, 7 am, 2:15 p.m."""

from __future__ import annotations

import re
from typing import Final

_CLOCK: Final = re.compile(r"(\d{1,2})(?:[:.](\d{2})(?::(\d{2}))?)? ?([ap])?\.?(?:m\.?)?", re.ASCII | re.IGNORECASE)
_NOON, _MIDNIGHT, _SIXTY = 12, 24, 60
_SECONDS_OF_A_DAY: Final = 86_400


def read_clock(text: str) -> float | None:
    """Read a time of day from a text.

    Parameters
    ----------
    text : str
        What was typed, spaces single.

    Returns
    -------
    float or None
        Fraction of a day, None where it is no time of day [day].
    """
    found = _CLOCK.fullmatch(text)
    if found is None or (found[2] is None and found[4] is None):
        return None
    hour, minute, second = int(found[1]), int(found[2] or 0), int(found[3] or 0)
    if found[4] is not None:
        if not 1 <= hour <= _NOON:
            return None
        hour = hour % _NOON + (_NOON if found[4].casefold() == "p" else 0)
    if hour >= _MIDNIGHT or minute >= _SIXTY or second >= _SIXTY:
        return None
    return (hour * 3600 + minute * 60 + second) / _SECONDS_OF_A_DAY
