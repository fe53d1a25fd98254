"""Trowel hands needed at once, and how long everybody is on the pour."""

from __future__ import annotations

from typing import TYPE_CHECKING

import attrs
import numpy as np

from sheetgen.engine.flow import MINUTES_PER_HOUR
from sheetgen.engine.hands import ALL
from sheetgen.engine.missing import MISSING, known

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

    from sheetgen.engine.batch_line import BatchLine, Times
    from sheetgen.engine.hands import Hands


def peak_trowel_hands(line: BatchLine, among: Sequence[BatchLine] = ()) -> float:
    """Count the most trowel hands that a pour needs at once.

    Parameters
    ----------
    line : BatchLine
        The pour.
    among : sequence of BatchLine
        All pours of the job, this one with them; none where it stands alone.

    Returns
    -------
    float
        Most batches of any pour in first or second trowelling at a moment when one of this pour begins; 0 without
        batches, missing where its second trowelling has no time [count].

    Notes
    -----
    Trade, the pour. The number rises only where a trowelling begins, so these moments are enough. What ends at a
    moment needs nobody at that moment. Where the same people do everything, a hand is taken from the mixing on.
    """
    if not known(line.end):
        return MISSING
    at_once = hands_at(np.concatenate((line.busy_from, line.second_start)), among or (line,))
    return float(at_once.max(initial=0, where=~np.isnan(at_once)))


def hands_at(moments: Times, lines: Sequence[BatchLine]) -> Times:
    """Count the trowel hands needed at moments.

    Parameters
    ----------
    moments : ndarray of float
        Minutes, perhaps missing [min].
    lines : sequence of BatchLine
        All pours.

    Returns
    -------
    ndarray of float
        Batches in first or second trowelling at each, missing where the moment is [count].
    """
    begins = np.sort(np.concatenate([part for one in lines for part in (one.busy_from, one.second_start)]))
    ends = np.sort(np.concatenate([part for one in lines for part in (one.busy_to, one.second_end)]))
    at_once = np.searchsorted(begins, moments, "right") - np.searchsorted(ends, moments, "right")
    return np.where(np.isnan(moments), np.nan, at_once)


def hands_short(peak: float, trowel_hands: float) -> float:
    """Count the trowel hands that a pour lacks.

    Parameters
    ----------
    peak : float
        Trowel hands needed at once, perhaps missing [count].
    trowel_hands : float
        Trowel hands there [count].

    Returns
    -------
    float
        max(0, peak - there) [count].

    Notes
    -----
    So many more hands mend the pour if they only trowel a second time. Put among those who trowel first they may
    quicken the line, and the quicker line may need more: see `more_trowel_hands`.
    """
    return max(0.0, peak - trowel_hands) if known(peak) else MISSING


def more_trowel_hands(plan: Callable[[Hands], BatchLine], hands: Hands, most: float) -> float:
    """Find how many more trowel hands mend a pour that has too few, its line planned anew with them.

    Parameters
    ----------
    plan : callable
        Plans the pour with given hands.
    hands : Hands
        Who is there.
    most : float
        How many more are tried [count].

    Returns
    -------
    float
        Fewest more, 0 where there are enough, missing where so many do not mend it [count].
    """
    group = "placers" if hands.grouping == ALL else "trowellers"
    for more in range(int(most) + 1):
        crew = attrs.evolve(hands, **{group: getattr(hands, group) + more})
        if hands_short(peak_trowel_hands(plan(crew)), crew.trowel_hands) == 0:
            return float(more)
    return MISSING


def presence_h(line: BatchLine) -> float:
    """Compute the person-hours that the crew of a pour is there.

    Parameters
    ----------
    line : BatchLine
        The pour.

    Returns
    -------
    float
        From the opening to the last placing for those who mix and place, to the last trowelling for those who trowel,
        missing where the second trowelling has no time [h].

    Notes
    -----
    Trade, labour: from the first mix start, which is the opening.
    """
    minutes = line.hands.mix_and_place_hands * (line.last_placed - line.opening)
    return (minutes + line.hands.trowel_hands * (line.end - line.opening)) / MINUTES_PER_HOUR
