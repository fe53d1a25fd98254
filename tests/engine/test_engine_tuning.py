"""Tuning: rules that hold for any past work, and what a few rows must give."""

from __future__ import annotations

import math

import attrs
import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from past_jobs import drawn, of_ratios

from sheetgen.engine.ranges import OutOfRangeError
from sheetgen.engine.tuning import ages, holm, recommend, tuned
from sheetgen.engine.tuning.groups import Groups
from sheetgen.engine.tuning.huber import LOSS, huber
from sheetgen.engine.tuning.job_wide import job_wide, with_starter
from sheetgen.engine.tuning.past import Past
from sheetgen.engine.tuning.shrink import between_tasks, shrunk
from sheetgen.engine.tuning.spreads import steady

FIGURES = ("jobs", "centre", "spread", "used_spread", "own_spread", "set_up", "rest", "chances", "p50", "p80")
seeds = st.integers(0, 10**6)


def advice(past):
    found = tuned.tune(past)
    return recommend.recommend(tuned.evidence(found, tuned.tested(past, found)))[0]


def same(one, other, *names):
    for name in names or FIGURES:
        np.testing.assert_allclose(getattr(one, name), getattr(other, name), rtol=1e-7, atol=1e-9, err_msg=name)


class TestTable:
    @pytest.mark.parametrize(
        ("name", "wrong"), [("actual", 0.0), ("actual", math.nan), ("reckoned", -1.0), ("weight", 0.0), ("set_up", 9.0), ("set_up", -0.1)]
    )
    def test_a_figure_out_of_range_is_refused(self, name, wrong):
        """What is not known has no place in the table: it is never taken for zero."""
        past = of_ratios(1.0, 1.1)
        column = getattr(past, name).copy()
        column[1] = wrong

        with pytest.raises(OutOfRangeError, match=name):
            attrs.evolve(past, **{name: column})

    @pytest.mark.parametrize("name", ["job", "task"])
    def test_a_number_of_no_job_or_task_is_refused(self, name):
        with pytest.raises(OutOfRangeError, match=name):
            attrs.evolve(of_ratios(1.0, 1.1), **{name: [0, 5]})


class TestGroups:
    @given(seeds)
    @settings(max_examples=30, deadline=None)
    def test_quantiles_and_sums_are_those_of_each_group(self, seed):
        dice = np.random.default_rng(seed)
        rows, of_row = dice.normal(size=40), dice.integers(0, 7, 40)
        groups = Groups(of_row, 8)

        for number in range(8):
            mine = rows[of_row == number]
            assert groups.sum(rows)[number] == pytest.approx(mine.sum())
            for share, found in zip((0.1, 0.5, 0.9), groups.quantiles(rows, 0.1, 0.5, 0.9), strict=True):
                assert math.isnan(found[number]) if not len(mine) else found[number] == pytest.approx(np.quantile(mine, share))


class TestCentreAndSpread:
    def test_a_task_without_jobs_or_with_one(self):
        found = huber(np.array([0.3]), Groups(np.array([1]), 2))

        assert math.isnan(found.centre[0])
        assert found.centre[1] == 0.3
        assert np.isnan(found.spread).all()
        assert list(found.size) == [0, 1]

    def test_rows_that_are_all_equal_have_no_spread(self):
        found = huber(np.full(5, 0.1), Groups(np.zeros(5, dtype=int), 1))

        assert (found.centre[0], found.spread[0]) == (0.1, 0.0)

    def test_half_of_the_rows_equal_is_not_all_of_them(self):
        """The median deviation is 0 there, and the spread is not."""
        found = huber(np.array([0.0, 0.0, 0.0, 0.4]), Groups(np.zeros(4, dtype=int), 1))

        assert found.spread[0] > 0.1

    @given(seeds, st.floats(0.1, 5), st.floats(-3, 3))
    @settings(max_examples=30, deadline=None)
    def test_follows_shift_and_scale(self, seed, scale, shift):
        rows = np.random.default_rng(seed).standard_t(2, size=15)
        groups = Groups(np.zeros(15, dtype=int), 1)
        one, other = huber(rows, groups), huber(scale * rows + shift, groups)

        assert other.centre[0] == pytest.approx(scale * one.centre[0] + shift, abs=1e-6 * scale)
        assert other.spread[0] == pytest.approx(scale * one.spread[0], rel=1e-6)

    def test_settles_where_the_equations_hold(self):
        """Mean of the rows drawn in is the centre, whatever the rows."""
        rows = np.random.default_rng(4).standard_cauchy(200)
        found = huber(rows, Groups(np.zeros(200, dtype=int), 1))
        inside = np.clip(rows, found.centre - 1.5 * found.spread, found.centre + 1.5 * found.spread)

        assert inside.mean() == pytest.approx(found.centre[0], abs=1e-6)
        assert inside.var(ddof=1) / 0.778465 == pytest.approx(found.spread[0] ** 2, rel=1e-5)

    def test_weights_count_as_rows_do(self):
        """Weights that are all alike change nothing, whatever their size."""
        rows = np.random.default_rng(2).normal(size=9)
        groups = Groups(np.zeros(9, dtype=int), 1)
        one, other = huber(rows, groups), huber(rows, groups, np.full(9, 0.25))

        assert other.size[0] == pytest.approx(9)
        assert (other.centre[0], other.spread[0]) == pytest.approx((one.centre[0], one.spread[0]))


class TestSpreads:
    def test_tasks_that_scatter_alike_share_one_spread(self):
        past = drawn(3, jobs=6, tasks=40, spread=0.25)
        found = tuned.tune(past).fitted.spreads

        assert found.used[0].std() < 0.35 * found.own[0].std()
        assert found.pooled[0] == pytest.approx(0.25, rel=0.1)

    def test_tasks_that_scatter_otherwise_keep_their_own(self):
        past = drawn(3, jobs=60, tasks=4, spread=0.0)
        wide = np.array([0.05, 0.1, 0.3, 0.6])
        dice = np.random.default_rng(1)
        past = attrs.evolve(past, actual=past.reckoned * np.exp(wide[past.task] * dice.normal(size=len(past))))

        assert tuned.tune(past).fitted.spreads.used[0] == pytest.approx(wide, rel=0.25)

    def test_one_task_alone_keeps_its_own(self):
        past = of_ratios(0.8, 1.0, 1.3, 1.1, 0.9, 1.6)
        found = tuned.tune(past).fitted.spreads

        assert found.used[0][0] == pytest.approx(found.own[0][0])

    def test_a_task_with_one_job_scatters_as_the_others_do(self):
        past = drawn(5, jobs=8, tasks=3)
        some = past.only((past.task != 2) | (past.job == 0))
        found = steady(huber(some.log_ratio, Groups(some.task, 3)), 3)

        assert math.isnan(found.own[0][2])
        assert 0.1 < found.used[0][2] < 0.4


class TestMoves:
    @given(seeds)
    @settings(max_examples=30, deadline=None)
    def test_a_rate_moves_towards_what_its_jobs_say_and_no_further(self, seed):
        found = tuned.tune(drawn(seed, jobs=5, move=np.linspace(-0.4, 0.4, 6)))
        move, centre = found.fitted.moves.move[0], found.centre

        assert (move * centre >= 0).all()
        assert (np.abs(move) <= np.abs(centre) + 1e-12).all()

    def test_one_error_for_all_gives_the_formula_of_trade(self):
        """τ² = max(0, (Σ n ȳ² - K σ²)/Σ n), with σ² the variance of a centre of one job."""
        centre, size, variance = np.array([0.3, -0.1, 0.2, 0.0]), np.array([5, 9, 4, 12]), 0.05 * LOSS
        by_hand = max(0.0, (np.sum(size * centre**2) - 4 * variance) / size.sum())

        assert between_tasks(centre, np.sqrt(variance / size)) ** 2 == pytest.approx(by_hand)

        share = size * by_hand / (size * by_hand + variance)
        assert shrunk(centre, size.astype(float), np.full(4, 0.05**0.5)).move == pytest.approx(share * centre)

    def test_logs_that_repeat_the_estimate_move_nothing(self):
        past = drawn(1, jobs=6)
        exact = attrs.evolve(past, actual=past.reckoned)
        found = tuned.tune(exact)

        assert found.rest == pytest.approx(np.ones(6))
        assert set(advice(exact)) == {"keep"}

    def test_many_jobs_that_agree_move_the_rate_all_the_way(self):
        found = tuned.tune(drawn(7, jobs=400, tasks=5, move=[0.3, -0.2, 0, 0.1, 0], spread=0.15))

        assert np.log(found.rest) == pytest.approx([0.3, -0.2, 0, 0.1, 0], abs=0.03)


class TestWhatMustNotMatter:
    @given(seeds)
    @settings(max_examples=15, deadline=None)
    def test_order_of_rows(self, seed):
        past = drawn(seed, jobs=9)
        mixed = past.only(np.random.default_rng(seed).permutation(len(past)))

        same(tuned.tune(past), tuned.tune(mixed))

    @given(seeds, st.floats(0.01, 100))
    @settings(max_examples=15, deadline=None)
    def test_unit_of_the_hours(self, seed, unit):
        past = drawn(seed, jobs=9)
        other = attrs.evolve(past, actual=past.actual * unit, reckoned=past.reckoned * unit, set_up=past.set_up * unit)
        one, two = tuned.tune(past), tuned.tune(other)

        same(one, two, "centre", "spread", "set_up", "rest", "chances")
        assert two.p80 == pytest.approx(one.p80 * unit)

    @given(seeds)
    @settings(max_examples=10, deadline=None)
    def test_which_job_has_which_number(self, seed):
        past = drawn(seed, jobs=9, shared=0.2)
        named = attrs.evolve(past, job=past.jobs - 1 - past.job)
        one, two = tuned.tune(past), tuned.tune(named)

        same(one, two)
        assert one.job_wide == pytest.approx(two.job_wide)


class TestOddJobs:
    @pytest.mark.parametrize("times", [20.0, 0.05, 1000.0])
    def test_one_odd_job_is_shown_and_hardly_moves_the_rate(self, times):
        """Hours under the wrong task must not move a rate unseen."""
        past = drawn(11, jobs=12)
        actual = past.actual.copy()
        actual[0] *= times
        odd = attrs.evolve(past, actual=actual)
        before, after = tuned.tune(past), tuned.tune(odd)

        assert np.flatnonzero(after.outlier)[0] == 0
        assert np.log(after.rest[0] / before.rest[0]) == pytest.approx(0, abs=0.12)

    def test_no_row_of_a_quiet_history_is_odd(self):
        assert not tuned.tune(drawn(12, jobs=12, spread=0.1)).outlier[0]


class TestAdvice:
    @pytest.mark.parametrize("jobs", [1, 2, 3])
    def test_under_four_jobs_there_are_not_enough(self, jobs):
        assert set(advice(drawn(1, jobs=jobs, move=2.0, spread=0.05))) == {"few"}

    def test_no_jobs_at_all(self):
        nothing = Past(job=[], task=[], actual=[], reckoned=[], jobs=0, tasks=3)

        assert advice(nothing) == ("few", "few", "few")

    def test_a_rate_that_is_clearly_wrong_is_to_be_changed(self):
        codes = advice(drawn(2, jobs=10, move=[0.5, 0, 0, 0, 0, 0], spread=0.15))

        assert codes[0] == "change"
        assert "change" not in codes[1:]

    def test_four_jobs_may_be_enough(self):
        assert advice(drawn(2, jobs=4, move=[0.7, 0, 0, 0, 0, 0], spread=0.1))[0] == "change"

    def test_a_change_too_small_to_matter_is_not_recommended(self):
        assert advice(drawn(2, jobs=300, tasks=1, move=0.02, spread=0.02))[0] == "keep"

    def test_what_does_not_predict_better_is_not_recommended(self):
        sure = recommend.Evidence(*(np.array([x]) for x in (9.0, 1e-9, 0.2, 0.10, 0.11)))

        assert recommend.recommend(sure)[0] == ("keep",)
        assert recommend.recommend(attrs.evolve(sure, after=np.array([0.09])))[0] == ("change",)

    def test_what_one_rate_alone_would_be_sure_of_twenty_are_not(self):
        alone = recommend.Evidence(*(np.array([x]) for x in (9.0, 0.03, 0.2, 0.10, 0.08)))
        among = recommend.joined([alone, *[attrs.evolve(alone, chances=np.array([0.7]))] * 19])

        assert recommend.recommend(alone)[0] == ("change",)
        assert recommend.recommend(among)[0][0] == "watch"

    def test_holm_by_hand(self):
        """0.01·4, 0.02·3, 0.03·2 not below the one before, 0.5; a missing one is not counted."""
        found = holm.together(np.array([0.5, 0.01, math.nan, 0.03, 0.02]))

        assert found[[0, 1, 3, 4]] == pytest.approx([0.5, 0.04, 0.06, 0.06])
        assert math.isnan(found[2])


class TestAges:
    def test_half_as_much_for_every_half_life(self):
        assert list(ages.weights(np.array([0.0, 365, 730]), 365)) == [1, 0.5, 0.25]

    def test_a_half_life_of_nothing_is_refused(self):
        with pytest.raises(OutOfRangeError):
            ages.weights(np.array([1.0]), 0)

    def test_recent_jobs_count_more(self):
        """Ten old jobs at 1.0, ten new ones at 1.5: the centre follows the new ones."""
        ratios = [1.0 * x for x in np.linspace(0.9, 1.1, 10)] + [1.5 * x for x in np.linspace(0.9, 1.1, 10)]
        past = of_ratios(*ratios)
        weighed = attrs.evolve(past, weight=ages.weights(np.repeat([1000.0, 0.0], 10), 200))
        even, recent = tuned.tune(past), tuned.tune(weighed)

        assert math.log(1.45) < recent.centre[0] < math.log(1.55)
        assert even.centre[0] == pytest.approx(math.log(1.5) / 2, abs=0.02)
        assert recent.fitted.centres.size[0] == pytest.approx(10.6, abs=0.3)


class TestJobWide:
    def test_tasks_that_have_nothing_in_common(self):
        assert tuned.tune(drawn(6, jobs=400, tasks=10)).job_wide < 0.06

    def test_what_all_tasks_share(self):
        assert tuned.tune(drawn(6, jobs=300, tasks=10, shared=0.25)).job_wide == pytest.approx(0.25, rel=0.1)

    def test_no_jobs_leave_the_starter_value(self):
        found = tuned.tune(drawn(6, jobs=20, tasks=1))

        assert (found.job_wide, found.job_wide_jobs) == (0.15, 0)

    def test_a_few_jobs_that_are_alike_do_not_say_that_all_are(self):
        assert 0.07 < with_starter(0.0, 8) < 0.15

    def test_the_starter_counts_for_four_jobs(self):
        """√((4 · 0.15² + 8 · 0.35²)/12), a little wider for the doubt: t₀.₈ with 11 degrees is 0.876, z 0.842."""
        wanted = ((0.15**2 + 2 * 0.35**2) / 3) ** 0.5 * (13 / 12) ** 0.5 * 0.876 / 0.8416

        assert with_starter(0.35, 8) == pytest.approx(wanted, rel=1e-3)

    def test_jobs_with_one_task_say_nothing(self):
        past = of_ratios(*np.linspace(0.8, 1.3, 12))

        assert job_wide(past, past.log_ratio, np.array([0.2])) == (0.0, 0)

    def test_against_a_mixed_model(self):
        """The spread between jobs by restricted maximum likelihood, tasks fixed: within 5 % where all jobs have all tasks."""
        mixed = pytest.importorskip("statsmodels.regression.mixed_linear_model")
        past = drawn(9, jobs=40, tasks=8, shared=0.2)
        dummies = (past.task[:, np.newaxis] == np.arange(8)).astype(float)
        fitted = mixed.MixedLM(past.log_ratio, dummies, groups=past.job).fit()
        centre = huber(past.log_ratio, Groups(past.task, 8)).centre
        found, jobs = job_wide(past, past.log_ratio - centre[past.task], np.full(8, 0.3))

        assert jobs == 40
        assert found == pytest.approx(float(fitted.cov_re[0, 0]) ** 0.5, rel=0.05)
