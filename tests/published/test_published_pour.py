"""The batch line: published flow shops, the page's worked job, and what crews do in the heat.

Every line runs through the engine's own recurrence. "Common practice, no source" is what contractors say.
"""

import itertools
from typing import ClassVar

import pytest

from sheetgen.engine import pour_checks
from sheetgen.engine.batch_line import plan_batches
from sheetgen.engine.flow import makespan_min
from sheetgen.engine.hands import BatchMinutes, Hands, cycle_min
from sheetgen.engine.pour import batch_area_ft2, coat_depth_in, ribbon_length_ft, whole_batches, whole_lengths, widest_bay_ft
from sheetgen.engine.temperature import time_factor
from sheetgen.engine.trowel_hands import hands_short, more_trowel_hands, peak_trowel_hands, presence_h

ONE_OF_EACH = Hands(grouping="separate", mixers=1, placers=1, trowellers=1)
STUDIO = BatchMinutes(mix=5, place=8, trowel=10, second=9)
STUDIO_FT2 = 454.132741
SIX = 5e-7  # half of the sixth place, the last that the page shows


class TestFlowShops:
    """One hand to a stage and unequal minutes: a permutation flow shop."""

    jobs: ClassVar = {"L": (10, 2), "M": (5, 4), "N": (7, 5), "O": (3, 6), "P": (1, 7)}
    machines: ClassVar = {1: (4, 4, 6), 2: (9, 5, 9), 3: (8, 3, 11), 4: (6, 2, 8), 5: (3, 6, 7)}

    def test_two_machines(self):
        """Johnson's order P-O-N-M-L takes 28 (the page's 26 is an error): arithmetic."""
        assert makespan_min([self.jobs[name] for name in "PONML"]) == 28

    def test_three_machines(self):
        """Order 1-4-5-3-2 takes 49: read."""
        assert makespan_min([self.machines[number] for number in (1, 4, 5, 3, 2)]) == 49

    @pytest.mark.parametrize(("jobs", "least"), [(jobs, 28), (machines, 49)])
    def test_no_other_order_is_shorter(self, jobs, least):
        """Johnson 1954: the rule's order is the best; all orders, arithmetic."""
        assert min(map(makespan_min, itertools.permutations(jobs.values()))) == least

    @pytest.mark.parametrize("held", [True, False])
    def test_ten_equal_batches(self, held):
        """13 + 9 · 6 = 67: arithmetic."""
        assert makespan_min([(4, 6, 3)] * 10, held=held) == 67

    def test_holding_unequal_batches_may_take_longer(self):
        """The second waits until 5 for the second machine at 10; the third is through at 20 instead of 16: arithmetic."""
        assert makespan_min([(1, 9), (5, 1), (9, 1)]) == 16
        assert makespan_min([(1, 9), (5, 1), (9, 1)], held=True) == 20

    def test_a_pour_is_such_a_shop(self):
        """The batches of a pour, one hand to a stage."""
        line = plan_batches(10, BatchMinutes(mix=4, place=6, trowel=3), ONE_OF_EACH)

        assert line.end == 67


class TestWorkedJobStudio:
    """The worked job's studio, by hand."""

    def test_batches(self):
        depth = coat_depth_in(1 / 8, 1 / 64, 1)
        each = batch_area_ft2(2, 0.45, depth)
        ribbon = ribbon_length_ft(each, 3)

        assert depth == 0.140625
        assert each == pytest.approx(76.8, abs=SIX)
        assert whole_batches(STUDIO_FT2, 0.08, each) == 7
        assert ribbon == pytest.approx(25.6, abs=SIX)
        assert whole_lengths(18, 3) == 6
        assert whole_lengths(24.5, ribbon) == 1
        assert cycle_min(STUDIO, ONE_OF_EACH) == 10

    def test_held(self):
        line = plan_batches(7, STUDIO, ONE_OF_EACH, second_wait_min=60)

        assert _batch(line, 1) == (0, 5, 5, 13, 13, 23, 83, 92)
        assert _batch(line, 2) == (10, 15, 15, 23, 23, 33, 93, 102)
        assert _batch(line, 7) == (60, 65, 65, 73, 73, 83, 143, 152)

    def test_as_fast_as_hands_allow(self):
        """Batch 7 stood 18 min mixed and 12 min placed."""
        line = plan_batches(7, STUDIO, ONE_OF_EACH, pace="fast", second_wait_min=60)

        assert _batch(line, 7)[:6] == (30, 35, 53, 61, 73, 83)

    def test_edges_and_bay(self):
        """Placing 2 starts at 15, placing 1 ends at 13: 2 min, open time 10. No batch lies beyond the first strip of 7."""
        line = plan_batches(7, STUDIO, ONE_OF_EACH, second_wait_min=60)

        assert pour_checks.first_dry_edge(line, 10) == 0
        assert pour_checks.first_dry_edge(line, 2) == 0
        assert pour_checks.first_dry_edge(line, 1.9) == 2
        assert pour_checks.first_dry_end(line, 10, ribbons=7) == 0
        assert widest_bay_ft(3, 10, 10) == 3

    def test_trowel_hands_and_presence(self):
        """At most 1 trowel hand; mixer and placer 73 min, trowel hand 152: 298 min are 4.966667 h."""
        line = plan_batches(7, STUDIO, ONE_OF_EACH, second_wait_min=60)

        assert peak_trowel_hands(line) == 1
        assert (line.last_placed, line.last_trowelled, line.end) == (73, 83, 152)
        assert presence_h(line) == pytest.approx(4.966667, abs=SIX)

    def test_in_the_heat(self):
        """At 90 °F: factor 0.447658, from 26.859 min, open 4.477 min; batch 1 again at 49.859: 2 hands, 1 there."""
        factor = time_factor(90, 70, 6500)
        line = plan_batches(7, STUDIO, ONE_OF_EACH, second_wait_min=60 * factor)

        assert factor == pytest.approx(0.447658, abs=SIX)
        assert 60 * factor == pytest.approx(26.859, abs=5e-4)
        assert 10 * factor == pytest.approx(4.477, abs=5e-4)
        assert line.second_start[0] == pytest.approx(49.859, abs=5e-4)
        assert line.last_trowelled == 83
        assert peak_trowel_hands(line) == 2
        assert hands_short(2, ONE_OF_EACH.trowel_hands) == 1

    def test_steps(self):
        """Each coat: mix 0–4, place 4–10, first trowel 10–15; 10 + 10 + 15 min are 0.583333 h."""
        line = plan_batches(1, BatchMinutes(mix=4, place=6, trowel=5), ONE_OF_EACH)

        assert _batch(line, 1)[:6] == (0, 4, 4, 10, 10, 15)
        assert line.end == 15
        assert presence_h(line) == pytest.approx(0.583333, abs=SIX)


class TestTwoPeopleInTheHeat:
    """Common practice, no source: at about 90 °F one mixes and places and one trowels, within 2 to 3 min of placing;
    the second trowelling follows 25 to 30 min after the first. The starter data sheet says 60 min at 70 °F."""

    two = Hands(grouping="mix_place", placers=1, trowellers=1)
    wait_min = 60 * time_factor(90, 70, 6500)

    def plan(self, batches, hands=two):
        return plan_batches(batches, STUDIO, hands, second_wait_min=self.wait_min)

    def test_the_second_trowelling_follows_when_they_say(self):
        assert 25 <= self.wait_min <= 30

    @pytest.mark.parametrize("batches", [1, 3, 12])
    def test_the_trowel_follows_the_placing(self, batches):
        assert pour_checks.first_waiting_for_trowel(self.plan(batches), 3) == 0

    def test_a_sample_panel_passes(self):
        """One batch: first trowelling 13–23, second from 49.9: one hand does both."""
        line = self.plan(1)

        assert peak_trowel_hands(line) == self.two.trowel_hands == 1

    def test_a_larger_floor_fails(self):
        """Twelve batches, one every 13 min: the second trowelling of batch 1 (49.9–58.9) meets the first of batch 4 (52–62)."""
        line = self.plan(12)

        assert cycle_min(STUDIO, self.two) == 13
        assert line.trowel_start[3] == 52
        assert peak_trowel_hands(line) == 2
        assert hands_short(2, self.two.trowel_hands) == 1

    def test_one_more_trowel_hand_mends_it(self):
        """Those who mix and place set the pace here, so a hand more changes nothing else."""
        assert more_trowel_hands(lambda hands: self.plan(12, hands), self.two, 8) == 1

    def test_three_batches_are_the_most_for_two(self):
        """The last first trowelling ends at 49, before the first batch wants its second at 49.9."""
        assert peak_trowel_hands(self.plan(3)) == 1
        assert peak_trowel_hands(self.plan(4)) == 2

    def test_a_trowel_hand_that_quickens_the_line_may_not_be_enough(self):
        """One of each at 90 °F: the trowel sets the pace. A hand more lets a batch out every 8 min, and at 53 min batches 5
        and 6 (45–55, 53–63) meet the second trowelling of batch 1 (49.9–58.9): 3, by hand. So the page's one hand short
        is one who only trowels a second time."""
        one_more = Hands(grouping="separate", mixers=1, placers=1, trowellers=2)

        assert cycle_min(STUDIO, one_more) == 8
        assert peak_trowel_hands(self.plan(7, one_more)) == 3
        assert more_trowel_hands(lambda hands: self.plan(7, hands), ONE_OF_EACH, 8) == 2


def _batch(line, number):
    """Return the eight times of one batch."""
    return tuple(
        float(part[number - 1])
        for part in (
            line.mix_start,
            line.mix_end,
            line.place_start,
            line.place_end,
            line.trowel_start,
            line.trowel_end,
            line.second_start,
            line.second_end,
        )
    )
