"""The prefix of a book that stands in a person's own workbook: before each sheet, and made legal before each name."""

from __future__ import annotations

import re
from collections.abc import Iterable
from typing import Final

MOST_TITLE: Final = 31
_FORBIDDEN: Final = re.compile(r"[\[\]:*?/\\'!\x00-\x1f\x7f]")
_NOT_IN_NAMES: Final = re.compile(r"[^A-Za-z0-9_.]")


def name_prefix(prefix: str) -> str:
    """Return what stands before each defined name where this stands before each sheet: ``Job_7_`` for ``Job 7 ``."""
    legal = _NOT_IN_NAMES.sub("_", prefix)
    return legal if not legal or legal[0].isalpha() or legal[0] == "_" else f"_{legal}"


def wrong(prefix: str, titles: Iterable[str]) -> str | None:
    """Return why a prefix cannot stand before these sheet titles; None where it can.

    Parameters
    ----------
    prefix : str
        What a person chose.
    titles : iterable of str
        Titles of the sheets.

    Returns
    -------
    str or None
        What is wrong, in words.
    """
    found = _FORBIDDEN.search(prefix)
    if found:
        return f"holds {found[0]!r}, which no sheet name may have"
    if prefix and not prefix.strip():
        return "is only spaces"
    if prefix != prefix.lstrip():
        return "begins with a space"
    longest = max(titles, key=len)
    over = len(prefix) + len(longest) - MOST_TITLE
    if over > 0:
        return f"is {over} characters too long: a sheet name has at most {MOST_TITLE}, and one would be '{prefix}{longest}'"
    return None
