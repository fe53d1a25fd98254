"""Earned value and cost to cost."""

from itertools import pairwise

import pytest

from sheetgen.engine.progress import (
    cost_performance,
    earned_value,
    estimate_at_completion,
    schedule_performance,
    share_by_cost_to_go,
)

PLANNED, EARNED, ACTUAL, BUDGET = 3000, 2500, 2800, 4000
CPI, SPI = cost_performance(EARNED, ACTUAL), schedule_performance(EARNED, PLANNED)


def test_indices():
    """PV 3000, EV 2500, AC 2800, BAC 4000: CPI 0.893, SPI 0.833 (0.001); read."""
    assert pytest.approx(0.893, abs=0.001) == CPI
    assert pytest.approx(0.833, abs=0.001) == SPI


def test_estimate_at_completion():
    """EAC 4480 exactly; the page prints 4,479, from a rounded CPI."""
    assert estimate_at_completion(ACTUAL, BUDGET, EARNED, CPI) == 4480
    assert estimate_at_completion(ACTUAL, BUDGET, EARNED, 0.8934) == pytest.approx(4479, abs=0.5)


def test_composite_estimate_at_completion():
    """4816.0, with CPI · SPI as the index: NASA EVM reference card, arithmetic."""
    assert estimate_at_completion(ACTUAL, BUDGET, EARNED, CPI * SPI) == 4816.00


class TestCostToCost:
    """Price 1500k; cost to date 400, 935, 1070; still to come 600, 165, 0; read."""

    PRICE = 1_500_000
    COST = (400_000, 935_000, 1_070_000)
    TO_GO = (600_000, 165_000, 0)

    def shares(self):
        return [share_by_cost_to_go(cost, to_go) for cost, to_go in zip(self.COST, self.TO_GO, strict=True)]

    def revenue(self):
        """Return what each year earns beyond those before."""
        earned = [0.0, *(earned_value(share, self.PRICE) for share in self.shares())]
        return [after - before for before, after in pairwise(earned)]

    def test_done(self):
        """40, 85 and 100 %."""
        assert self.shares() == [0.40, 0.85, 1]

    def test_revenue(self):
        """600, 675, 225."""
        assert self.revenue() == [600_000, 675_000, 225_000]

    def test_gross_profit(self):
        """200, 140, 90."""
        costs = [after - before for before, after in pairwise((0, *self.COST))]

        assert [revenue - cost for revenue, cost in zip(self.revenue(), costs, strict=True)] == [200_000, 140_000, 90_000]

    def test_under_billed(self):
        """With 300, then 1200 billed in all: 300 and 75."""
        earned = [earned_value(share, self.PRICE) for share in self.shares()]

        assert [earned[0] - 300_000, earned[1] - 1_200_000] == [300_000, 75_000]
