"""Properties of pours, each with the rule that it proves, and what the steady form of the crew table is worth."""

import attrs
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from sheetgen.engine.batch_line import plan_batches
from sheetgen.engine.crew import PourToStaff, steady_crew
from sheetgen.engine.flow import makespan_min
from sheetgen.engine.hands import ALL, MIX_PLACE, SEPARATE, BatchMinutes, Hands, cycle_min
from sheetgen.engine.pour import widest_bay_ft
from sheetgen.engine.splits import SPLITS
from sheetgen.engine.temperature import time_factor
from sheetgen.engine.trowel_hands import peak_trowel_hands, presence_h

QUICK = settings(max_examples=150, deadline=None)

counts = st.integers(1, 5).map(float)
batch_counts = st.integers(1, 30)
all_minutes = st.builds(
    BatchMinutes,
    mix=st.integers(0, 80).map(lambda n: n / 4),
    place=st.integers(0, 80).map(lambda n: n / 4),
    trowel=st.integers(0, 80).map(lambda n: n / 4),
    second=st.sampled_from([0.0, 4.5, 9.0]),
)
all_hands = st.builds(Hands, grouping=st.sampled_from([SEPARATE, MIX_PLACE, ALL]), mixers=counts, placers=counts, trowellers=counts)
paces = st.sampled_from(["held", "fast"])
waits = st.integers(0, 90).map(float)
degrees_f = st.integers(40, 110).map(float)
constants_k = st.integers(0, 9000).map(float)


def planned(batches, minutes, hands, pace="held", wait=0.0):
    return plan_batches(batches, minutes, hands, pace=pace, second_wait_min=wait)


@QUICK
@given(batches=batch_counts, minutes=all_minutes, hands=all_hands, pace=paces, wait=waits, group=st.sampled_from(["mixers", "placers", "trowellers"]))
def test_another_hand_never_lengthens_a_pour(batches, minutes, hands, pace, wait, group):
    """Nor makes any batch later: what waits for the hand before the last now waits for one that is free sooner."""
    with_more = attrs.evolve(hands, **{group: getattr(hands, group) + 1})
    line, quicker = planned(batches, minutes, hands, pace, wait), planned(batches, minutes, with_more, pace, wait)

    assert quicker.end <= line.end
    assert (quicker.trowel_end <= line.trowel_end).all()


@QUICK
@given(batches=batch_counts, minutes=all_minutes, hands=all_hands, wait=waits)
def test_holding_the_mix_never_lengthens_a_pour(batches, minutes, hands, wait):
    """With equal minutes every batch is even trowelled at the same moment; the mixing is later, and nothing stands."""
    held, fast = planned(batches, minutes, hands, "held", wait), planned(batches, minutes, hands, "fast", wait)

    assert held.end == fast.end
    assert (held.trowel_end == fast.trowel_end).all()
    assert (held.mix_start >= fast.mix_start).all()
    assert (held.place_start >= fast.place_start).all()


@QUICK
@given(
    minutes=st.lists(st.tuples(*[st.integers(0, 20).map(float)] * 3), min_size=1, max_size=8),
)
def test_unequal_batches_are_held_no_shorter(minutes):
    """Where batches differ holding the mix may take longer, and never less: so the rule above wants equal minutes."""
    assert makespan_min(minutes, held=True) >= makespan_min(minutes)


@QUICK
@given(batches=batch_counts, minutes=all_minutes, hands=all_hands, pace=paces)
def test_the_steady_form_is_never_below_the_batch_line(batches, minutes, hands, pace):
    """Pour time ≤ Σp + (batches - 1) · max(p/c), to the sixth place of each time."""
    pour = PourToStaff(batches=batches, minutes=minutes, width_ft=3, bay_across_ft=20, strips=2)

    assert planned(batches, minutes, hands, pace).last_trowelled <= steady_crew(pour, hands).time_at_most + 1e-6 * batches


@QUICK
@given(batches=batch_counts, minutes=all_minutes, hands=all_hands, pace=paces)
def test_the_steady_form_is_reached_with_one_hand_in_the_slowest_group(batches, minutes, hands, pace):
    alone = attrs.evolve(hands, mixers=1.0, placers=1.0, trowellers=1.0)
    pour = PourToStaff(batches=batches, minutes=minutes, width_ft=3, bay_across_ft=20, strips=2)

    assert planned(batches, minutes, alone, pace).last_trowelled == pytest.approx(steady_crew(pour, alone).time_at_most, abs=1e-9)


@QUICK
@given(batches=batch_counts, minutes=all_minutes, split=st.sampled_from(SPLITS), wait=waits)
def test_the_steady_hours_are_never_below_the_presence(batches, minutes, split, wait):
    """So what the crew table says a crew costs is what it costs at most."""
    pour = PourToStaff(batches=batches, minutes=minutes, width_ft=3, bay_across_ft=20, strips=2, earliest_min=wait, latest_min=wait + 60)

    assert presence_h(planned(batches, minutes, split, wait=wait)) <= steady_crew(pour, split).present_h + 1e-6 * batches


@QUICK
@given(cooler=degrees_f, hotter=degrees_f, hot_q=constants_k, cold_q=constants_k, open_min=waits, earliest=waits, window=waits)
def test_a_hotter_day_never_widens_a_window(cooler, hotter, hot_q, cold_q, open_min, earliest, window):
    """Nor a bay. It wants Q of 0 or more on both sides of the data sheet's temperature, and the same sun."""
    cooler, hotter = sorted((cooler, hotter))
    at = [time_factor(t, 70, hot_q if t > 70 else cold_q) for t in (cooler, hotter)]

    assert (earliest + window) * at[1] - earliest * at[1] <= (earliest + window) * at[0] - earliest * at[0] + 1e-9
    assert widest_bay_ft(3, open_min * at[1], 7) <= widest_bay_ft(3, open_min * at[0], 7)


@QUICK
@given(batches=batch_counts, minutes=all_minutes, hands=all_hands, pace=paces, wait=waits, opening=st.integers(0, 10_000_000))
def test_a_later_opening_moves_every_time_alike(batches, minutes, hands, pace, wait, opening):
    """The clock time of a pour changes no wait, to the last place."""
    line = planned(batches, minutes, hands, pace, wait)
    later = plan_batches(batches, minutes, hands, pace=pace, second_wait_min=wait, opening_min=opening / 1000)

    for part in ("mix_start", "place_end", "trowel_start", "trowel_end", "second_end"):
        moved = getattr(later, part) - opening / 1000
        assert moved == pytest.approx(getattr(line, part), abs=1e-9, nan_ok=True)
    assert peak_trowel_hands(later) == peak_trowel_hands(line)


@QUICK
@given(batches=batch_counts, minutes=all_minutes, hands=all_hands)
def test_the_cycle_is_the_mean_pace(batches, minutes, hands):
    """As many batches as hands of the slowest group come out in its minutes."""
    many = planned(200 + batches, minutes, hands)
    mean = (many.last_trowelled - many.trowel_end[0]) / (199 + batches)

    assert mean == pytest.approx(cycle_min(minutes, hands), rel=0.05, abs=1e-9)
