"""The clock of the layers: when to prime, counted back from the pour, and when to seal and walk, counted on from it."""

from __future__ import annotations

import attrs

from sheetgen.engine.flow import MINUTES_PER_HOUR
from sheetgen.engine.missing import MISSING, known, sixth


def counted_back_min(from_min: float, wait_h: float) -> float:
    """Count a wait back from a moment.

    Parameters
    ----------
    from_min : float
        The moment, on the clock of the job, perhaps missing [min].
    wait_h : float
        Wait, perhaps missing [h].

    Returns
    -------
    float
        from - wait; below 0 before midnight of the first day [min].
    """
    return sixth(from_min - wait_h * MINUTES_PER_HOUR)


def counted_on_min(from_min: float, wait_h: float) -> float:
    """Count a wait on from a moment.

    Parameters
    ----------
    from_min : float
        The moment, on the clock of the job, perhaps missing [min].
    wait_h : float
        Wait, perhaps missing [h].

    Returns
    -------
    float
        from + wait [min].
    """
    return sixth(from_min + wait_h * MINUTES_PER_HOUR)


@attrs.frozen(kw_only=True)
class PrimerClock:
    """When the coats of primer go on before a pour.

    Parameters
    ----------
    last_from, last_by : float
        The last coat: not before, or its window closes ahead of the topping, and not after, or it is not tack-free;
        missing where its window or wait is [min].
    first_by : float
        The first coat, not after; the last coat's own time where it is the only one [min].
    """

    last_from: float
    last_by: float
    first_by: float


def primer_clock(opening_min: float, *, last_wait_h: float, last_window_h: float, first_wait_h: float, coats: float) -> PrimerClock:
    """Count the coats of primer back from the opening of a pour.

    Parameters
    ----------
    opening_min : float
        When the first batch is mixed, on the clock of the job [min].
    last_wait_h, last_window_h : float
        Earliest and latest wait from the last coat to the topping, perhaps missing [h].
    first_wait_h : float
        Earliest wait from the first coat to the next, perhaps missing [h].
    coats : float
        Coats of primer, perhaps missing [count].

    Returns
    -------
    PrimerClock
        Missing where a wait is.

    Notes
    -----
    Trade, the pour: common practice the first coat the evening before, about 10 h, the second on the morning, topping
    when it is hazed and tack-free and before its window closes.
    """
    last_by = counted_back_min(opening_min, last_wait_h)
    return PrimerClock(
        last_from=counted_back_min(opening_min, last_window_h),
        last_by=last_by,
        first_by=_first_by(last_by, first_wait_h, coats),
    )


def _first_by(last_by_min: float, first_wait_h: float, coats: float) -> float:
    if not known(coats):
        return MISSING
    return counted_back_min(last_by_min, first_wait_h) if coats >= 2 else last_by_min
