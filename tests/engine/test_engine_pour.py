"""Pours: what they are made of, each check with the batch it names, and the trowel hands needed at once."""

import math
import random

import pytest

from sheetgen.engine import pour, pour_checks
from sheetgen.engine.batch_line import plan_batches
from sheetgen.engine.hands import ALL, MIX_PLACE, SEPARATE, BatchMinutes, Hands, cycle_min, stage_minutes
from sheetgen.engine.missing import MISSING
from sheetgen.engine.ranges import OutOfRangeError
from sheetgen.engine.trowel_hands import hands_short, more_trowel_hands, peak_trowel_hands, presence_h

MINUTES = BatchMinutes(mix=5, place=8, trowel=10, second=9)
ONE_OF_EACH = Hands(grouping=SEPARATE, mixers=1, placers=1, trowellers=1)


class TestMadeOf:
    def test_only_the_first_coat_fills(self):
        assert [pour.coat_depth_in(0.125, 0.02, coat) for coat in (1, 2, 3)] == [0.145, 0.125, 0.125]

    def test_a_part_batch_counts_as_whole(self):
        assert pour.whole_batches(100, 0, 50) == 2
        assert pour.whole_batches(100.1, 0, 50) == 3
        assert pour.whole_batches(100, 0.1, 55) == 2

    def test_lengths(self):
        assert pour.square_side_ft(49) == 7
        assert pour.ribbon_length_ft(76.8, 3) == pytest.approx(25.6)
        assert pour.whole_lengths(18, 3) == 6
        assert pour.whole_lengths(18.1, 3) == 7

    @pytest.mark.parametrize(("open_min", "cycle", "ribbons"), [(10, 10, 1), (9.9, 10, 1), (0, 10, 1), (20, 10, 2), (10, 10 / 3, 3), (20, 20 / 3, 3), (29, 10, 2)])
    def test_widest_bay(self, open_min, cycle, ribbons):
        """So many ribbons as cycles fit into the open time; one always does."""
        assert pour.widest_bay_ft(3, open_min, cycle) == 3 * ribbons

    def test_widest_bay_is_not_known_without_an_open_time(self):
        assert math.isnan(pour.widest_bay_ft(3, MISSING, 10))
        assert math.isnan(pour.widest_bay_ft(3, 10, 0))

    @pytest.mark.parametrize(
        ("sum_of", "arguments"),
        [
            (pour.batch_area_ft2, (2, 0.45, 0)),
            (pour.whole_batches, (100, 0, 0)),
            (pour.square_side_ft, (-1,)),
            (pour.ribbon_length_ft, (50, 0)),
            (pour.whole_lengths, (18, 0)),
        ],
    )
    def test_out_of_range(self, sum_of, arguments):
        with pytest.raises(OutOfRangeError):
            sum_of(*arguments)


class TestGroups:
    @pytest.mark.parametrize(
        ("grouping", "stages", "size", "trowel_hands"),
        [(SEPARATE, (5, 8, 10), 9, 4), (MIX_PLACE, (0, 13, 10), 7, 4), (ALL, (0, 23, 0), 3, 3)],
    )
    def test_who_does_what(self, grouping, stages, size, trowel_hands):
        hands = Hands(grouping=grouping, mixers=2, placers=3, trowellers=4)

        assert stage_minutes(MINUTES, grouping) == stages
        assert hands.crew_size == size
        assert hands.trowel_hands == trowel_hands
        assert hands.mix_and_place_hands == size - trowel_hands

    @pytest.mark.parametrize(
        ("hands", "cycle"),
        [
            (ONE_OF_EACH, 10),
            (Hands(grouping=SEPARATE, mixers=1, placers=1, trowellers=2), 8),
            (Hands(grouping=SEPARATE, mixers=1, placers=2, trowellers=2), 5),
            (Hands(grouping=MIX_PLACE, placers=1, trowellers=1), 13),
            (Hands(grouping=ALL, placers=3), 23 / 3),
        ],
    )
    def test_cycle(self, hands, cycle):
        assert cycle_min(MINUTES, hands) == pytest.approx(cycle)

    def test_no_work_no_cycle(self):
        assert cycle_min(BatchMinutes(mix=0, place=0, trowel=0), ONE_OF_EACH) == 0


class TestChecks:
    """One of each as fast as hands allow: placing of batch j ends at 13 + 8(j-1), its trowel begins at 13 + 10(j-1)."""

    line = plan_batches(7, MINUTES, ONE_OF_EACH, pace="fast", second_wait_min=60)

    @pytest.mark.parametrize(("limit", "batch"), [(12.9, 1), (13, 2), (15.9, 2), (16, 3), (30.9, 7), (31, 0)])
    def test_working_time(self, limit, batch):
        """Batch j is placed 13 + 3(j-1) min after its mixing begins."""
        assert pour_checks.first_past_working_time(self.line, limit) == batch

    @pytest.mark.parametrize(("limit", "batch"), [(0, 2), (2, 3), (3, 3), (11.9, 7), (12, 0)])
    def test_wait_for_the_trowel(self, limit, batch):
        """Batch j waits 2(j-1) min."""
        assert pour_checks.first_waiting_for_trowel(self.line, limit) == batch

    def test_long_side(self):
        """Placed without a gap."""
        assert pour_checks.first_dry_edge(self.line, 0) == 0

    @pytest.mark.parametrize(("ribbons", "limit", "batch"), [(1, 0, 0), (3, 16, 0), (3, 15.9, 4), (6, 39.9, 7), (6, 40, 0), (7, 1, 0), (9, 1, 0)])
    def test_ends(self, ribbons, limit, batch):
        """Batch j begins 8(n-1) min after batch j-n ends."""
        assert pour_checks.first_dry_end(self.line, limit, ribbons) == batch

    def test_without_a_limit_nothing_is_known(self):
        assert all(
            math.isnan(check)
            for check in (
                pour_checks.first_past_working_time(self.line, MISSING),
                pour_checks.first_waiting_for_trowel(self.line, MISSING),
                pour_checks.first_dry_edge(self.line, MISSING),
                pour_checks.first_dry_end(self.line, MISSING, 3),
                pour_checks.window_closes(9, 60, MISSING),
                pour_checks.window_closes(9, MISSING, 90),
                pour_checks.ends_late(MISSING, 1000),
            )
        )

    @pytest.mark.parametrize(("window", "closes"), [((9, 60, 69), 0), ((9, 60, 68.9), 1), ((0, MISSING, MISSING), 0)])
    def test_window(self, window, closes):
        assert pour_checks.window_closes(*window) == closes

    @pytest.mark.parametrize(("end", "late"), [(1080, 0), (1080.0000004, 0), (1080.1, 1)])
    def test_daylight(self, end, late):
        assert pour_checks.ends_late(end, 1080) == late


class TestTrowelHands:
    def test_counted_at_each_moment(self):
        """Against the count at every minute, over pours one after the other; whole minutes."""
        for seed in range(60):
            lines = _random_job(seed)
            last = int(max(line.end for line in lines)) + 1
            busy = [sum(_busy(line, minute) for line in lines) for minute in range(last)]

            assert max(peak_trowel_hands(line, lines) for line in lines) == max(busy), f"job {seed}"

    def test_the_second_trowelling_of_one_pour_meets_the_first_of_the_next(self):
        """Pour 1 ends its first trowelling at 23 and trowels again 53–62; pour 2 opens at 40 and trowels 53–63."""
        first = plan_batches(1, MINUTES, ONE_OF_EACH, second_wait_min=30)
        second = plan_batches(1, MINUTES, ONE_OF_EACH, opening_min=40, second_wait_min=30)

        assert peak_trowel_hands(first) == peak_trowel_hands(second) == 1
        assert peak_trowel_hands(first, (first, second)) == peak_trowel_hands(second, (first, second)) == 2

    def test_what_ends_at_a_moment_needs_nobody_then(self):
        """Second trowelling 30–39 of batch 1, first trowelling of batch 2 from 39."""
        first = plan_batches(1, MINUTES, ONE_OF_EACH, second_wait_min=7)
        second = plan_batches(1, MINUTES, ONE_OF_EACH, opening_min=26, second_wait_min=7)

        assert first.second_end[0] == second.trowel_start[0] == 39
        assert peak_trowel_hands(second, (first, second)) == 1

    def test_who_does_everything_is_taken_from_the_mixing_on(self):
        """One person, two pours: the second trowelling 60–69 of the first meets the mixing from 62 of the other, done by 85."""
        alone = Hands(grouping=ALL, placers=1)
        first = plan_batches(1, MINUTES, alone, second_wait_min=37)
        second = plan_batches(1, MINUTES, alone, opening_min=62, second_wait_min=60)

        assert second.trowel_start[0] == 75
        assert peak_trowel_hands(second, (first, second)) == 2

    def test_short(self):
        assert hands_short(2, 1) == 1
        assert hands_short(1, 2) == 0
        assert math.isnan(hands_short(MISSING, 1))

    def test_a_second_trowelling_of_unknown_time_has_no_peak(self):
        assert math.isnan(peak_trowel_hands(plan_batches(3, MINUTES, ONE_OF_EACH, second_wait_min=MISSING)))

    def test_no_batches_need_nobody(self):
        assert peak_trowel_hands(plan_batches(0, MINUTES, ONE_OF_EACH)) == 0

    def test_enough_is_enough(self):
        assert more_trowel_hands(lambda hands: plan_batches(7, MINUTES, hands, second_wait_min=60), ONE_OF_EACH, 3) == 0

    def test_those_who_do_everything_are_more_of_the_same(self):
        """One person, 2 batches, 23 min each, second trowelling 5 min after: batch 1 again 28–37, while batch 2 lasts until 46."""
        alone = Hands(grouping=ALL, placers=1)

        assert more_trowel_hands(lambda hands: plan_batches(2, MINUTES, hands, second_wait_min=5), alone, 3) == 1

    def test_not_mended(self):
        alone = Hands(grouping=ALL, placers=1)

        assert math.isnan(more_trowel_hands(lambda hands: plan_batches(2, MINUTES, hands, second_wait_min=5), alone, 0))

    @pytest.mark.parametrize(
        ("hands", "hours"),
        [
            (ONE_OF_EACH, (2 * 73 + 152) / 60),
            (Hands(grouping=MIX_PLACE, placers=2, trowellers=1), (2 * 73 + 152) / 60),
            (Hands(grouping=ALL, placers=7), 7 * 92 / 60),
        ],
    )
    def test_presence(self, hands, hours):
        """Seven batches. Mixing and placing joined, two people: 13 min each, in pairs, but the trowel of 10 min holds them;
        all joined, seven people: 23 min, second trowelling until 92."""
        line = plan_batches(7, MINUTES, hands, second_wait_min=60)

        assert presence_h(line) == pytest.approx(hours)


def _random_job(seed):
    dice = random.Random(seed)
    lines, free = [], 0
    for _ in range(dice.randint(1, 4)):
        minutes = BatchMinutes(**{part: dice.randint(1, 12) for part in ("mix", "place", "trowel", "second")})
        hands = Hands(
            grouping=dice.choice((SEPARATE, MIX_PLACE, ALL)), mixers=dice.randint(1, 3), placers=dice.randint(1, 3), trowellers=dice.randint(1, 3)
        )
        opening = free + dice.choice((0, 0, 7))
        lines.append(plan_batches(dice.randint(1, 9), minutes, hands, opening_min=opening, second_wait_min=dice.randint(1, 60)))
        free = lines[-1].last_trowelled
    return lines


def _busy(line, minute):
    pairs = [*zip(line.busy_from, line.busy_to, strict=True), *zip(line.second_start, line.second_end, strict=True)]
    return sum(begins <= minute < ends for begins, ends in pairs)
