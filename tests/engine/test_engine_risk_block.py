"""The risk of a bid: what its figures follow from, and that the price takes the contingency that is chosen."""

from __future__ import annotations

import math

import attrs
import numpy as np
import pytest
from engine_jobs import surveyed_worked_job

from sheetgen.engine.job import compute

JOB = surveyed_worked_job()


def figures(job=JOB):
    values = compute(job)
    return lambda name: values.scalar(name, "accepted")


def with_uncertainty(job=JOB, **changes):
    return attrs.evolve(job, uncertainty=attrs.evolve(job.uncertainty, **changes))


def with_spread(spread, jobs=None, job=JOB):
    return attrs.evolve(job, tasks=tuple(attrs.evolve(task, spread=spread, spread_jobs=jobs) for task in job.tasks))


def by_confidence(confidence=0.8, job=JOB):
    chosen = attrs.evolve(job, policy=attrs.evolve(job.policy, contingency_way="confidence"))
    return with_uncertainty(chosen, confidence=confidence)


def test_hours_of_the_bid_are_what_is_expected():
    at = figures()

    assert at("risk.hours_expected") == at("price.hours")
    assert at("risk.hours_fixed") == pytest.approx(at("work.waiting_hours") + at("work.idle_hours"))
    assert at("risk.hours_fixed") + at("risk.hours_uncertain") == pytest.approx(at("price.hours"))


def test_cost_before_contingency_is_what_is_expected():
    at = figures()

    assert at("risk.cost_expected") == pytest.approx(at("price.direct") + at("price.overhead"))
    assert at("risk.cost_fixed") + at("risk.cost_uncertain") == pytest.approx(at("risk.cost_expected"))


def test_against_simulation():
    """200,000 jobs with the same expected hours: P50, P80 and P90 within 1 %."""
    values = compute(JOB)
    hours = [one for one in values.column("labour.hours", "accepted") if one]
    dice = np.random.default_rng(20260302)
    draws, own, shared = 200_000, 0.30, 0.15
    total = np.zeros(draws)
    for one in hours:
        total += one * np.exp(own * dice.normal(size=draws) - own**2 / 2)
    total *= np.exp(shared * dice.normal(size=draws) - shared**2 / 2)
    total += values.scalar("risk.hours_fixed", "accepted")

    for name, share in (("p50", 0.5), ("p80", 0.8), ("p90", 0.9)):
        assert values.scalar(f"risk.hours_{name}", "accepted") == pytest.approx(np.quantile(total, share), rel=0.01)


def test_quantiles_rise_with_confidence_and_surround_what_is_expected():
    at = figures()

    for side in ("hours", "cost"):
        assert at(f"risk.{side}_p50") < at(f"risk.{side}_expected") < at(f"risk.{side}_p80") < at(f"risk.{side}_p90")


def test_without_spread_everything_is_certain():
    at = figures(with_spread(0.0, job=with_uncertainty(job_wide=0.0)))

    assert at("risk.hours_p90") == at("risk.hours_expected")
    assert at("risk.cost_kept") == at("risk.cost_expected")
    assert at("risk.amount") == at("risk.hours_loose") == 0


def test_a_wider_spread_costs_more_to_be_sure_of():
    one, other = figures(with_spread(0.1)), figures(with_spread(0.4))

    assert one("risk.amount") < other("risk.amount")
    assert one("risk.cost_expected") == other("risk.cost_expected")


def test_the_price_takes_a_share_unless_a_confidence_is_chosen():
    share, sure = figures(), figures(by_confidence())

    assert share("price.contingency") == share("price.contingency_share")
    assert sure("price.contingency") == sure("risk.amount") > 0
    assert sure("price.cost") == pytest.approx(sure("risk.cost_kept"), abs=0.01)
    assert sure("price.contingency_share") == share("price.contingency_share")


def test_more_confidence_never_lowers_the_price():
    prices = [figures(by_confidence(confidence))("price.total") for confidence in (0.5, 0.7, 0.8, 0.9, 0.99)]

    assert prices == sorted(prices)
    assert prices[0] < prices[-1]


def test_an_unknown_way_has_no_price():
    assert figures(attrs.evolve(JOB, policy=attrs.evolve(JOB.policy, contingency_way="guess")))("price.total") is None


def test_overhead_follows_the_hours():
    """By the share, an hour costs a share more; by the hour, an amount more."""
    policy = attrs.evolve(JOB.policy, overhead_way="per_hour", overhead_hour=6.0)
    share, hourly = compute(JOB), compute(attrs.evolve(JOB, policy=policy))
    loaded = share.column("tasks.loaded")[0]

    assert share.column("risk_tasks.hour_cost", "accepted")[0] == pytest.approx(loaded * (1 + JOB.policy.overhead))
    assert hourly.column("risk_tasks.hour_cost", "accepted")[0] == pytest.approx(loaded + 6)


class TestWhatItRestsOn:
    def test_starter_guesses(self):
        at = figures()

        assert (at("risk.rests_no"), at("risk.guessed_share"), at("risk.least_jobs")) == (1, pytest.approx(1), None)

    def test_past_jobs_of_all_tasks(self):
        at = figures(with_spread(0.2, 9.0))

        assert (at("risk.rests_no"), at("risk.guessed_share"), at("risk.least_jobs")) == (3, 0, 9)

    def test_past_jobs_of_some(self):
        values = compute(JOB)
        first = next(row for row, hours in enumerate(values.column("labour.hours", "accepted")) if hours)
        tasks = tuple(attrs.evolve(task, spread=0.2, spread_jobs=6.0) if row == first else task for row, task in enumerate(JOB.tasks))
        at = figures(attrs.evolve(JOB, tasks=tasks))
        hours = values.column("labour.hours", "accepted")[first]

        assert (at("risk.rests_no"), at("risk.least_jobs")) == (2, 6)
        assert at("risk.guessed_share") == pytest.approx(1 - hours / values.scalar("work.hours", "accepted"))

    @pytest.mark.parametrize(("spread", "rough"), [(0.45, 0), (0.46, 1)])
    def test_a_wide_spread_is_rough(self, spread, rough):
        at = figures(with_spread(spread))

        assert (at("risk.widest"), at("risk.rough"), at("risk.width_no")) == (spread, rough, 5 + rough)

    def test_a_spread_of_a_task_without_hours_does_not_count(self):
        tasks = (attrs.evolve(JOB.tasks[0], spread=1.5, used="no"), *JOB.tasks[1:])

        assert figures(attrs.evolve(JOB, tasks=tasks))("risk.rough") == 0


def test_a_task_with_a_fault_leaves_no_risk_known():
    """Missing is never zero."""
    tasks = (attrs.evolve(JOB.tasks[0], rate=None), *JOB.tasks[1:])
    at = figures(attrs.evolve(JOB, tasks=tasks))

    assert [at(f"risk.{name}") for name in ("hours_p80", "cost_p80", "amount", "widest", "guessed_share")] == [None] * 5


@pytest.mark.parametrize("name", ["job_wide", "task_spread", "confidence"])
def test_a_blank_takes_the_price_that_needs_it(name):
    assert figures(with_uncertainty(by_confidence(), **{name: None}))("price.total") is None


def test_the_factor_by_its_moments():
    """exp(0.15²/2) and exp(0.15²) - 1."""
    values = compute(JOB)

    assert values.scalar("uncertainty.f") == pytest.approx(math.exp(0.01125))
    assert values.scalar("uncertainty.f_over") == pytest.approx(math.expm1(0.0225))
