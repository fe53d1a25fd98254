"""Properties of the logs, each with the rule that it proves."""

import math

import attrs
import pytest
from drawn_logs import logged
from engine_jobs import changed, worked_job
from hypothesis import HealthCheck, assume, given, settings
from hypothesis import strategies as st

from sheetgen.engine.job import compute

QUICK = settings(max_examples=25, deadline=None, suppress_health_check=[HealthCheck.too_slow])
WORKED = worked_job()
LOGS = ("hours_log", "materials_log", "costs_log")
jobs = logged(WORKED) | logged(changed(WORKED, "job", status="running"))


def known(figures):
    return [one for one in figures if one is not None]


def block(values, *names):
    return {name: values[name] for name in values if name.partition(".")[0] in names}


@QUICK
@given(jobs)
def test_drawn_logs_are_sound(job):
    """The properties below would prove nothing of rows with a fault."""
    values = compute(job)

    assert values.scalar("checks.log") == 0
    assert values.scalar("price.total", "accepted") is not None


@QUICK
@given(jobs)
def test_change_orders_stand_apart_from_the_bid(job):
    """A row with a change order counts for that order, not for its task, product, system or kind."""
    bid = {name: tuple(row for row in getattr(job, name) if row.change_order is None) for name in LOGS}
    with_orders, without = compute(job), compute(attrs.evolve(job, **bid, change_orders=()))

    for name, value in block(without, "tasks", "products", "systems", "other_costs", "price").items():
        assert with_orders[name] == value, name


@QUICK
@given(jobs)
def test_every_cost_counts_once(job):
    """What was spent is what was spent for the bid and for each change order, and on labour, materials and the rest."""
    values = compute(job)
    costs = [(cost, order) for log in LOGS for cost, order in zip(values.column(f"{log}.cost"), values.column(f"{log}.order_no"), strict=True)]
    of_bid = [cost for cost, order in costs if order == 0]
    of_orders = values.column("change_orders.actual_cost")
    parts = [values.scalar(f"progress.{name}_cost") for name in ("labour", "materials", "other")]

    assert values.scalar("progress.actual_cost") == pytest.approx(math.fsum(known(of_bid)) + math.fsum(known(of_orders)), abs=1e-6)
    assert values.scalar("progress.actual_cost") == pytest.approx(math.fsum(parts), abs=1e-9)


@QUICK
@given(jobs)
def test_what_is_open_is_billed_and_neither_held_nor_paid(job):
    """open = billed + tax - held - paid: retainage is held from each bill, and due once it is released; trade, price."""
    values = compute(job)
    billed, tax, held, paid = (values.scalar(f"money.{name}") for name in ("billed", "tax_billed", "held", "paid"))

    assert values.scalar("money.open") == pytest.approx(billed + tax - held - paid, abs=1e-6)


@QUICK
@given(jobs, st.randoms(use_true_random=False))
def test_row_order_does_not_change_totals(job, dice):
    """Row order does not change totals: style, habits."""
    mixed = {}
    for name in (*LOGS, "bills"):
        rows = list(getattr(job, name))
        dice.shuffle(rows)
        mixed[name] = tuple(rows)
    before, after = (block(compute(one), "money", "progress", "compare", "orders", "other_costs", "tasks") for one in (job, attrs.evolve(job, **mixed)))

    assert after == before


@QUICK
@given(jobs)
def test_actual_and_to_go_make_the_end(job):
    """at completion = actual + to go; over = at completion - budget; profit = contract - at completion."""
    values = compute(job)
    actual, end, to_go, over, budget, contract, profit = (
        values.scalar(f"progress.{name}") for name in ("actual_cost", "at_completion", "to_go", "over", "budget", "contract", "profit")
    )
    assume(end is not None)

    assert actual + to_go == pytest.approx(end, abs=1e-6)
    assert budget + over == pytest.approx(end, abs=1e-6)
    assert contract - profit == pytest.approx(end, abs=1e-6)


@QUICK
@given(jobs)
def test_no_more_than_all_is_done(job):
    """A share of the job is 0 to 1, where nothing was credited beyond what was spent."""
    values = compute(job)
    share, actual = values.scalar("progress.share"), values.scalar("progress.actual_cost")
    assume(share is not None)
    assume(actual >= 0)

    assert 0 <= share <= 1
