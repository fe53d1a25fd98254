"""Checks of a pour, batch by batch: each tells the first batch that comes too late."""

from __future__ import annotations

import numpy as np

from sheetgen.engine.batch_line import BatchLine, Times
from sheetgen.engine.missing import MISSING, known, sixth

_PLACES = 6


def _first_over(waits: Times, limit_min: float, first_batch: int = 1) -> float:
    """Return the number of the first batch whose wait is over a limit, 0 for none, missing where limit or a wait is."""
    if not known(limit_min) or np.isnan(waits).any():
        return MISSING
    over = np.flatnonzero(np.round(waits, _PLACES) > sixth(limit_min))
    return float(over[0] + first_batch) if over.size else 0.0


def first_past_working_time(line: BatchLine, working_time_min: float) -> float:
    """Find the first batch that is not placed within its working time.

    Parameters
    ----------
    line : BatchLine
        The pour.
    working_time_min : float
        From adding water until the mix can no longer be placed, at the day's temperature, perhaps missing [min].

    Returns
    -------
    float
        Number of the batch, 0 for none, missing where the limit is [no].

    Notes
    -----
    Trade, the pour: from the start of mixing to the end of placing.
    """
    return _first_over(line.place_end - line.mix_start, working_time_min)


def first_waiting_for_trowel(line: BatchLine, trowel_limit_min: float) -> float:
    """Find the first batch that waits too long for its first trowelling.

    Parameters
    ----------
    line : BatchLine
        The pour.
    trowel_limit_min : float
        Longest wait at the day's temperature, which is not scaled, perhaps missing [min].

    Returns
    -------
    float
        Number of the batch, 0 for none, missing where the limit is [no].

    Notes
    -----
    Trade, the pour; common practice, no source: 2 to 3 minutes when it is warm.
    """
    return _first_over(line.trowel_start - line.place_end, trowel_limit_min)


def first_dry_edge(line: BatchLine, open_time_min: float) -> float:
    """Find the first batch whose long side meets the batch before too late.

    Parameters
    ----------
    line : BatchLine
        The pour.
    open_time_min : float
        How long an edge stays open from the end of placing, at the day's temperature, perhaps missing [min].

    Returns
    -------
    float
        Number of the later batch, 0 for none, missing where the limit is [no].
    """
    if not known(line.last_placed):
        return MISSING
    return _first_over(line.place_start[1:] - line.place_end[:-1], open_time_min, 2)


def first_dry_end(line: BatchLine, open_time_min: float, ribbons: float) -> float:
    """Find the first batch that meets the strip before it too late, where there is more than one strip.

    Parameters
    ----------
    line : BatchLine
        The pour.
    open_time_min : float
        How long an edge stays open from the end of placing, at the day's temperature, perhaps missing [min].
    ribbons : float
        Ribbons to a strip, 1 or more, perhaps missing [count].

    Returns
    -------
    float
        Number of the later batch, 0 for none, missing where the limit is [no].
    """
    if not known(ribbons + line.last_placed):
        return MISSING
    back = int(ribbons)
    return _first_over(line.place_start[back:] - line.place_end[:-back], open_time_min, back + 1)


def window_closes(second_min: float, earliest_min: float, latest_min: float) -> float:
    """Tell whether the second trowelling of a batch takes longer than its window is open.

    Parameters
    ----------
    second_min : float
        Minutes per batch, 0 for a topping without second trowelling [min].
    earliest_min, latest_min : float
        The window, from the end of the first trowelling, at the day's temperature, perhaps missing [min].

    Returns
    -------
    float
        1 where earliest + second trowelling > latest, 0 where it fits, missing where the window is [count].
    """
    if second_min == 0:
        return 0.0
    end, latest = sixth(earliest_min + second_min), sixth(latest_min)
    return float(end > latest) if known(end + latest) else MISSING


def ends_late(end_min: float, latest_min: float) -> float:
    """Tell whether a pour goes on when daylight or access has ended.

    Parameters
    ----------
    end_min : float
        When the last trowelling ends, perhaps missing [min].
    latest_min : float
        When it must, perhaps missing [min].

    Returns
    -------
    float
        1 where it ends later, else 0, missing where either time is [count].
    """
    if not known(end_min + latest_min):
        return MISSING
    return float(sixth(end_min) > sixth(latest_min))
