"""Best crew against an exact enumeration: every split of random pours goes through the batch line as well.

The steady table of the book proposes a split; the batch table then proves it. How often the batch table would have
chosen otherwise is counted here, and printed with ``-s``.
"""

import random
from collections import Counter

import attrs

from sheetgen.engine import pour_checks
from sheetgen.engine.batch_line import plan_batches
from sheetgen.engine.crew import PourToStaff, cheapest_that_passes, crew_cost, crew_wage, steady_crew
from sheetgen.engine.hands import BatchMinutes
from sheetgen.engine.missing import cents, up
from sheetgen.engine.splits import MOST_PEOPLE, SPLITS
from sheetgen.engine.trowel_hands import peak_trowel_hands, presence_h

POURS = 150
HELPER, FINISHER = 31.408, 41.044


def test_how_often_the_choice_differs(record_property):
    counted = Counter()
    for seed in range(POURS):
        pour, ribbons = _random_pour(seed)
        steady = [steady_crew(pour, split) for split in SPLITS]
        exact = [_exact(pour, ribbons, split) for split in SPLITS]
        wages = [crew_wage(split, HELPER, FINISHER, FINISHER) for split in SPLITS]
        costs = [crew_cost(crew, wage) for crew, wage in zip(steady, wages, strict=True)]
        counted.update(_difference(people, steady, costs, exact, wages) for people in range(1, MOST_PEOPLE + 1))
    total = counted.total() - counted["neither"]
    shares = {name: count / total for name, count in counted.items() if name != "neither"}
    print(f"\nbest crew, {total} choices: " + ", ".join(f"{name} {share:.1%}" for name, share in sorted(shares.items())))
    record_property("best_crew_differs", 1 - shares["same"])

    assert total > POURS
    assert shares["same"] > 0.5
    assert shares["chose one that fails"] < 0.1


def _random_pour(seed):
    """Return a pour of plausible numbers, and its ribbons to a strip."""
    dice = random.Random(seed)
    earliest = dice.uniform(20, 90)
    minutes = BatchMinutes(mix=dice.randint(3, 8), place=dice.randint(4, 12), trowel=dice.randint(5, 15), second=dice.choice((0, 6, 9, 12)))
    width, across = 3.0, float(dice.randint(6, 40))
    ribbons = up(across / width)
    pour = PourToStaff(
        batches=float(dice.randint(1, 30)),
        minutes=minutes,
        width_ft=width,
        bay_across_ft=across,
        strips=0.0,
        working_time_min=dice.uniform(15, 40),
        open_time_min=dice.uniform(5, 40),
        earliest_min=earliest,
        latest_min=earliest + dice.uniform(10, 60),
    )
    return attrs.evolve(pour, strips=up(pour.batches / ribbons)), ribbons


def _exact(pour, ribbons, split):
    """Return whether the batch table passes a split, and the hours of its crew."""
    line = plan_batches(pour.batches, pour.minutes, split, second_wait_min=pour.earliest_min)
    failing = (
        pour_checks.first_past_working_time(line, pour.working_time_min),
        pour_checks.first_dry_edge(line, pour.open_time_min),
        pour_checks.first_dry_end(line, pour.open_time_min, ribbons) if pour.strips > 1 else 0.0,
        float(peak_trowel_hands(line) > split.trowel_hands),
        pour_checks.window_closes(pour.minutes.second, pour.earliest_min, pour.latest_min),
    )
    return not any(failing), presence_h(line)


def _difference(people, steady, costs, exact, wages):
    """Name how the choice of the steady table differs from that of the batch table."""
    chosen = int(cheapest_that_passes(people, steady, costs))
    passing = [
        (cents(hours * wages[at]), at + 1) for at, (passes, hours) in enumerate(exact) if passes and SPLITS[at].crew_size == people
    ]
    if not passing:
        return "chose one that fails" if chosen else "neither"
    if not chosen:
        return "missed one that passes"
    if not exact[chosen - 1][0]:
        return "chose one that fails"
    cheapest = min(passing)[0]
    ours = cents(exact[chosen - 1][1] * wages[chosen - 1])
    return "same" if ours == cheapest else "dearer"
