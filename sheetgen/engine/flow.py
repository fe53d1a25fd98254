"""Batches go through stages in turn: the one recurrence behind every pour."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

import attrs

from sheetgen import money
from sheetgen.engine.ranges import OutOfRangeError, require_not_negative

if TYPE_CHECKING:
    from collections.abc import Sequence

# Trade, the pour: all times are rounded to 6 places of a minute. In millionths they are whole numbers, whose sums
# need no rounding and come out the same in any order.
PARTS: Final = 1_000_000
_PLACES: Final = 6
MINUTES_PER_HOUR: Final = 60.0


def parts(minutes: float) -> int:
    """Express a time in millionths of a minute.

    Parameters
    ----------
    minutes : float
        Time, not missing [min].

    Returns
    -------
    int
        Millionths of a minute.
    """
    return int(money.sixth(minutes).scaleb(_PLACES))


@attrs.frozen
class Stage:
    """One group of hands on the line.

    Parameters
    ----------
    hands : int
        How many work side by side, each on a batch of its own, 1 or more.
    parts : tuple of int
        What each batch takes a hand, in millionths of a minute.
    """

    hands: int
    parts: Sequence[int]


def run(stages: Sequence[Stage], opening: int, *, held: bool) -> list[list[int]]:
    """Find when each stage begins each batch.

    Parameters
    ----------
    stages : sequence of Stage
        In the order in which a batch goes through them; all have as many batches.
    opening : int
        When the first may begin, in millionths of a minute.
    held : bool
        Whether the first stage waits until the batch can go through all without standing.

    Returns
    -------
    list of list of int
        For each stage the start of each batch, in millionths of a minute.

    Notes
    -----
    Trade, the pour. ``start(j, s) = max(finish(j, s-1), finish(j-c_s, s))``; held: the first stage also waits for the
    hands of every later one, less the minutes until it gets there. Batch j takes the hand that had batch j - c_s: with
    several hands that is the first one free where all batches take as long, and not otherwise.
    """
    starts: list[list[int]] = [[] for _ in stages]
    free: list[list[int]] = [[opening] * stage.hands for stage in stages]  # when the hand of batch j is free, at j
    turns = list(zip(starts, free, (stage.parts for stage in stages), strict=True))
    for batch in range(len(stages[0].parts) if stages else 0):
        ready = opening
        if held:
            ahead = 0
            for _, hand, minutes in turns:
                if hand[batch] - ahead > ready:  # noqa: PLR1730 - a call of max() takes twice as long
                    ready = hand[batch] - ahead
                ahead += minutes[batch]
        for begun, hand, minutes in turns:
            if not held and hand[batch] > ready:  # held, nothing is waited for on the way
                ready = hand[batch]
            begun.append(ready)
            ready += minutes[batch]
            hand.append(ready)
    return starts


def makespan_min(minutes_min: Sequence[Sequence[float]], *, held: bool = False) -> float:
    """Compute how long batches of unequal minutes take, one hand to a stage.

    Parameters
    ----------
    minutes_min : sequence of sequence of float
        For each batch in order the minutes at each stage, 0 or more [min].
    held : bool
        Whether a batch is begun only when it can go through without standing.

    Returns
    -------
    float
        From the first start to the last finish [min].

    Raises
    ------
    OutOfRangeError
        No batch, no stage, or a time below 0.

    Notes
    -----
    A batch that takes 0 minutes at a stage still passes it in its turn.

    References
    ----------
    S. M. Johnson, "Optimal two- and three-stage production schedules with setup times included", Naval Research
    Logistics Quarterly 1 (1954): the permutation flow shop, which is this line with one hand to a stage.
    """
    if not minutes_min or not minutes_min[0]:
        raise OutOfRangeError("minutes_min", 0.0, "at least one batch with one stage")
    for batch in minutes_min:
        for minutes in batch:
            require_not_negative(minutes_min=minutes)
    stages = [Stage(1, [parts(minutes) for minutes in column]) for column in zip(*minutes_min, strict=True)]
    starts = run(stages, 0, held=held)
    return (starts[-1][-1] + stages[-1].parts[-1]) / PARTS
