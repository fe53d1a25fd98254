"""The batch line against a simulation: SimPy plays 300 random pours with hands side by side, in both paces.

The simulation knows nothing of the recurrence. Where the pace is fast, each batch queues for the next hand that is
free. Where it is held, a foreman looks into a calendar of who is promised when, minute after minute, and lets the next
mix begin in the first minute from which the batch goes through without standing.
"""

import random

import attrs
import pytest
import simpy

from sheetgen.engine.batch_line import plan_batches
from sheetgen.engine.flow import Stage, makespan_min, run
from sheetgen.engine.hands import ALL, MIX_PLACE, SEPARATE, BatchMinutes, Hands
from sheetgen.engine.ranges import OutOfRangeError

SEEDS = range(300)


@attrs.frozen
class RandomPour:
    batches: int
    minutes: BatchMinutes
    hands: Hands
    opening: int

    def groups(self):
        """Return for each group its hands and the parts it does."""
        mix, place, trowel = ((part, int(getattr(self.minutes, part))) for part in ("mix", "place", "trowel"))
        if self.hands.grouping == ALL:
            return [(int(self.hands.placers), [mix, place, trowel])]
        if self.hands.grouping == MIX_PLACE:
            return [(int(self.hands.placers), [mix, place]), (int(self.hands.trowellers), [trowel])]
        return [(int(self.hands.mixers), [mix]), (int(self.hands.placers), [place]), (int(self.hands.trowellers), [trowel])]


def random_pour(seed):
    dice = random.Random(seed)
    grouping = dice.choice((SEPARATE, SEPARATE, MIX_PLACE, ALL))
    minutes = [dice.randint(1, 15) for _ in range(3)]
    if dice.random() < 0.15:
        minutes[dice.randrange(3)] = 0
    hands = Hands(grouping=grouping, mixers=dice.randint(1, 4), placers=dice.randint(1, 4), trowellers=dice.randint(1, 4))
    return RandomPour(dice.randint(1, 20), BatchMinutes(**dict(zip(("mix", "place", "trowel"), minutes, strict=True))), hands, dice.randint(0, 600))


def through_the_stages(env, groups, seen):
    """Take one batch through all groups, waiting for a hand of each; nobody is kept for no work."""
    for hands, parts in groups:
        if sum(minutes for _, minutes in parts) == 0:
            for name, _ in parts:
                seen[name] = (env.now, env.now)
            continue
        with hands.request() as turn:
            yield turn
            for name, minutes in parts:
                begun = env.now
                yield env.timeout(minutes)
                seen[name] = (begun, env.now)


def simulated_fast(pour):
    env = simpy.Environment(pour.opening)
    groups = [(simpy.Resource(env, capacity=hands), parts) for hands, parts in pour.groups()]
    batches = [{} for _ in range(pour.batches)]
    for seen in batches:
        env.process(through_the_stages(env, groups, seen))
    env.run()
    return batches


def simulated_held(pour):
    env = simpy.Environment(pour.opening)
    groups = [(simpy.Resource(env, capacity=hands), parts) for hands, parts in pour.groups()]
    promised = [{} for _ in groups]  # for each group, minute: hands promised
    batches = [{} for _ in range(pour.batches)]

    def wanted(now):
        for (hands, parts), book in zip(groups, promised, strict=True):
            until = now + sum(minutes for _, minutes in parts)
            yield hands.capacity, book, range(now, until)
            now = until

    def foreman():
        for seen in batches:
            while any(book.get(minute, 0) >= hands for hands, book, span in wanted(env.now) for minute in span):
                yield env.timeout(1)
            for _, book, span in wanted(env.now):
                for minute in span:
                    book[minute] = book.get(minute, 0) + 1
            env.process(through_the_stages(env, groups, seen))

    env.process(foreman())
    env.run()
    return batches


def planned(pour, pace):
    line = plan_batches(pour.batches, pour.minutes, pour.hands, pace=pace, opening_min=pour.opening)
    return [
        {part: (getattr(line, f"{part}_start")[at], getattr(line, f"{part}_end")[at]) for part in ("mix", "place", "trowel")}
        for at in range(pour.batches)
    ]


@pytest.mark.parametrize(("pace", "simulated"), [("fast", simulated_fast), ("held", simulated_held)])
def test_300_random_pours(pace, simulated):
    for seed in SEEDS:
        pour = random_pour(seed)

        assert planned(pour, pace) == simulated(pour), f"pour {seed}"


def test_the_random_pours_are_of_every_kind():
    pours = [random_pour(seed) for seed in SEEDS]

    assert {pour.hands.grouping for pour in pours} == {SEPARATE, MIX_PLACE, ALL}
    assert sum(planned(pour, "fast") != planned(pour, "held") for pour in pours) > 100
    assert {max(pour.hands.counts) for pour in pours} >= {2, 3, 4}


def test_a_held_batch_never_stands():
    for seed in SEEDS:
        pour = random_pour(seed)
        line = plan_batches(pour.batches, pour.minutes, pour.hands, opening_min=pour.opening)

        assert (line.mix_end == line.place_start).all()
        assert (line.place_end == line.trowel_start).all()


def test_every_time_has_six_places():
    """A third of a minute, a thousand batches on: no drift, and nothing beyond the sixth place."""
    minutes = BatchMinutes(mix=1 / 3, place=2 / 3, trowel=1 / 7)
    line = plan_batches(1000, minutes, Hands(grouping=SEPARATE, mixers=1, placers=1, trowellers=1), opening_min=100 / 3)

    assert line.opening == 33.333333
    assert line.place_start[0] == 33.666666
    assert line.place_start[999] == pytest.approx(33.666666 + 999 * 0.666667, abs=1e-9)
    assert all(round(float(one), 6) == one for one in line.trowel_end)


def test_nobody_is_wanted_for_a_stage_without_minutes():
    line = plan_batches(3, BatchMinutes(mix=0, place=6, trowel=5), Hands(grouping=SEPARATE, placers=1, trowellers=1))

    assert tuple(line.mix_start) == tuple(line.mix_end) == tuple(line.place_start) == (0, 6, 12)


def test_nothing_but_its_opening_stands_before_a_pour():
    line = plan_batches(2, BatchMinutes(mix=5, place=8, trowel=10), Hands(grouping=ALL, placers=2), opening_min=480)

    assert tuple(line.mix_start) == (480, 480)
    assert tuple(line.busy_from) == tuple(line.mix_start)
    assert tuple(line.busy_to) == tuple(line.trowel_end) == (503, 503)


def test_a_second_trowelling_of_unknown_time_leaves_no_end():
    line = plan_batches(2, BatchMinutes(mix=5, place=8, trowel=10, second=9), Hands(grouping=ALL, placers=2), second_wait_min=float("nan"))

    assert line.end != line.end
    assert line.last_trowelled == 23


def test_no_batches():
    line = plan_batches(0, BatchMinutes(mix=5, place=8, trowel=10), Hands(grouping=ALL, placers=2), opening_min=480)

    assert line.end == line.last_placed == line.last_trowelled == 480


@pytest.mark.parametrize(
    "hands",
    [
        Hands(grouping=SEPARATE, placers=1, trowellers=1),
        Hands(grouping=SEPARATE, mixers=1, trowellers=1),
        Hands(grouping=MIX_PLACE, mixers=1, placers=1),
        Hands(grouping=ALL, mixers=1, trowellers=1),
        Hands(grouping=ALL, placers=0.5),
    ],
)
def test_a_group_with_work_wants_hands(hands):
    with pytest.raises(OutOfRangeError, match="where there is work"):
        plan_batches(2, BatchMinutes(mix=5, place=8, trowel=10), hands)


@pytest.mark.parametrize("minutes", [{"mix": -1}, {"place": -1}, {"trowel": -1}, {"second": -1}])
def test_time_does_not_run_backwards(minutes):
    with pytest.raises(OutOfRangeError, match="0 or more"):
        BatchMinutes(**{"mix": 5, "place": 8, "trowel": 10, **minutes})


def test_there_is_no_other_grouping():
    with pytest.raises(ValueError, match="grouping"):
        Hands(grouping="place_trowel", placers=1)


@pytest.mark.parametrize("minutes", [[], [()], [(3, -1)]])
def test_a_flow_shop_wants_batches_and_stages(minutes):
    with pytest.raises(OutOfRangeError):
        makespan_min(minutes)


def test_no_stages():
    assert run([], 0, held=True) == []
    assert run([Stage(1, [])], 0, held=False) == [[]]
