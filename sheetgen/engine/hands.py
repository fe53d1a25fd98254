"""Hands in groups: who does which part of a batch, and how often a batch comes out."""

from __future__ import annotations

import math
from typing import Final

import attrs

from sheetgen.engine.ranges import OutOfRangeError, require_not_negative

SEPARATE: Final = "separate"
MIX_PLACE: Final = "mix_place"
ALL: Final = "all"


@attrs.frozen(kw_only=True)
class BatchMinutes:
    """What a batch takes a pair of hands.

    Parameters
    ----------
    mix, place, trowel : float
        Mixing, placing and first trowelling; 0 where the stage is left out [min].
    second : float
        Second trowelling, 0 for a topping without one [min].

    Raises
    ------
    OutOfRangeError
        A time is below 0.
    """

    mix: float
    place: float
    trowel: float
    second: float = 0.0

    def __attrs_post_init__(self) -> None:
        """Refuse time that runs backwards."""
        require_not_negative(mix=self.mix, place=self.place, trowel=self.trowel, second=self.second)


@attrs.frozen(kw_only=True)
class Hands:
    """The people on a pour, by group.

    Parameters
    ----------
    grouping : {'separate', 'mix_place', 'all'}
        Three groups; those who place also mix; those who place do everything.
    mixers, placers, trowellers : float
        People in each group; a group whose work others do counts for nothing [count].
    """

    grouping: str = attrs.field(validator=attrs.validators.in_((SEPARATE, MIX_PLACE, ALL)))
    mixers: float = 0.0
    placers: float = 0.0
    trowellers: float = 0.0

    @property
    def counts(self) -> tuple[float, float, float]:
        """List mixers, placers and trowellers [count]."""
        return self.mixers, self.placers, self.trowellers

    @property
    def mix_and_place_hands(self) -> float:
        """Count those who are done when the last batch is placed [count]."""
        if self.grouping == ALL:
            return 0.0
        return self.placers + (self.mixers if self.grouping == SEPARATE else 0.0)

    @property
    def trowel_hands(self) -> float:
        """Count those who trowel [count]."""
        return self.placers if self.grouping == ALL else self.trowellers

    @property
    def crew_size(self) -> float:
        """Count everybody on the pour [count]."""
        return self.mix_and_place_hands + self.trowel_hands


def parts_by_group(minutes: BatchMinutes, grouping: str) -> tuple[tuple[float, ...], ...]:
    """List what mixers, placers and trowellers do to a batch, part after part.

    Parameters
    ----------
    minutes : BatchMinutes
        Of each part.
    grouping : {'separate', 'mix_place', 'all'}
        Which parts the same hands do.

    Returns
    -------
    tuple of tuple of float
        For each of the three groups the minutes of its parts, none where others do its work [min].
    """
    if grouping == ALL:
        return (), (minutes.mix, minutes.place, minutes.trowel), ()
    if grouping == MIX_PLACE:
        return (), (minutes.mix, minutes.place), (minutes.trowel,)
    return (minutes.mix,), (minutes.place,), (minutes.trowel,)


def stage_minutes(minutes: BatchMinutes, grouping: str) -> tuple[float, float, float]:
    """Add the minutes of those parts of a batch that the same hands do.

    Parameters
    ----------
    minutes : BatchMinutes
        Of each part.
    grouping : {'separate', 'mix_place', 'all'}
        Which parts are joined.

    Returns
    -------
    mix, place, trowel : float
        Minutes per batch of mixers, placers and trowellers, 0 where others do their work [min].

    Notes
    -----
    Trade, the pour: joined minutes add.
    """
    mix, place, trowel = map(math.fsum, parts_by_group(minutes, grouping))
    return mix, place, trowel


def cycle_min(minutes: BatchMinutes, hands: Hands) -> float:
    """Compute the cycle of a pour: the mean minutes from one batch to the next.

    Parameters
    ----------
    minutes : BatchMinutes
        Of each part of a batch.
    hands : Hands
        By group.

    Returns
    -------
    float
        The longest of minutes / hands over the groups that have work [min].

    Raises
    ------
    OutOfRangeError
        A group has work and no hands.

    Notes
    -----
    Trade, the pour. Several hands side by side come in waves: with two hands of 10 minutes two batches come at once
    and then none for 10 minutes, where the cycle is 5.
    """
    taken = stage_minutes(minutes, hands.grouping)
    require_hands(taken, hands)
    return max(one / count for one, count in zip(taken, hands.counts, strict=True) if one > 0) if any(taken) else 0.0


def require_hands(taken_min: tuple[float, float, float], hands: Hands) -> None:
    """Raise where a group has work and nobody to do it.

    Parameters
    ----------
    taken_min : tuple of float
        Minutes per batch of mixers, placers and trowellers [min].
    hands : Hands
        By group.

    Raises
    ------
    OutOfRangeError
        A group has work and no hands.
    """
    for name, one, count in zip(("mixers", "placers", "trowellers"), taken_min, hands.counts, strict=True):
        if one > 0 and count < 1:
            raise OutOfRangeError(name, count, "1 or more where there is work for them")
