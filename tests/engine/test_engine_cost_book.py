"""The cost book: each rule of it, on rows that are made by hand."""

from __future__ import annotations

import itertools
import math
import random
from typing import Any

import pytest

from sheetgen.engine.cost_book import PER_AREA, cost_book, job_figures, progress_figures
from sheetgen.engine.lists import OTHER_KINDS, STATUSES
from sheetgen.engine.work_in_progress import work_in_progress

MONEY = ("price_bid", "change_price", "direct_bid", "labour_cost", "materials_cost", "other_cost", "to_go", "billed", "held")
DONE, RUNNING = {"status": "done", "finished": 1.0}, {"status": "running", "finished": 0.0}


def job(**figures: Any) -> dict[str, Any]:
    return {"workbook": "a.xlsx", **DONE, **figures}


def book(**tables: Any) -> dict[str, Any]:
    return cost_book({name: tuple(rows) for name, rows in tables.items()}, "us")


# One job


def test_a_contract_is_the_price_before_tax_with_accepted_change_orders() -> None:
    assert job_figures(job(price_bid=10_000.0, change_price=750.0), 100)["contract"] == 10_750
    assert job_figures(job(price_bid=10_000.0), 100)["contract"] is None


@pytest.mark.parametrize(
    ("costs", "total"),
    [((1.0, 2.0, 4.0), 7.0), ((None, 2.0, None), 2.0), ((0.0, None, None), 0.0), ((None, None, None), None)],
)
def test_the_cost_is_of_what_is_known(costs: tuple[float | None, ...], total: float | None) -> None:
    """Labour, materials and other costs; where nothing was logged, it is not known and not zero."""
    labour, materials, other = costs

    assert job_figures(job(labour_cost=labour, materials_cost=materials, other_cost=other), 100)["cost_actual"] == total


def test_margins_are_shares_of_the_price() -> None:
    """Bid: (10,000 - 7,500)/10,000. Made: (11,000 - 8,800)/11,000, of the contract."""
    found = job_figures(job(price_bid=10_000.0, change_price=1000.0, direct_bid=7500.0, labour_cost=8800.0), 100)

    assert (found["margin_bid"], found["margin_made"], found["gross_profit"]) == (0.25, 0.2, 2200)


def test_a_job_that_runs_has_made_nothing_yet() -> None:
    found = job_figures(job(**RUNNING, price_bid=10_000.0, change_price=0.0, labour_cost=8800.0), 100)

    assert (found["gross_profit"], found["margin_made"]) == (None, None)
    assert found["contract"] == 10_000


def test_hours_are_compared_over_a_common_area() -> None:
    """36 h over 450 ft²: 8 h for each 100 ft²; 36 h over 45 m²: 8 h for each 10 m²."""
    assert book(jobs=[job(hours_actual=36.0, area_done=450.0)])["jobs.hours_per_area"] == (8,)
    metric = cost_book({"jobs": [job(hours_actual=36.0, area_done=45.0)]}, "metric")
    assert metric["jobs.hours_per_area"] == (8,)
    assert PER_AREA == {"us": 100, "metric": 10}


@pytest.mark.parametrize(
    ("field", "row"),
    [
        ("margin_bid", {"price_bid": 0.0, "direct_bid": 5.0}),
        ("margin_made", {"price_bid": 5.0, "change_price": -5.0, "labour_cost": 1.0}),
        ("hours_per_area", {"hours_actual": 5.0, "area_done": 0.0}),
        ("hours_ratio", {"hours_actual": 5.0, "hours_estimated": 0.0}),
        ("bags_ratio", {"bags_used": 5.0, "bags_needed": 0.0}),
    ],
)
def test_nothing_is_divided_by_nothing(field: str, row: dict[str, float]) -> None:
    assert job_figures(job(**row), 100)[field] is None
    assert job_figures(job(), 100)[field] is None


# Work in progress


@pytest.mark.parametrize("status", [None, "bid", "sent", "lost", "no such status"])
def test_a_job_that_was_not_won_has_no_work_in_progress(status: str | None) -> None:
    row = dict.fromkeys(MONEY, 5.0) | {"workbook": "a.xlsx", "status": status, "finished": 0.0}

    assert set(progress_figures(row).values()) == {None}
    found = book(jobs=[row])
    assert found["jobs.won"] == (None if status not in STATUSES else 0.0,)
    assert (found["totals.billed"], found["wip_shown.earned"]) == (None, None)


def test_a_job_that_was_won_and_not_begun_has_earned_nothing() -> None:
    """A deposit of 3,000 is billed: all of it is over-billed."""
    found = progress_figures(job(status="won", finished=0.0, price_bid=10_000.0, change_price=0.0, to_go=7500.0, billed=3000.0, held=0.0))

    assert (found["cost_actual"], found["share"], found["earned"]) == (0, 0, 0)
    assert (found["under"], found["over"]) == (0, 3000)


def test_a_finished_job_is_earned_whole_whatever_was_still_to_go() -> None:
    found = progress_figures(job(price_bid=10_000.0, change_price=0.0, labour_cost=7500.0, to_go=900.0, billed=10_000.0, held=1000.0))

    assert (found["to_go"], found["share"], found["earned"], found["gross_profit"]) == (0, 1, 10_000, 2500)
    assert (found["under"], found["over"], found["held"]) == (0, 0, 1000)


def test_what_is_still_to_go_is_not_known_and_never_nothing() -> None:
    found = progress_figures(job(**RUNNING, price_bid=10_000.0, change_price=0.0, labour_cost=7500.0, billed=1.0))

    assert found["cost_actual"] == 7500
    assert [found[name] for name in ("to_go", "cost_total", "share", "earned", "provision", "gross_profit", "under", "over")] == [None] * 8


def test_without_any_cost_there_is_no_share() -> None:
    found = progress_figures(job(**RUNNING, price_bid=10_000.0, change_price=0.0, to_go=0.0, billed=0.0))

    assert (found["share"], found["earned"], found["provision"]) == (None, None, 0)


def test_properties_of_work_in_progress() -> None:
    """Trade, cost book: cost to cost; over/under-billed; provision for a loss at once."""
    dice = random.Random(5)
    for _ in range(300):
        contract, cost, to_go, billed = (round(dice.uniform(0, 20_000), 2) for _ in range(4))
        finished = dice.random() < 0.3
        found = work_in_progress(contract=contract, cost_actual=cost, to_go=to_go, finished=finished, billed=billed, held=0.0)
        total = cost if finished else cost + to_go

        assert 0 <= found.share <= 1
        assert found.under - found.over == pytest.approx(found.earned - billed)
        assert min(found.under, found.over) == 0
        assert found.provision >= 0
        if contract < total:  # the loss is told whole, however far the job is
            assert found.gross_profit == pytest.approx(contract - total, abs=0.01)
        else:  # the profit is told as it is earned
            assert found.gross_profit == pytest.approx(found.share * (contract - total), abs=0.01)
        if finished:
            assert (found.share, found.to_go, found.provision, found.earned) == (1, 0, 0, contract)


# By task, product, kind and status


def hour(task_no: float | None, estimated: float | None, actual: float | None, finished: float = 1.0, **more: Any) -> dict[str, Any]:
    variance = None if estimated is None or actual is None else actual - estimated
    row = {"workbook": "a.xlsx", "task_no": task_no, "estimated": estimated, "actual": actual, "variance": variance}
    return {**row, "finished": finished, "efficiency_variance": None, "rate_variance": None, **more}


def test_hours_of_a_task_are_of_finished_jobs_that_have_both() -> None:
    """6 of 5 and 3 of 4: nine hours, none over; 50 - 20 and 7 money. The one that was not estimated counts as a job."""
    found = book(
        by_task=[{"task": "Grind"}, {"task": "Prime"}],
        hours=[
            hour(1, 5.0, 6.0, efficiency_variance=50.0, rate_variance=-20.0),
            hour(1, 4.0, 3.0, efficiency_variance=7.0),
            hour(1, None, 2.0),
            hour(1, 8.0, None),
            hour(1, 9.0, 90.0, finished=0.0, efficiency_variance=999.0),
            hour(None, 9.0, 90.0, efficiency_variance=999.0),
            hour(2, 1.0, None),
        ],
    )

    assert found["by_task.jobs"] == (3, 0)
    assert (found["by_task.estimated"], found["by_task.actual"], found["by_task.variance"]) == ((9, None), (9, None), (0, None))
    assert (found["by_task.money"], found["by_task.ratio"]) == ((37, None), (1, None))
    assert (found["by_task.both"], found["by_task.money_rows"]) == ((2, 0), (2, 0))
    assert found["hours.both"] == (1, 1, 0, 0, 0, 1, 0)
    assert found["hours.money"] == (30, 7, None, None, None, 999, None)
    assert (found["hours_shown.actual"], found["hours_shown.estimated"]) == (191, 36)


def test_packages_of_a_product_are_of_finished_jobs_that_have_both() -> None:
    row = {"workbook": "a.xlsx", "product_no": 1.0, "finished": 1.0}
    found = book(
        by_product=[{"product": "Mix"}],
        materials=[
            {**row, "needed": 10.0, "used": 12.0, "price_variance": -5.0, "quantity_variance": 77.0, "paid": 400.0},
            {**row, "needed": None, "used": 3.0, "quantity_variance": 1.0, "paid": 60.5},
            {**row, "needed": 4.0, "used": 5.0, "finished": 0.0},
        ],
    )

    assert (found["by_product.jobs"], found["by_product.needed"], found["by_product.used"]) == ((2,), (10,), (12,))
    assert (found["by_product.variance"], found["by_product.ratio"], found["by_product.money"]) == ((2,), (1.2,), (73,))
    assert found["materials.both"] == (1, 0, 0)
    assert found["materials_shown.paid"] == 460.5


def test_other_costs_are_added_by_kind_with_their_tax() -> None:
    rows = [
        {"workbook": "a.xlsx", "kind": "travel", "amount": 100.0, "tax": 8.25},
        {"workbook": "b.xlsx", "kind": "Sample panel", "amount": 40.0, "tax": None},
        {"workbook": "b.xlsx", "kind": "travel", "amount": -30.0, "tax": None},
        {"workbook": "c.xlsx", "kind": "permits", "amount": None, "tax": 5.0},
        {"workbook": "c.xlsx", "kind": "bribes", "amount": 5.0, "tax": None},
    ]
    found = book(other_costs=rows)

    assert found["other_costs.cost"] == (108.25, 40, -30, None, 5)
    assert dict(zip(OTHER_KINDS, found["by_kind.cost"], strict=True)) == {
        **dict.fromkeys(OTHER_KINDS), "travel": 78.25, "sample_panel": 40,
    }  # fmt: skip
    assert found["by_kind.money_rows"] == (0, 0, 2, 0, 0, 0, 1, 0)
    assert found["other_costs.kind_no"] == (3, 7, 3, 5, None)
    assert (found["other_shown.amount"], found["other_shown.tax"], found["other_shown.cost"]) == (115, 13.25, 123.25)


def test_bids_are_added_by_what_became_of_them() -> None:
    """Won at (900 - 600)/900, lost at (500 - 450)/500; one without a price counts as a bid and adds nothing."""
    found = book(
        jobs=[
            job(status="won", price_bid=400.0, direct_bid=300.0),
            job(status="won", price_bid=500.0, direct_bid=300.0),
            job(status="won", price_bid=None, direct_bid=77.0),
            job(status="lost", price_bid=500.0, direct_bid=450.0),
        ]
    )
    won, lost, sent = (STATUSES.index(one) for one in ("won", "lost", "sent"))

    assert (found["by_status.jobs"][won], found["by_status.jobs"][lost], found["by_status.jobs"][sent]) == (3, 1, 0)
    assert found["by_status.price"][won] == 900
    assert found["by_status.direct"][won] == 600
    assert found["by_status.margin"][won] == pytest.approx(1 / 3)
    assert found["by_status.margin"][lost] == pytest.approx(0.1)
    assert (found["by_status.price"][sent], found["by_status.margin"][sent]) == (0, None)


# Totals and checks


def test_a_blank_row_of_a_table_without_rows_has_no_figure() -> None:
    blank = [{"workbook": None}]
    found = book(
        jobs=[job()], hours=blank, materials=blank, other_costs=blank, by_task=[{"task": None}], by_product=[{"product": None}], unread=blank
    )

    rows = {name: figure for name, figure in found.items() if name.partition(".")[0] in {"hours", "materials", "other_costs", "by_task", "by_product"}}
    assert len(rows) == 22
    assert {figure for figures in rows.values() for figure in figures} == {None}
    assert (found["totals.jobs"], found["checks.unread"]) == (1, 0)


def sample(dice: random.Random, count: int) -> list[dict[str, Any]]:
    """Return jobs of any status of which any figure may be missing."""
    statuses = [*STATUSES, None]
    rows = []
    for _ in range(count):
        status = dice.choice(statuses)
        amounts = {name: None if dice.random() < 0.15 else round(dice.uniform(0, 9000), 2) for name in MONEY}
        rows.append({"workbook": "a.xlsx", "status": status, "finished": float(status in {"done", "closed"}), **amounts})
    return rows


def test_totals_are_sums_of_what_is_known_and_the_checks_agree() -> None:
    """Contract of the check: Σ(under − over) = Σ earned − Σ billed where both are known."""
    dice = random.Random(11)
    for count in (1, 2, 40):
        rows = sample(dice, count)
        found = book(jobs=rows)
        for block, name in (("jobs", "contract"), ("jobs", "gross_profit"), ("wip", "earned"), ("wip", "over"), ("wip", "provision")):
            known = [one for one in found[f"{block}.{name}"] if one is not None]
            assert found[f"totals.{name}"] == (pytest.approx(math.fsum(known)) if known else None), name
        assert found["checks.wip"] <= 0.005
        assert found["totals.jobs"] == found["jobs_shown.jobs"] == count == sum(found["by_status.jobs"]) + sum(
            row["status"] is None for row in rows
        )


def test_the_order_of_jobs_changes_no_total() -> None:
    rows = sample(random.Random(3), 4)
    totals = {
        tuple((name, figure) for name, figure in book(jobs=list(order)).items() if not isinstance(figure, tuple))
        for order in itertools.permutations(rows)
    }

    assert len(totals) == 1


@pytest.mark.parametrize(
    ("tables", "check", "looks"),
    [
        ({"jobs": [job(hours_actual=5.0)], "hours": [hour(1, 4.0, 5.0)]}, ("hours", 0.0), 0),
        ({"jobs": [job(hours_actual=5.5)], "hours": [hour(1, 4.0, 5.0)]}, ("hours", 0.5), 1),
        ({"jobs": [job()], "hours": [hour(1, 4.0, 5.0)]}, ("hours", None), 0),
        ({"jobs": [job(other_cost=9.0)], "other_costs": [{"workbook": "a", "amount": 8.0, "tax": 1.0}]}, ("other", 0.0), 0),
        ({"jobs": [job(other_cost=9.0)], "other_costs": [{"workbook": "a", "amount": 8.0}]}, ("other", 1.0), 1),
        ({"jobs": [job(unpriced=2.0), job(unpriced=1.0)]}, ("unpriced", 3.0), 1),
        ({"jobs": [job(log_rows_wrong=2.0), job()]}, ("log", 2.0), 1),
        ({"jobs": [job()], "unread": [{"workbook": "a"}, {"workbook": "b"}]}, ("unread", 2.0), 1),
        ({"jobs": [job(log_rows_wrong=2.0)], "unread": [{"workbook": "a"}]}, ("unread", 1.0), 2),
    ],
)
def test_checks_say_what_differs_and_what_is_left_out(tables: Any, check: tuple[str, float | None], looks: int) -> None:
    found = book(**tables)
    name, amount = check

    assert found[f"checks.{name}"] == amount
    assert found["master.looks"] == looks
