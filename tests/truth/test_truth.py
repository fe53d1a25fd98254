"""Tuning held against the truth: histories of jobs from known rates, set-ups, spreads and waste.

``pytest -m truth -s tests/truth`` simulates 500 histories of 5, 10, 20 and 50 jobs and prints a table with standard errors.
A small version of it runs with all tests.
"""

from __future__ import annotations

import math

import pytest
from histories import SCENARIOS
from judged import Figure, simulate

HISTORIES, SMALL = 500, 40
JOBS = (5, 10, 20, 50)
COLUMNS = (
    "false", "found", "inside, 4 to 7", "inside, 8 or more", "inside, whole jobs", "recovery untuned", "recovery plain",
    "recovery tuned", "waste recovery", "error untuned", "error plain", "error tuned", "error recommended", "error truth",
    "gain on untuned", "gain on plain", "recommended on untuned",
)  # fmt: skip


def at_least(figure: Figure, bound: float) -> bool:
    """Whether a figure is not below a bound by more than chance allows."""
    return math.isnan(figure.mean) or figure.mean + 2 * figure.error >= bound


@pytest.mark.truth
@pytest.mark.parametrize("jobs", JOBS)
@pytest.mark.parametrize("scenario", SCENARIOS)
def test_five_hundred_histories(scenario: str, jobs: int) -> None:
    found = simulate(scenario, jobs, HISTORIES)
    print(f"\n| {scenario} | {jobs} | " + " | ".join(str(found[name]) for name in COLUMNS) + " |")

    assert found["false"].mean < 0.10
    if jobs >= 10:
        assert 0.75 <= found["inside, 8 or more"].mean <= 0.85
    assert at_least(found["gain on plain"], 0)
    assert at_least(found["gain on untuned"], 0)
    # Where nothing is wrong, nothing can be won: then it must cost no more than a five-hundredth of the hours.
    assert at_least(found["recommended on untuned"], -0.002 if scenario == "all right" else 0)
    assert found["recovery tuned"].mean <= found["recovery plain"].mean


@pytest.mark.truth
def test_the_head_of_the_table() -> None:
    """Runs last."""
    print("\n| truth | jobs | " + " | ".join(COLUMNS) + " |")


class TestSmall:
    """The same with forty histories of eight jobs: enough to see that it has not gone wrong."""

    def test_where_nothing_is_wrong_little_is_recommended(self) -> None:
        found = simulate("all right", 8, SMALL)

        assert found["false"].mean <= 0.15
        assert 0.75 <= found["inside, 4 to 7"].mean <= 0.85
        assert found["recovery tuned"].mean < 0.5 * found["recovery plain"].mean

    def test_where_all_is_off_it_gains_on_both(self) -> None:
        found = simulate("all off", 8, SMALL)

        assert found["gain on untuned"].mean > 0
        assert found["gain on plain"].mean > 0
        assert found["recovery tuned"].mean < found["recovery plain"].mean < found["recovery untuned"].mean

    def test_what_is_wrong_is_found_when_there_are_jobs_enough(self) -> None:
        found = simulate("five wrong", 50, 6)

        assert found["found"].mean > 0.5
        assert found["inside, 8 or more"].mean == pytest.approx(0.8, abs=0.05)
