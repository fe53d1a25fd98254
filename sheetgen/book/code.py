"""A compiled piece of a formula, and how pieces are put together."""

from __future__ import annotations

import re
from collections.abc import Iterable
from typing import Final, TypeVar

import attrs

from sheetgen.book.measure import Measure
from sheetgen.book.names import Pieces, Shape, Slot

LOOSEST: Final = 0
TIGHTEST: Final = 9
_Item = TypeVar("_Item")
# Texts and sheet names are taken whole, so that a bracket in them does not count.
_BRACKETS = re.compile(r"\"[^\"]*\"|'[^']*'|[A-Z]*\(|\)")


@attrs.frozen
class Code:
    """A compiled piece.

    Parameters
    ----------
    pieces : tuple
        Text and cell slots.
    measure : Measure
        What it measures.
    numbers, texts : tuple of Pieces
        Cells that must hold a number, or a text, for the piece to have a value.
    lookups : tuple of (Pieces, bool)
        Look-ups that must find something; whether text is looked up.
    totals : tuple of (Pieces, Pieces)
        Ranges that must be complete, each with its column of started records.
    maybe : bool
        The piece gives "" by itself; it can stand only at the root.
    binding : int
        How tightly its outermost operator binds [-].
    shape : Shape or None
        Rows and columns of a range or array; None for one value.
    """

    pieces: Pieces
    measure: Measure
    numbers: tuple[Pieces, ...] = ()
    texts: tuple[Pieces, ...] = ()
    lookups: tuple[tuple[Pieces, bool], ...] = ()
    totals: tuple[tuple[Pieces, Pieces], ...] = ()
    maybe: bool = False
    binding: int = TIGHTEST
    shape: Shape | None = None

    @property
    def guarded(self) -> bool:
        """Whether anything can make the piece missing."""
        return bool(self.numbers or self.texts or self.lookups or self.totals)


def merge(pieces: Pieces, of: Measure, *parts: Code, binding: int = TIGHTEST) -> Code:
    """Return pieces that need what their parts need."""
    return Code(
        pieces,
        of,
        unique(piece for part in parts for piece in part.numbers),
        unique(piece for part in parts for piece in part.texts),
        unique(piece for part in parts for piece in part.lookups),
        unique(piece for part in parts for piece in part.totals),
        any(part.maybe for part in parts),
        binding,
    )


def unique(items: Iterable[_Item]) -> tuple[_Item, ...]:
    """Return the items in order, each once."""
    return tuple(dict.fromkeys(items))


def flat(*parts: str | Pieces) -> Pieces:
    """Return texts and pieces as one row of pieces."""
    flat: list[object] = []
    for part in parts:
        if isinstance(part, str):
            flat.append(part)
        else:
            flat.extend(part)
    return tuple(flat)  # type: ignore[arg-type]


def listed(items: list[Pieces]) -> Pieces:
    """Return pieces with commas between them."""
    parts: list[str | Pieces] = []
    for number, item in enumerate(items):
        if number:
            parts.append(",")
        parts.append(item)
    return flat(*parts)


def joined(pieces: Pieces) -> Pieces:
    """Return the pieces with neighbouring texts made one; a cell that does not move is text too."""
    joined: list[str | Slot] = []
    for piece in pieces:
        if isinstance(piece, Slot) and piece.moves:
            joined.append(piece)
            continue
        text = piece if isinstance(piece, str) else piece.text(0)
        if joined and isinstance(joined[-1], str):
            joined[-1] += text
        else:
            joined.append(text)
    return tuple(joined)


def nested(text: str) -> int:
    """Return how many calls stand inside each other in a compiled formula [count]."""
    most = 0
    open_calls: list[bool] = []
    for part in _BRACKETS.findall(text):
        if part == ")":
            open_calls.pop()
        elif part.endswith("("):
            open_calls.append(part != "(")
            most = max(most, sum(open_calls))
    return most
