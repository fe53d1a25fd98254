"""Rows of figures become the columns of a block."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, TypeVar

import attrs

from sheetgen.engine.missing import MISSING

if TYPE_CHECKING:
    from collections.abc import Sequence

Block = TypeVar("Block")
Row = dict[str, Any]


def table(block: type[Block], rows: Sequence[Row]) -> Block:
    """Make the columns of a block from its rows; what a row does not say is missing.

    Parameters
    ----------
    block : type
        Class of figures over records.
    rows : sequence of dict
        Figures of each record by attribute.

    Returns
    -------
    object
        The block.

    Raises
    ------
    KeyError
        A row says what the block does not have.
    """
    names = [one.name for one in attrs.fields(block)]  # type: ignore[arg-type]
    for row in rows:
        if strangers := row.keys() - set(names):
            raise KeyError(*sorted(strangers))
    return block(**{name: tuple([row.get(name, MISSING) for row in rows]) for name in names})


def flag(*, holds: bool) -> float:
    """Return 1 where something holds, else 0 [count]."""
    return 1.0 if holds else 0.0


def first_fault(*faults: float) -> float:
    """Return the first fault that is not 0: one that cannot be told hides those after it [no]."""
    return next((fault for fault in faults if fault != 0), 0.0)
