"""Figures of a block, made row by row."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any, TypeVar

import attrs

from sheetgen.engine.missing import MISSING

Made = TypeVar("Made")


def width(figures: type, *but: str) -> int:
    """Return how many columns a class of figures has, apart from those named."""
    return sum(one.name not in but for one in attrs.fields(figures))


def blank_row(figures: type, *but: str) -> tuple[float, ...]:
    """Return a row without any figure."""
    return (MISSING,) * width(figures, *but)


def from_rows(figures: type[Made], rows: Sequence[tuple[float, ...]], **columns: Any) -> Made:
    """Make figures of rows, each in the order of the class's attributes.

    Parameters
    ----------
    figures : type
        Class of figures, one column per attribute.
    rows : sequence of tuple of float
        One row per record [-].
    columns
        Columns that are there already; the rows leave them out.

    Returns
    -------
    figures
        An instance of the class.
    """
    fields: Any = attrs.fields(figures)  # type: ignore[arg-type]
    names = [one.name for one in fields if one.name not in columns]
    by_name = zip(*rows, strict=True) if rows else ((),) * len(names)
    return figures(**dict(zip(names, by_name, strict=True)), **columns)
