"""Best crew: what each split of a number of people would come to, in the steady form, and the cheapest that holds."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

import attrs

from sheetgen.engine.flow import MINUTES_PER_HOUR
from sheetgen.engine.hands import ALL, SEPARATE, BatchMinutes, Hands, cycle_min, stage_minutes
from sheetgen.engine.missing import MISSING, cents, known, larger, ratio, sixth, up
from sheetgen.engine.pour import widest_bay_ft
from sheetgen.engine.pour_checks import window_closes

if TYPE_CHECKING:
    from collections.abc import Sequence

# What a crew fails by, first that applies; trade, the pour.
WORKING_TIME: Final = 1.0
WET_EDGE: Final = 2.0
BAY_TOO_WIDE: Final = 3.0
TROWEL_HANDS: Final = 4.0
SECOND_WINDOW: Final = 5.0


@attrs.frozen(kw_only=True)
class PourToStaff:
    """A pour whose crew is sought.

    Parameters
    ----------
    batches : float
        Whole batches [batch].
    minutes : BatchMinutes
        What each takes.
    width_ft : float
        Width of a ribbon [ft].
    bay_across_ft : float
        Width of the bay [ft].
    strips : float
        Strips one behind the other [count].
    working_time_min, open_time_min : float
        Limits at the day's temperature, perhaps missing [min].
    earliest_min, latest_min : float
        Window of the second trowelling from the end of the first, perhaps missing [min].
    """

    batches: float
    minutes: BatchMinutes
    width_ft: float
    bay_across_ft: float
    strips: float
    working_time_min: float = MISSING
    open_time_min: float = MISSING
    earliest_min: float = MISSING
    latest_min: float = MISSING


@attrs.frozen(kw_only=True)
class SteadyCrew:
    """What a split comes to, taken as if a batch came out once in every cycle.

    Parameters
    ----------
    hands : Hands
        The split.
    cycle : float
        Minutes from one batch to the next [min].
    span : float
        From the first batch to the last [min].
    time_at_most : float
        From the first mix to the end of the last first trowelling, at most [min].
    working : float
        From the start of mixing to the end of placing [min].
    edge : float
        Wait at the long side of a ribbon [min].
    bay : float
        Widest bay, missing where the open time is [ft].
    first_hands, second_hands : float
        Hands at the first and at the second trowelling [count].
    trowel_needed : float
        Trowel hands at once [count].
    over : tuple of float
        1 for each limit that it does not keep, in the order of `WORKING_TIME` to `SECOND_WINDOW`, missing where the
        limit is [count].
    early_h, late_h : float
        Person-hours of those who go when the last batch is placed, and of those who trowel [h].
    """

    hands: Hands
    cycle: float
    span: float
    time_at_most: float
    working: float
    edge: float
    bay: float
    first_hands: float
    second_hands: float
    trowel_needed: float
    over: tuple[float, float, float, float, float]
    early_h: float
    late_h: float

    @property
    def fails(self) -> float:
        """The first limit that it does not keep, 0 for none; one that is not known does not fail [no]."""
        return next((float(number) for number, over in enumerate(self.over, start=1) if over == 1), 0.0)

    @property
    def present_h(self) -> float:
        """Person-hours of the crew on the pour [h]."""
        return self.early_h + self.late_h


def steady_crew(pour: PourToStaff, hands: Hands) -> SteadyCrew:
    """Work a split out in the steady form.

    Parameters
    ----------
    pour : PourToStaff
        The pour.
    hands : Hands
        The split, pace held.

    Returns
    -------
    SteadyCrew
        Its times, hands and hours, and the limits that it does not keep.

    Raises
    ------
    OutOfRangeError
        A group has work and no hands.

    Notes
    -----
    Trade, the pour: ``pour time ≤ Σp + (batches - 1) · max(p/c)``, which the batch line reaches where the slowest
    group has one hand, and never passes. The waits at the edges and the trowel hands are those of the mean pace: where
    the slowest group has several hands its batches come in waves, and the batch table may find more.
    """
    minutes = pour.minutes
    taken = stage_minutes(minutes, hands.grouping)
    cycle = cycle_min(minutes, hands)
    placed, edge = minutes.mix + minutes.place, larger(0.0, cycle - minutes.place)
    span = (pour.batches - 1) * cycle
    time_at_most = sum(taken) + span
    bay = widest_bay_ft(pour.width_ft, pour.open_time_min, cycle)
    first_hands = up(ratio(taken[1] if hands.grouping == ALL else taken[2], cycle))
    second_hands = up(ratio(minutes.second, cycle)) if minutes.second != 0 else 0.0
    needed = _trowel_needed(pour, first_hands, second_hands, span)
    tail = pour.earliest_min + minutes.second if minutes.second != 0 else 0.0
    return SteadyCrew(
        hands=hands,
        cycle=cycle,
        span=span,
        time_at_most=sixth(time_at_most),
        working=placed,
        edge=edge,
        bay=bay,
        first_hands=first_hands,
        second_hands=second_hands,
        trowel_needed=needed,
        over=(
            _over(placed, pour.working_time_min),
            _over(edge, pour.open_time_min),
            _over(pour.bay_across_ft, bay) if pour.strips > 1 else 0.0,
            _over(needed, hands.trowel_hands),
            window_closes(minutes.second, pour.earliest_min, pour.latest_min),
        ),
        early_h=hands.mix_and_place_hands * (placed + span) / MINUTES_PER_HOUR,
        late_h=hands.trowel_hands * (time_at_most + tail) / MINUTES_PER_HOUR,
    )


def _over(x: float, limit: float) -> float:
    """Return 1 where a number is over its limit, else 0, missing where either is [count]."""
    return float(sixth(x) > sixth(limit)) if known(x + limit) else MISSING


def _trowel_needed(pour: PourToStaff, first_hands: float, second_hands: float, span: float) -> float:
    """Add the hands of both trowellings where they overlap: where the second begins before the first ends.

    A wait that is not known is taken as none, which asks for more hands and not for fewer.
    """
    if second_hands == 0:
        return first_hands
    if not known(first_hands + second_hands + span):
        return MISSING
    wait = pour.earliest_min if known(pour.earliest_min) else 0.0
    return first_hands + second_hands if sixth(span) > sixth(wait) else max(first_hands, second_hands)


def crew_wage(hands: Hands, mix: float, place: float, trowel: float) -> float:
    """Compute the mean loaded wage of a crew.

    Parameters
    ----------
    hands : Hands
        By group.
    mix, place, trowel : float
        Loaded wage of whoever does each, missing where nobody is named for it [money/h].

    Returns
    -------
    float
        Mean weighted by hands, missing where a group that is there has no wage; those who do more than place are
        paid as placers [money/h].

    Notes
    -----
    Trade, labour: waiting is paid at the mean loaded wage of the hands of the pour.
    """
    groups = [(hands.placers, place)]
    if hands.grouping == SEPARATE:
        groups.append((hands.mixers, mix))
    if hands.grouping != ALL:
        groups.append((hands.trowellers, trowel))
    return ratio(sum(count * wage for count, wage in groups if count > 0), hands.crew_size)


def crew_cost(crew: SteadyCrew, wage: float) -> float:
    """Compute what a crew costs while it is there.

    Parameters
    ----------
    crew : SteadyCrew
        Whose hours are known.
    wage : float
        Mean loaded wage, perhaps missing [money/h].

    Returns
    -------
    float
        Cost to the cent [money].
    """
    return cents(crew.present_h * wage)


def cheapest_that_passes(people: float, crews: Sequence[SteadyCrew], costs: Sequence[float]) -> float:
    """Find the best split of a number of people.

    Parameters
    ----------
    people : float
        Everybody on the pour [count].
    crews : sequence of SteadyCrew
        All splits, in the order of the book.
    costs : sequence of float
        What each costs [money].

    Returns
    -------
    float
        Number of the cheapest that fails by no limit, the first of equals, from 1; 0 where none passes [no].
    """
    passing = [
        (cost, number)
        for number, (crew, cost) in enumerate(zip(crews, costs, strict=True), start=1)
        if crew.fails == 0 and crew.hands.crew_size == people and known(cost)
    ]
    return float(min(passing)[1]) if passing else 0.0
