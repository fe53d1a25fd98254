"""Totals over rows: a started row without its figure leaves the total without one."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from sheetgen.engine.missing import MISSING, known

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

Column = tuple[float, ...]
Texts = tuple[str | None, ...]


def total(figures: Sequence[float], started: Sequence[float]) -> float:
    """Add a column up; missing if any started row lacks its figure, 0 if no row is started.

    Parameters
    ----------
    figures : sequence of float
        The column, missing where a row has none [-].
    started : sequence of float
        1 where the row is started, else missing [count].

    Returns
    -------
    float
        Total [-].

    Notes
    -----
    The sum is exact before it is rounded once, so that the order of the rows cannot change it.
    """
    rows = [figure for figure, begun in zip(figures, started, strict=True) if known(begun)]
    return math.fsum(rows) if all(map(known, rows)) else MISSING


def totals_by_number(figures: Sequence[float], started: Sequence[float], numbers: Sequence[float], count: int) -> Column:
    """Add a column up for each record that its rows point to.

    Parameters
    ----------
    figures : sequence of float
        The column, missing where a row has none [-].
    started : sequence of float
        1 where the row is started, else missing [count].
    numbers : sequence of float
        The record a row belongs to, from 1 [no].
    count : int
        How many records there are [count].

    Returns
    -------
    tuple of float
        A total for each record; all are missing if any started row lacks its figure [-].
    """
    rows: list[list[float]] = [[] for _ in range(count)]
    for figure, begun, number in zip(figures, started, numbers, strict=True):
        if not known(begun):
            continue
        if not known(figure):
            return (MISSING,) * count
        if known(number) and 1 <= number <= count:
            rows[int(number) - 1].append(figure)
    return tuple(math.fsum(row) for row in rows)


def sum_known(figures: Iterable[float]) -> float:
    """Add up what is known so far; 0 if nothing is.

    Parameters
    ----------
    figures : iterable of float
        Numbers, some of them missing [-].

    Returns
    -------
    float
        Sum of those that are there [-].
    """
    return math.fsum(one for one in figures if known(one))


def counted(faults: Iterable[float]) -> float:
    """Count the rows that have a fault.

    Parameters
    ----------
    faults : iterable of float
        Fault numbers: 0 for none, missing for a blank row [no].

    Returns
    -------
    float
        Rows with a fault above 0 [count].
    """
    return float(sum(fault > 0 for fault in faults))


def at(figures: Sequence[float], number: float) -> float:
    """Look up one figure by record number.

    Parameters
    ----------
    figures : sequence of float
        One figure per record [-].
    number : float
        Record number from 1, or missing [no].

    Returns
    -------
    float
        The figure, missing where there is no such record [-].
    """
    if not known(number) or not 1 <= number <= len(figures):
        return MISSING
    return figures[int(number) - 1]
