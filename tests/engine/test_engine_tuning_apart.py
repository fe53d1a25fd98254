"""Set-up and rate fitted apart, and the back-test: against SciPy and against doing it row by row."""

from __future__ import annotations

import math

import attrs
import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from past_jobs import drawn
from scipy.optimize import nnls

from sheetgen.engine.tuning import apart, backtest, recommend, tuned
from sheetgen.engine.tuning.apart import Sides
from sheetgen.engine.tuning.backtest import errors
from sheetgen.engine.tuning.fitted import factors, fit
from sheetgen.engine.tuning.groups import Groups
from sheetgen.engine.tuning.past import Past
from sheetgen.engine.tuning.ranges import next_spread

seeds = st.integers(0, 10**6)


def two_sided(seed, jobs=30, *, set_up=2.0, rest=0.8, spread=0.1):
    """Return jobs of one task whose set-up takes `set_up` times, and whose rest takes `rest` times, what was reckoned."""
    dice = np.random.default_rng(seed)
    mine, other = np.full(jobs, 1.0), dice.uniform(0.3, 9.0, jobs)
    actual = (set_up * mine + rest * other) * np.exp(spread * dice.normal(size=jobs))
    return Past(job=np.arange(jobs), task=np.zeros(jobs), actual=actual, reckoned=mine + other, set_up=mine, jobs=jobs, tasks=1)


class TestFit:
    @given(seeds)
    @settings(max_examples=60, deadline=None)
    def test_is_that_of_scipy(self, seed):
        dice = np.random.default_rng(seed)
        part, weight = dice.uniform(0, 1, 12), dice.uniform(0.2, 1, 12)
        # Factors around 0, so that either may come out below it.
        ratio = np.maximum(dice.normal(0.1, 1) * part + dice.normal(0.1, 1) * (1 - part) + 0.3 * dice.normal(size=12), 1e-3)
        found = apart.fit(part, ratio, weight, Groups(np.zeros(12, dtype=int), 1))
        root = np.sqrt(weight)
        wanted, _ = nnls(np.column_stack([part, 1 - part]) * root[:, np.newaxis], ratio * root)

        assert (found.set_up[0], found.rest[0]) == pytest.approx(tuple(wanted), abs=1e-8)

    def test_parts_that_are_all_equal_give_the_mean_twice(self):
        found = apart.fit(np.full(9, 0.3), np.linspace(0.8, 1.2, 9), np.ones(9), Groups(np.zeros(9, dtype=int), 1))

        assert (found.set_up[0], found.rest[0]) == pytest.approx((1.0, 1.0))

    @given(seeds)
    @settings(max_examples=20, deadline=None)
    def test_left_out_is_a_fit_without_the_row(self, seed):
        past = two_sided(seed, jobs=9, spread=0.3)
        weight = np.random.default_rng(seed).uniform(0.3, 1, 9)
        found = apart.left_out(past, Groups(past.task, 1), weight)
        part, ratio = past.set_up / past.reckoned, past.actual / past.reckoned

        for row in (0, 4, 8):
            rest = np.arange(9) != row
            sides = apart.fit(part[rest], ratio[rest], weight[rest], Groups(np.zeros(8, dtype=int), 1))
            fitted = sides.set_up * part[row] + sides.rest * (1 - part[row])
            assert found[row] == pytest.approx(np.log(ratio[row] / fitted[0]))


class TestTwoSides:
    def test_are_told_apart_where_they_differ(self):
        found = tuned.tune(two_sided(1))

        assert found.apart[0]
        assert (found.set_up[0], found.rest[0]) == pytest.approx((2.0, 0.8), rel=0.15)

    def test_are_one_where_they_do_not(self):
        kept = [tuned.tune(two_sided(seed, set_up=1.3, rest=1.3)).apart[0] for seed in range(40)]

        assert sum(kept) <= 4

    def test_all_work_is_never_set_up(self):
        """Jobs that take the same whatever their size would leave no rate."""
        past = two_sided(1, rest=0.0001, set_up=3.0, spread=0.05)

        assert tuned.tune(past).rest[0] > 0.05

    def test_fewer_than_eight_jobs_are_not_parted(self):
        assert not tuned.tune(two_sided(1, jobs=7)).apart[0]

    def test_jobs_of_one_size_are_not_parted(self):
        past = two_sided(1)
        alike = attrs.evolve(past, set_up=0.2 * past.reckoned)

        assert not tuned.tune(alike).apart[0]

    def test_what_is_sure_to_differ_is_to_be_changed_though_the_middle_is_right(self):
        """Set-up twice, the rest less, so that a middle job takes what was reckoned."""
        past = two_sided(3, jobs=40, set_up=2.0, rest=0.78)
        found = tuned.tune(past)
        codes, _ = recommend.recommend(tuned.evidence(found, tuned.tested(past, found)))

        assert found.fitted.moves.move[0][0] == pytest.approx(0, abs=0.12)
        assert codes == ("change",)

    @given(st.floats(0.3, 3), st.floats(0.3, 3), st.floats(0.01, 50))
    @settings(max_examples=30, deadline=None)
    def test_drawn_together_by_how_unsure_it_is(self, set_up, rest, strength):
        """1 - 1/strength² of the difference is kept, none where that is below 0."""
        sides = Sides(np.array([set_up]), np.array([rest]))
        found = apart.drawn_together(sides, np.zeros(1), np.zeros(1), np.array([strength]))
        kept = max(0.0, 1 - 1 / strength**2)

        assert found.set_up[0] - found.rest[0] == pytest.approx(kept * (set_up - rest), abs=1e-9)


class TestBacktest:
    @pytest.mark.parametrize("jobs", [5, 11])
    def test_is_tuning_without_the_job(self, jobs):
        past = drawn(4, jobs=jobs, move=[0.3, -0.3, 0, 0, 0.1, 0])
        found = tuned.tune(past)
        test = tuned.tested(past, found)

        for job in (0, jobs - 1):
            others, mine = past.only(past.job != job), past.job == job
            again = fit(others, Groups(np.zeros(len(others), dtype=int), 1))
            sides = factors(others, again, found.apart)
            task = past.task[mine]
            wanted = sides.set_up[0][task] * past.set_up[mine] + sides.rest[0][task] * (past.reckoned - past.set_up)[mine]
            assert test.predicted[mine] == pytest.approx(wanted)
            wide = next_spread(again.spreads.used, again.moves.doubt, again.spreads.degrees)[0][task]
            inside = np.abs(np.log(past.actual[mine] / wanted)) <= 1.2815515655 * wide
            assert inside.mean() == pytest.approx(_inside_of(test, past, mine, wide), abs=1e-12)

    def test_many_jobs_are_left_out_some_at_a_time(self, monkeypatch):
        """What is held does not grow with the jobs: the same figures come of small bites."""
        past = drawn(4, jobs=30)
        found = tuned.tune(past)
        whole = tuned.tested(past, found)
        monkeypatch.setattr(backtest, "_ROWS_AT_ONCE", 500)
        bites = tuned.tested(past, found)

        assert bites.predicted == pytest.approx(whole.predicted)
        assert bites.total_inside == whole.total_inside

    def test_beyond_the_most_folds_no_job_predicts_itself(self, monkeypatch):
        monkeypatch.setattr(backtest, "MOST_FOLDS", 5)
        past = drawn(4, jobs=12, tasks=2, spread=0.05)
        actual = past.actual.copy()
        actual[past.job == 7] *= 3
        moved = attrs.evolve(past, actual=actual)
        rows = past.job == 7

        one, other = (tuned.tested(p, tuned.tune(p)) for p in (past, moved))
        assert other.predicted[rows] == pytest.approx(one.predicted[rows])

    def test_errors_by_hand(self):
        """Twice and half what was predicted: off by ln 2 either way, on average neither too long nor too short."""
        found = errors(np.array([2.0, 1.0]), np.array([1.0, 2.0]), Groups(np.zeros(2, dtype=int), 1))

        assert (found.jobs[0], found.error[0], found.bias[0]) == pytest.approx((2, math.log(2), 0))

    def test_rates_that_are_wrong_predict_better_when_tuned(self):
        past = drawn(8, jobs=15, move=[0.5, -0.4, 0.3, 0, 0.4, 0.5])
        test = tuned.tested(past, tuned.tune(past))

        assert test.total_after.error[0] < test.total_before.error[0]
        assert abs(test.total_after.bias[0]) < abs(test.total_before.bias[0])
        assert test.job_actual == pytest.approx(Groups(past.job, 15).sum(past.actual))


def _inside_of(test, past, mine, wide):
    return float((np.abs(np.log(past.actual[mine] / test.predicted[mine])) <= 1.2815515655 * wide).mean())
