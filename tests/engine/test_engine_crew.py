"""Best crew: the splits, the steady form by hand, what fails, and the choice."""

import math
from collections import Counter

import attrs
import pytest

from sheetgen.engine.crew import (
    BAY_TOO_WIDE,
    SECOND_WINDOW,
    TROWEL_HANDS,
    WET_EDGE,
    WORKING_TIME,
    PourToStaff,
    cheapest_that_passes,
    crew_cost,
    crew_wage,
    steady_crew,
)
from sheetgen.engine.hands import ALL, MIX_PLACE, SEPARATE, BatchMinutes, Hands
from sheetgen.engine.missing import MISSING, cents
from sheetgen.engine.splits import SPLITS, splits_of

ONE_OF_EACH = Hands(grouping=SEPARATE, mixers=1, placers=1, trowellers=1)
# The worked job's studio.
STUDIO = PourToStaff(
    batches=7,
    minutes=BatchMinutes(mix=5, place=8, trowel=10, second=9),
    width_ft=3,
    bay_across_ft=18,
    strips=1,
    working_time_min=30,
    open_time_min=10,
    earliest_min=60,
    latest_min=120,
)
HELPER, FINISHER = 31.408, 41.044


class TestSplits:
    def test_how_many(self):
        """One together, n - 1 of mixing and placing joined, (n - 1)(n - 2)/2 apart: 92 for one to eight people."""
        assert [len(splits_of(people)) for people in range(1, 9)] == [1 + n - 1 + (n - 1) * (n - 2) // 2 for n in range(1, 9)]
        assert len(SPLITS) == 92

    def test_three_people(self):
        assert [(one.grouping, one.mixers, one.placers, one.trowellers) for one in splits_of(3)] == [
            (ALL, 0, 3, 0),
            (MIX_PLACE, 0, 1, 2),
            (MIX_PLACE, 0, 2, 1),
            (SEPARATE, 1, 1, 1),
        ]

    def test_each_once_with_all_its_people(self):
        assert len({(one.grouping, one.counts) for one in SPLITS}) == 92
        assert Counter(one.crew_size for one in SPLITS) == {n: len(splits_of(n)) for n in range(1, 9)}


class TestSteadyForm:
    def test_one_of_each(self):
        """Cycle 10; 23 + 6 · 10 = 83; placed after 13; a ribbon meets the one before 2 min after; a ribbon is the widest bay.
        Second trowelling: one hand every 10 min; the first begins it when the others are still at 6 · 10 = 60 min: not before."""
        crew = steady_crew(STUDIO, ONE_OF_EACH)

        assert (crew.cycle, crew.time_at_most, crew.working, crew.edge, crew.bay) == (10, 83, 13, 2, 3)
        assert (crew.second_hands, crew.trowel_needed, crew.fails) == (1, 1, 0)

    def test_hours_there(self):
        """Mixer and placer 13 + 60 min, trowel hand 83 + 60 + 9: the worked job's 298 min."""
        assert steady_crew(STUDIO, ONE_OF_EACH).present_h == pytest.approx(298 / 60)

    def test_everybody_does_everything(self):
        """Two people, 23 min a batch: cycle 11.5; both stay until the second trowelling is done: 23 + 69 + 69 min."""
        crew = steady_crew(STUDIO, Hands(grouping=ALL, placers=2))

        assert (crew.cycle, crew.time_at_most, crew.working, crew.edge) == (11.5, 92, 13, 3.5)
        assert crew.trowel_needed == 3  # two at work, and one again: 69 > 60
        assert crew.present_h == pytest.approx(2 * (92 + 69) / 60)

    def test_one_batch_more_overlaps(self):
        """The eighth batch is trowelled for the first time after the first is due again."""
        crew = steady_crew(attrs.evolve(STUDIO, batches=8), ONE_OF_EACH)

        assert crew.trowel_needed == 2
        assert crew.fails == TROWEL_HANDS

    def test_without_second_trowelling(self):
        pour = attrs.evolve(STUDIO, minutes=attrs.evolve(STUDIO.minutes, second=0), earliest_min=MISSING, latest_min=MISSING)
        crew = steady_crew(pour, ONE_OF_EACH)

        assert (crew.second_hands, crew.trowel_needed, crew.fails) == (0, 1, 0)
        assert crew.present_h == pytest.approx((73 + 73 + 83) / 60)

    @pytest.mark.parametrize(
        ("changes", "fails"),
        [
            ({"working_time_min": 12.9}, WORKING_TIME),
            ({"open_time_min": 1.9}, WET_EDGE),
            ({"strips": 2}, BAY_TOO_WIDE),
            ({"strips": 2, "bay_across_ft": 3}, 0),
            ({"strips": 2, "bay_across_ft": 6, "open_time_min": 20}, 0),
            ({"earliest_min": 59}, TROWEL_HANDS),
            ({"latest_min": 68}, SECOND_WINDOW),
            ({"working_time_min": 12.9, "open_time_min": 1.9, "latest_min": 68}, WORKING_TIME),
            ({"working_time_min": MISSING, "open_time_min": MISSING, "latest_min": MISSING, "strips": 2}, 0),
            ({"earliest_min": MISSING}, TROWEL_HANDS),
        ],
    )
    def test_fails_by(self, changes, fails):
        """The first that applies; a limit that is not known does not fail, a wait that is not known is taken as none."""
        assert steady_crew(attrs.evolve(STUDIO, **changes), ONE_OF_EACH).fails == fails


class TestCost:
    def test_wage(self):
        """(31.408 + 2 · 41.044) / 3, as the worked job's waiting."""
        assert crew_wage(ONE_OF_EACH, HELPER, FINISHER, FINISHER) == pytest.approx(113.496 / 3)

    @pytest.mark.parametrize(
        ("hands", "wage"),
        [
            (Hands(grouping=MIX_PLACE, placers=2, trowellers=1), (2 * 40 + 50) / 3),
            (Hands(grouping=ALL, placers=4), 40),
            (Hands(grouping=SEPARATE, mixers=3, placers=2, trowellers=1), (3 * 30 + 2 * 40 + 50) / 6),
        ],
    )
    def test_those_who_place_and_mix_are_paid_as_placers(self, hands, wage):
        assert crew_wage(hands, 30, 40, 50) == pytest.approx(wage)

    def test_a_wage_that_is_not_needed_may_be_missing(self):
        assert crew_wage(Hands(grouping=ALL, placers=2), MISSING, 40, MISSING) == 40
        assert crew_wage(Hands(grouping=SEPARATE, placers=1, trowellers=1), MISSING, 40, 50) == 45
        assert math.isnan(crew_wage(ONE_OF_EACH, MISSING, 40, 50))

    def test_cost(self):
        assert crew_cost(steady_crew(STUDIO, ONE_OF_EACH), 113.496 / 3) == cents(298 / 60 * 113.496 / 3)


class TestChoice:
    def test_the_cheapest_of_those_that_pass(self):
        """Three people at the studio: together and with two trowel hands they would need more of them; 1-1-1 passes."""
        crews = [steady_crew(STUDIO, split) for split in SPLITS]
        costs = [crew_cost(crew, 40) for crew in crews]
        best = cheapest_that_passes(3, crews, costs)
        passing = [at for at, crew in enumerate(crews) if crew.hands.crew_size == 3 and crew.fails == 0]

        assert SPLITS[int(best) - 1] in {SPLITS[at] for at in passing}
        assert costs[int(best) - 1] == min(costs[at] for at in passing)

    def test_the_first_of_equals(self):
        crews = [steady_crew(STUDIO, split) for split in SPLITS]

        assert cheapest_that_passes(3, crews, [5.0] * len(crews)) == min(
            at + 1 for at, crew in enumerate(crews) if crew.hands.crew_size == 3 and crew.fails == 0
        )

    def test_none(self):
        crews = [steady_crew(attrs.evolve(STUDIO, working_time_min=1), split) for split in SPLITS]

        assert cheapest_that_passes(3, crews, [5.0] * len(crews)) == 0

    def test_without_a_cost_there_is_no_choice(self):
        crews = [steady_crew(STUDIO, split) for split in SPLITS]

        assert cheapest_that_passes(3, crews, [MISSING] * len(crews)) == 0
