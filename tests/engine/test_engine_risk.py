"""Risk: the closed form against simulation, and the rules that it obeys."""

from __future__ import annotations

import itertools
import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from sheetgen.engine import risk
from sheetgen.engine.ranges import OutOfRangeError

DRAWS = 200_000
amounts = st.floats(0.5, 1000)
spreads = st.floats(0.0, 0.45)


def simulated(medians, own, shared, share):
    dice = np.random.default_rng(20260302)
    factor = np.exp(shared * dice.normal(size=DRAWS))
    total = sum(median * np.exp(spread * dice.normal(size=DRAWS)) for median, spread in zip(medians, own, strict=True))
    return float(np.quantile(total * factor, share))


def closed(medians, own, shared, share):
    medians, own = np.array(medians, dtype=float), np.array(own, dtype=float)
    parts = risk.lognormal(risk.mean_of_median(medians, own), own)
    whole = risk.Uncertain(*(float(moment.sum()) for moment in (parts.mean, parts.variance, parts.third)))
    return float(risk.quantile(0.0, whole, shared, share))


@pytest.mark.parametrize(
    ("medians", "own", "shared"),
    [
        ((110, 100), (0.25, 0.15), 0.0),
        ((4, 7, 1, 12, 2, 9, 3), (0.3, 0.2, 0.45, 0.25, 0.4, 0.15, 0.3), 0.15),
        ((20, 1, 1), (0.45, 0.45, 0.45), 0.15),
        ((5,) * 18, (0.45,) * 18, 0.45),
        ((10,), (0.3,), 0.2),
        # The worst that was found: one wide task beside work that is nearly certain.
        ((10, 2.5, 2.5, 2.5, 2.5), (0.45, 0.1, 0.1, 0.1, 0.1), 0.0),
    ],
)
@pytest.mark.parametrize("share", [0.5, 0.8, 0.9])
def test_simulation(medians, own, shared, share):
    """Within 1 % at P80 while spreads are ≤ 0.45 (trade, risk); P50 and P90 hold it too."""
    assert closed(medians, own, shared, share) == pytest.approx(simulated(medians, own, shared, share), rel=0.01)


@pytest.mark.parametrize(
    ("medians", "own", "shared"),
    [((4, 7, 1, 12), (0.8, 0.6, 1.0, 0.7), 0.15), ((10, 10), (0.9, 0.3), 0.3), ((6,) * 6, (0.7,) * 6, 0.5),
     ((10, 2.5, 2.5, 2.5, 2.5), (1.0, 0.1, 0.1, 0.1, 0.1), 0.0)],
)  # fmt: skip
def test_simulation_of_wide_spreads(medians, own, shared):
    """Beyond that, within 5 %, and the sheet says rough."""
    assert max(*own, shared) > risk.ROUGH_SPREAD
    assert closed(medians, own, shared, 0.8) == pytest.approx(simulated(medians, own, shared, 0.8), rel=0.05)


@given(amounts, amounts, spreads, st.floats(0.0, 0.4))
def test_more_confidence_is_never_less(fixed, mean, spread, shared):
    parts = risk.lognormal(mean, spread)
    found = [risk.quantile(fixed, parts, shared, share) for share in (0.1, 0.5, 0.8, 0.9, 0.99)]

    assert all(one <= other * (1 + 1e-12) for one, other in itertools.pairwise(found))
    assert found[0] >= fixed


@given(amounts, amounts)
def test_without_spread_everything_is_certain(fixed, mean):
    sure = risk.lognormal(mean, 0.0)

    assert risk.quantile(fixed, sure, 0.0, 0.9) == pytest.approx(fixed + mean)


def test_nothing_uncertain():
    assert risk.quantile(120.0, risk.Uncertain(0.0, 0.0, 0.0), 0.15, 0.8) == 120


@given(amounts, st.floats(0.05, 0.45))
def test_one_task_is_its_own_lognormal(median, spread):
    """With a single task the form is exact."""
    mean = risk.mean_of_median(median, spread)

    assert risk.quantile(0.0, risk.lognormal(mean, spread), 0.0, 0.8) == pytest.approx(median * math.exp(risk.z_of(0.8) * spread))


@given(amounts, st.floats(0.05, 0.45), st.floats(0.05, 0.4))
def test_one_task_and_the_factor_are_one_lognormal(median, spread, shared):
    mean = risk.mean_of_median(median, spread)
    wanted = median * math.exp(risk.z_of(0.9) * math.hypot(spread, shared))

    assert risk.quantile(0.0, risk.lognormal(mean, spread), shared, 0.9) == pytest.approx(wanted)


@given(amounts, spreads, st.floats(0.0, 0.4), st.floats(0.1, 100))
def test_money_scales(mean, spread, shared, times):
    """The same in cents as in dollars."""
    one = risk.quantile(10.0, risk.lognormal(mean, spread), shared, 0.9)

    assert risk.quantile(10.0 * times, risk.lognormal(mean * times, spread), shared, 0.9) == pytest.approx(one * times)


@given(amounts, st.floats(0.05, 0.45), st.floats(0.0, 0.4))
def test_what_is_expected_lies_above_the_middle(mean, spread, shared):
    """Half confidence is covered already: no contingency."""
    middle = risk.quantile(5.0, risk.lognormal(mean, spread), shared, 0.5)
    expected = 5.0 + mean * risk.shared_factor(shared).mean

    assert middle < expected
    assert risk.contingency(middle, expected) == 0


def test_contingency_by_hand():
    """One task of median 100 and σ 0.2: expected 100 exp(0.02), P80 100 exp(0.2 z); to the cent."""
    kept = risk.quantile(50.0, risk.lognormal(100 * math.exp(0.02), 0.2), 0.0, 0.8)

    assert kept == pytest.approx(50 + 100 * math.exp(0.2 * 0.8416212), abs=1e-4)
    assert risk.contingency(kept, 50 + 100 * math.exp(0.02)) == round(100 * (math.exp(0.2 * 0.8416212) - math.exp(0.02)), 2)


def test_what_is_not_known_gives_no_contingency():
    assert math.isnan(risk.contingency(math.nan, 5.0))


@pytest.mark.parametrize("confidence", [0.0, 1.0, -0.1, 1.5])
def test_no_confidence_is_certain(confidence):
    with pytest.raises(OutOfRangeError):
        risk.quantile(0.0, risk.lognormal(1.0, 0.1), 0.1, confidence)
