"""Lines that were put in or taken out: the rows or columns of a sheet as it should be, found in the sheet as it is."""

from __future__ import annotations

import difflib
from typing import TYPE_CHECKING, Final

import attrs

if TYPE_CHECKING:
    from collections.abc import Hashable, Sequence

# Comparing takes the product of both lengths, of what lies between the common beginning and end [count].
_MOST: Final = 2_000
# Fewer lines found again than this share, and it cannot be told what was done.
_LEAST_SHARE: Final = 0.8


@attrs.frozen
class Alignment:
    """Where lines are now.

    Parameters
    ----------
    now : dict of int to int
        Present number of each planned line that is still there [0-based].
    deleted : tuple of int
        Planned lines that are gone [0-based].
    inserted : tuple of int
        Present lines that were put in between planned ones [0-based].
    """

    now: dict[int, int]
    deleted: tuple[int, ...] = ()
    inserted: tuple[int, ...] = ()

    @property
    def moved(self) -> bool:
        """Whether lines were put in or taken out."""
        return bool(self.deleted or self.inserted)


def align(planned: Sequence[Hashable], present: Sequence[Hashable]) -> Alignment | None:
    """Find the planned lines among the present ones.

    Parameters
    ----------
    planned, present : sequence of hashable
        What is fixed in each line; something false where nothing is.

    Returns
    -------
    Alignment or None
        None where it cannot be told which line is which.
    """
    first = 0
    while first < min(len(planned), len(present)) and planned[first] == present[first]:
        first += 1
    last = 0
    while last < min(len(planned), len(present)) - first and planned[-1 - last] == present[-1 - last]:
        last += 1
    ours, theirs = planned[first : len(planned) - last], present[first : len(present) - last]
    if max(len(ours), len(theirs)) > _MOST and ours and theirs:
        return None
    now = {line: line for line in range(first)}
    now.update({len(planned) - 1 - line: len(present) - 1 - line for line in range(last)})
    deleted: list[int] = []
    inserted: list[int] = []
    for what, i, i_end, j, j_end in difflib.SequenceMatcher(None, ours, theirs, autojunk=False).get_opcodes():
        if what == "replace" and i_end - i != j_end - j:
            return None
        if what in {"equal", "replace"}:  # a line of which something was changed is still that line
            now.update({first + one: first + j + one - i for one in range(i, i_end)})
        elif what == "delete":
            deleted.extend(range(first + i, first + i_end))
        elif i_end < len(ours) or last:  # what stands below everything else was not put in between
            inserted.extend(range(first + j, first + j_end))
    said = [line for line, fixed in enumerate(planned) if fixed]
    again = sum(line in now and planned[line] == present[now[line]] for line in said)
    if again < _LEAST_SHARE * len(said):
        return None
    return Alignment(now, tuple(deleted), tuple(inserted))
