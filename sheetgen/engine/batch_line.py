"""The batch line of a pour: when each batch is mixed, placed and trowelled."""

from __future__ import annotations

from itertools import accumulate, pairwise
from typing import Final

import attrs
import numpy as np
import numpy.typing as npt

from sheetgen.engine.flow import PARTS, Stage, parts, run
from sheetgen.engine.hands import ALL, BatchMinutes, Hands, parts_by_group, require_hands, stage_minutes
from sheetgen.engine.missing import MISSING, known

HELD: Final = "held"
FAST: Final = "fast"

Times = npt.NDArray[np.float64]
_COLUMNS: Final = tuple(f"{part}_{edge}" for part in ("mix", "place", "trowel", "second") for edge in ("start", "end"))


@attrs.frozen(eq=False)
class BatchLine:
    """The times of a pour, batch by batch, to 6 places of a minute.

    Parameters
    ----------
    minutes : BatchMinutes
        What each batch takes.
    hands : Hands
        Who is at work.
    opening : float
        When the pour opens [min].
    mix_start, mix_end, place_start, place_end, trowel_start, trowel_end : ndarray of float
        Start and finish of each part of each batch [min].
    second_start, second_end : ndarray of float
        The same for the second trowelling; missing where the topping has none, or its earliest wait is not known [min].
    """

    minutes: BatchMinutes
    hands: Hands
    opening: float
    mix_start: Times
    mix_end: Times
    place_start: Times
    place_end: Times
    trowel_start: Times
    trowel_end: Times
    second_start: Times
    second_end: Times

    @property
    def busy_from(self) -> Times:
        """When a trowel hand takes up a batch: with the mixing, where the same people do everything [min]."""
        return self.mix_start if self.hands.grouping == ALL else self.trowel_start

    @property
    def busy_to(self) -> Times:
        """When that hand is free again [min]."""
        return self.trowel_end

    @property
    def last_placed(self) -> float:
        """When the last batch is placed [min]."""
        return self._latest(self.place_end)

    @property
    def last_trowelled(self) -> float:
        """When the last first trowelling ends [min]."""
        return self._latest(self.trowel_end)

    @property
    def end(self) -> float:
        """When the last trowelling ends; missing where the second has no time [min]."""
        return self._latest(self.trowel_end if self.minutes.second == 0 else self.second_end)

    def _latest(self, times: Times) -> float:
        return float(times.max(initial=self.opening))


def plan_batches(
    batches: float,
    minutes: BatchMinutes,
    hands: Hands,
    *,
    pace: str = HELD,
    opening_min: float = 0.0,
    second_wait_min: float = 0.0,
) -> BatchLine:
    """Plan when each batch of a pour is mixed, placed and trowelled.

    Parameters
    ----------
    batches : float
        Whole batches, 0 or more [batch].
    minutes : BatchMinutes
        Of each part of a batch, the same for all.
    hands : Hands
        By group; in each group side by side.
    pace : {'held', 'fast'}
        Whether the foreman holds the next mix until it can go through without standing, or mixes as fast as hands allow.
    opening_min : float
        When the pour opens, not missing [min].
    second_wait_min : float
        Earliest wait from the end of the first trowelling to the second, perhaps missing [min].

    Returns
    -------
    BatchLine
        Every start and finish; nothing stands before the first batch of a pour but its opening. Where minutes are
        missing, the times that they decide are: all of them where the pace is held.

    Raises
    ------
    OutOfRangeError
        A group has work and no hands.

    Notes
    -----
    Trade, the pour. With equal minutes both paces finish every batch at the same moment: holding a mix costs nothing.
    What a joined group does to a batch follows without a pause. The second trowelling waits for no hands.
    """
    require_hands(stage_minutes(minutes, hands.grouping), hands)
    count = int(batches)
    stages: list[Stage] = []
    at_stage: list[int] = []  # for each column below, the stage that it is counted from
    after: list[int] = []  # and how long after its start
    for people, own in zip(hands.counts, parts_by_group(minutes, hands.grouping), strict=True):
        if not known(sum(own)):
            stages = [] if pace == HELD else stages
            break
        ends = list(accumulate(map(parts, own), initial=0))
        after += [end for bounds in pairwise(ends) for end in bounds]
        at_stage += [len(stages)] * (2 * len(own))
        if own:
            stages.append(Stage(int(people) if people >= 1 else 1, [ends[-1]] * count))  # for 0 minutes any hand will do
    else:
        if known(minutes.second + second_wait_min) and minutes.second > 0:
            at_stage += at_stage[-1:] * 2
            after += [after[-1] + parts(second_wait_min), after[-1] + parts(second_wait_min) + parts(minutes.second)]
    table = np.full((len(_COLUMNS), count), MISSING)
    if stages:
        starts = np.array(run(stages, parts(opening_min), held=pace == HELD), np.int64)
        table[: len(after)] = (starts.take(at_stage, axis=0) + np.array(after)[:, np.newaxis]) / PARTS
    return BatchLine(minutes, hands, parts(opening_min) / PARTS, *table)
