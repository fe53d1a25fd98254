"""The sheet Tuning: by hand, and what a rate book shows that was never tuned."""

from __future__ import annotations

import math

import pytest

from sheetgen.engine.job import Job
from sheetgen.engine.records import Takeoff, Task
from sheetgen.engine.tuned_tasks import rate_in_use
from sheetgen.engine.tuning_figures import tuning_figures, waste_in_use

GRIND = Task(name="Grind", basis="area", rate=120.0, set_up=0.75)
CLEAN = Task(name="Clean up", set_up=0.5, set_up_per="visit")
JOB = Job(tasks=(GRIND, CLEAN), takeoff=Takeoff(waste=0.10))
# The middle of its jobs takes 1.2 times the rest and twice the set-up; spread 0.2.
ROW = {
    "jobs": 9.0, "code": "change", "rate_before": 120.0, "set_up_before": 0.75, "set_up_factor": 2.0, "rest_factor": 1.2, "spread": 0.2,
    "middle_set_up": 0.75, "middle_rest": 5.0, "take": "yes",
}  # fmt: skip
OF = {"waste_before": 0.10, "waste_factor": 1.05, "waste_spread": 0.04, "take_waste": "no"}
EXPECTED = math.exp(0.02)


def figures(**tables):
    return tuning_figures(JOB, tables)


def of_grind(**row):
    return {name.removeprefix("tuning."): column[0] for name, column in figures(tuning=[row]).items() if name.startswith("tuning.")}


def test_a_rate_book_that_was_never_tuned_uses_its_rates_and_says_nothing_else():
    found = figures()

    assert found["tuning.rate_used"] == (120.0, None)
    assert found["tuning.set_up_used"] == (0.75, 0.5)
    assert found["tuning.take_fault"] == found["tuning.stale"] == (0.0, 0.0)
    assert all(found[f"tuning.{name}"] == (None, None) for name in ("expected_factor", "median_rate", "expected_rate", "hours_p50", "hours_p80", "change"))
    assert found["tuning_of.waste_used"] == 0.10
    assert found["tuning_of.shown_task_no"] is None
    assert found["tuned_rows.shown"] == found["tuned_jobs.ratio"] == found["tuned_products.suggested_waste"] == ()


def test_by_hand():
    """Median 120/1.2 = 100 and 1.5 h; expected hours are exp(0.2²/2) more."""
    found = of_grind(**ROW)

    assert found["median_rate"] == pytest.approx(100)
    assert found["median_set_up"] == pytest.approx(1.5)
    assert found["expected_factor"] == pytest.approx(EXPECTED)
    assert found["expected_rate"] == pytest.approx(100 / EXPECTED)
    assert found["expected_set_up"] == pytest.approx(1.5 * EXPECTED)
    assert found["hours_p50"] == pytest.approx(0.75 * 2 + 5 * 1.2)
    assert found["hours_p80"] == pytest.approx(7.5 * math.exp(0.2 * 0.8416212), rel=1e-6)
    assert found["change"] == pytest.approx(7.5 * EXPECTED / 5.75 - 1)


@pytest.mark.parametrize("take", ["no", None])
def test_the_present_rate_stays_until_the_owner_says_yes(take):
    found = of_grind(**{**ROW, "take": take})

    assert (found["rate_used"], found["set_up_used"]) == (120.0, 0.75)


def test_the_expected_rate_is_used_where_the_owner_says_yes():
    found = of_grind(**ROW)

    assert (found["rate_used"], found["set_up_used"]) == (found["expected_rate"], found["expected_set_up"])
    assert rate_in_use(GRIND, ROW) == (found["rate_used"], found["set_up_used"])


def test_a_task_that_is_only_set_up_has_no_rate_before_or_after():
    row = {**ROW, "rate_before": None, "set_up_before": 0.5, "set_up_factor": 1.3}

    assert rate_in_use(CLEAN, row) == (None, pytest.approx(0.65 * EXPECTED))


def test_there_is_nothing_to_take_of_too_few_jobs():
    """The present rate stays: a bid would take a task with a blank rate for nothing but its set-up."""
    found = of_grind(jobs=3.0, code="few", take="yes")

    assert (found["take_fault"], found["look_no"]) == (1, 2)
    assert (found["rate_used"], found["set_up_used"]) == (120.0, 0.75)


@pytest.mark.parametrize(("changed", "stale"), [({}, 0), ({"rate_before": 110.0}, 1), ({"set_up_before": 0.8}, 1), ({"rate_before": 120.0 + 1e-9}, 0)])
def test_a_rate_that_was_typed_since_is_named(changed, stale):
    assert of_grind(**{**ROW, **changed})["stale"] == stale


def test_waste_by_hand():
    """1.10 · 1.05 · exp(0.04²/2) - 1."""
    wanted = 1.10 * 1.05 * math.exp(0.0008) - 1

    assert figures(tuning_of=[OF])["tuning_of.waste_suggested"] == pytest.approx(wanted)
    assert waste_in_use(JOB, OF) == 0.10
    assert waste_in_use(JOB, {**OF, "take_waste": "yes"}) == pytest.approx(wanted)


def test_waste_is_never_below_nothing():
    assert figures(tuning_of=[{**OF, "waste_factor": 0.5}])["tuning_of.waste_suggested"] == 0


def test_only_a_topping_has_a_waste():
    rows = [{"topping": "yes", "factor": 1.05}, {"topping": "no", "factor": 1.05}, {"topping": "yes"}]

    assert figures(tuning_of=[OF], tuned_products=rows)["tuned_products.suggested_waste"] == (pytest.approx(0.155), None, None)


def test_errors_of_whole_jobs_by_hand():
    """One job took twice, one half of what was reckoned; predicted were 2 and 1: exactly."""
    jobs = [
        {"reckoned": 1.0, "predicted": 2.0, "actual": 2.0, "inside": "yes"},
        {"reckoned": 2.0, "predicted": 1.0, "actual": 1.0, "inside": "no"},
        {"reckoned": None, "predicted": 1.0, "actual": 1.0, "inside": None},
    ]
    found = figures(tuned_jobs=jobs)

    assert found["tuned_jobs.ratio"] == (2.0, 0.5, None)
    assert found["tuning_of.error_before"] == pytest.approx(1.0)
    assert found["tuning_of.bias_before"] == pytest.approx(0.0)
    assert found["tuning_of.error_after"] == found["tuning_of.bias_after"] == 0
    assert found["tuning_of.inside"] == 0.5


class TestShownTask:
    ROWS = ({"task_no": 1.0, "actual": 3.0, "reckoned": 2.0}, {"task_no": 2.0, "actual": 1.0, "reckoned": 2.0})

    def shown(self, of, *rows):
        found = figures(tuning=rows, tuning_of=[of], tuned_rows=self.ROWS)
        return found["tuning_of.shown_task_no"], found["tuned_rows.shown"]

    def test_is_the_one_that_was_chosen(self):
        assert self.shown({"shown_task": " clean UP "}, ROW, {}) == (2, (None, 0.5))

    def test_is_the_first_to_be_changed(self):
        assert self.shown({}, {**ROW, "code": "keep"}, ROW) == (2, (None, 0.5))

    def test_is_the_first_that_was_tuned(self):
        assert self.shown({}, {**ROW, "code": "keep"}, {}) == (1, (1.5, None))
