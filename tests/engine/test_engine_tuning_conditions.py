"""Conditions are reported, never tuned on, and only where eight jobs tell them."""

from __future__ import annotations

import math

import numpy as np
import pytest
from past_jobs import drawn

from sheetgen.engine.tuning import conditions
from sheetgen.engine.tuning.conditions import Effect, of_jobs, of_kind, of_number

DICE = np.random.default_rng(3)
NOISE = 0.1 * DICE.normal(size=20)
WARMTH = DICE.uniform(50, 95, 20)


def test_fewer_than_eight_jobs_say_nothing():
    assert of_number(NOISE[:7], WARMTH[:7]) == Effect(7, "few")
    assert of_kind(NOISE[:7], ["floor", "wall"] * 3 + ["floor"]).code == "few"


def test_a_condition_that_is_not_known_of_enough_jobs():
    some = np.where(np.arange(20) < 13, math.nan, WARMTH)

    assert of_number(NOISE, some).code == "few"
    assert of_number(NOISE, some).jobs == 7


def test_a_condition_that_was_always_the_same():
    assert of_number(NOISE, np.full(20, 70.0)).code == "alike"
    assert of_kind(NOISE, ["floor"] * 20).code == "alike"


def test_what_has_no_effect_explains_nothing():
    assert of_number(NOISE, WARMTH).code == "nothing"
    assert of_kind(NOISE, ["inside", "outside"] * 10).code == "nothing"


def test_what_has_an_effect():
    found = of_number(NOISE - 0.01 * (WARMTH - 70), WARMTH)

    assert found.code == "explains"
    assert found.slope == pytest.approx(-0.01, abs=0.004)
    assert 0.3 < found.explained < 1


def test_kinds_that_differ():
    kinds = ["floor", "wall"] * 10
    found = of_kind(NOISE + np.tile([0.0, 0.4], 10), kinds)

    assert found.code == "explains"
    assert [(name, jobs) for name, jobs, _ in found.kinds] == [("floor", 10), ("wall", 10)]
    assert found.kinds[1][2] - found.kinds[0][2] == pytest.approx(0.4, abs=0.15)


def test_a_kind_of_one_job_does_not_count():
    found = of_kind(NOISE[:10], ["floor"] * 9 + ["step"])

    assert (found.jobs, found.code) == (9, "alike")


def test_one_of_many_conditions_looks_like_an_effect_by_chance():
    seen = [Effect(20, "explains", chance=0.03, explained=0.2)] + [Effect(20, "nothing", chance=0.6)] * 4 + [Effect(3, "few")]
    found = conditions.looked_at_together(seen)

    assert found[0].code == "nothing"
    assert found[0].chance == pytest.approx(0.15)
    assert found[5] == seen[5]


def test_how_much_longer_a_job_took():
    """A job of which every task took half as long again is ln 1.5 beyond; one without rows is not known."""
    past = drawn(1, jobs=3, spread=0.0)
    left = np.where(past.job == 1, math.log(1.5), 0.0)
    some = past.only(past.job < 2)
    found = of_jobs(some, left[past.job < 2], np.full(6, 0.3))

    assert found[:2] == pytest.approx([0, math.log(1.5)])
    assert math.isnan(found[2])
