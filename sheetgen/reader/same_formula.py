"""Whether two formulas are the same, however a program writes them: spaces, quotes round a sheet's name, small letters."""

from __future__ import annotations

import functools
import re
from typing import Final

# LibreOffice writes 6 where 6.0 was written.
_WHOLE: Final = re.compile(r"(?<![\w.$])(\d+)\.0+(?![\d.])")
# A quoted text stays whole; a sheet's name needs its quotes only where it holds more than letters and digits.
_PIECE: Final = re.compile(r"(\"(?:[^\"]|\"\")*\")|'([A-Za-z_]\w*)'(?=!)|('(?:[^']|'')*')|\s+")


@functools.lru_cache(maxsize=100_000)
def plain_formula(formula: str) -> str:
    """Return a formula in one way of writing it, without its equals sign.

    Parameters
    ----------
    formula : str
        As a program wrote it.
    """
    parts = []
    end = 0
    for found in _PIECE.finditer(formula):
        parts.append(_plain(formula[end : found.start()]))
        parts.append(found[1] or (found[2] or found[3] or "").upper())
        end = found.end()
    parts.append(_plain(formula[end:]))
    return "".join(parts).removeprefix("=")


def _plain(text: str) -> str:
    return _WHOLE.sub(r"\1", text).upper()


def same_formula(one: str, other: str) -> bool:
    """Return whether two formulas are the same."""
    return one == other or plain_formula(one) == plain_formula(other)
