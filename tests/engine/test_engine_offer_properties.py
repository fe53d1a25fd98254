"""Properties of the offer, each with the rule that it proves."""

import attrs
import pytest
from drawn_offer import money, offered
from engine_jobs import changed, worked_job
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from sheetgen.engine.job import compute, convert_job
from sheetgen.engine.missing import cents
from sheetgen.engine.records import Option
from sheetgen.engine.values import SCENARIOS

QUICK = settings(max_examples=30, deadline=None, suppress_health_check=[HealthCheck.too_slow])
# Its pours are left to the book: those that were typed are of the systems as bid.
WORKED = attrs.evolve(changed(worked_job(), "policy", price_tax=0.0825), pours=())
jobs = offered(WORKED)


def with_accepted(job, accepted):
    return attrs.evolve(job, options=tuple(attrs.evolve(option, accepted=accepted) for option in job.options))


@QUICK
@given(jobs)
def test_drawn_offers_are_sound(job):
    """The properties below would prove nothing of offers without a price."""
    values = compute(job)

    assert all(values.scalar("price.net", scenario) is not None for scenario in SCENARIOS)
    assert values.column("options.fault") == (0,) * len(job.options)
    assert values.scalar("contract.total") is not None


@QUICK
@given(jobs)
def test_payments_add_up_to_the_price(job):
    """Payment steps add up to the price with tax; the last takes the cents: trade, price."""
    values = compute(job)
    payments, price = values.column("payments.payment"), values.scalar("contract.total")

    assert sum(round(100 * payment) for payment in payments) == round(100 * price)
    assert all(payment == cents(payment) for payment in payments[:-1])
    assert values.scalar("paying.sum") == pytest.approx(price, abs=1e-9)


@QUICK
@given(jobs, money)
def test_price_never_falls_when_cost_rises(job, more):
    """net = cost / (1 - margin), never below the minimum, rounded: none of it turns more cost into a lower price. Trade, price."""
    dearer = changed(job, "costs", permits=job.costs.permits + more)
    before, after = compute(job), compute(dearer)

    for scenario in SCENARIOS:
        assert after.scalar("price.cost", scenario) >= before.scalar("price.cost", scenario)
        assert after.scalar("price.net", scenario) >= before.scalar("price.net", scenario)


@QUICK
@given(jobs)
def test_options_that_nobody_accepts_change_nothing(job):
    """As bid has no option: trade, scenarios. An option on and off again leaves the same cents."""
    bare, off = compute(attrs.evolve(job, options=())), compute(with_accepted(job, "no"))

    for name in bare:
        if name.startswith(("price.", "needs.", "work.", "topping.", "pours.", "paid.")):
            for scenario in ("as_bid", "accepted"):
                of = scenario if isinstance(bare[name], dict) else None
                assert off.cells(name, of) == bare.cells(name, of), name


@QUICK
@given(jobs)
def test_as_bid_and_accepted_are_the_same_without_an_accepted_option(job):
    values = compute(with_accepted(job, None))

    for name, value in values.items():
        if isinstance(value, dict) and not name.startswith("option_on."):
            assert value["as_bid"] == value["accepted"], name


@QUICK
@given(jobs)
def test_one_accepted_option_is_priced_as_the_difference_it_makes(job):
    """Option price = price(option alone) - price(as bid), to the cent: trade, price. What is more is named "options together"."""
    values = compute(job)
    now, taken = values.column("options.price_now"), values.column("options.taken")
    as_bid, accepted = (values.scalar("price.net", scenario) for scenario in ("as_bid", "accepted"))
    apart = sum(price for price, one in zip(now, taken, strict=True) if one == 1)

    for number, price in enumerate(now, start=1):
        assert price == pytest.approx(values.scalar("price.net", f"option_{number}") - as_bid, abs=0.005)
    assert accepted == pytest.approx(as_bid + apart + values.scalar("contract.options_together"), abs=1e-6)


@QUICK
@given(jobs)
def test_contract_adds_up(job):
    """Contract price = as bid + accepted option prices + accepted change orders: trade, price."""
    values = compute(job)
    of = {name: values.scalar(f"contract.{name}") for name in ("base", "options", "net", "tax", "total", "orders", "orders_tax", "all")}

    assert of["net"] == of["base"] + of["options"]
    assert of["tax"] == cents(of["net"] * 0.0825)
    assert of["total"] == of["net"] + of["tax"]
    assert of["all"] == pytest.approx(of["total"] + of["orders"] + of["orders_tax"], abs=1e-9)


@QUICK
@given(jobs, st.sampled_from([0.05, 0.22, 0.4]))
def test_margin_asked_is_margin_had_before_anything_moves_the_price(job, margin):
    """Shown: margin before and after discount, minimum and rounding: trade, price. Without them both are one."""
    plain = changed(changed(job, "policy", margin=margin, minimum=0, round_to=0), "costs", discount=0)
    values = compute(plain)

    for scenario in SCENARIOS:
        assert values.scalar("price.margin_had", scenario) == values.scalar("price.margin_asked", scenario)
        assert values.scalar("price.margin_had", scenario) == pytest.approx(margin, abs=1e-5)  # half a cent of a price


def without_whole_units(job):
    """Return the job with nothing in it that comes in whole packages, batches, visits or steps of a price."""
    return attrs.evolve(
        job,
        products=tuple(attrs.evolve(one, size=one.size / 4096, price=one.price / 4096, on_hand=None) for one in job.products),
        policy=attrs.evolve(job.policy, round_to=0, minimum=0),
        crew=attrs.evolve(job.crew, least_paid=0, mix=0, place=0, trowel=0, second=0, part_bags=1000),
        tasks=tuple(task for task in job.tasks if task.basis not in {"batches", None}),
        visits=tuple(attrs.evolve(visit, hours=0) for visit in job.visits),
    )


@QUICK
@given(st.sampled_from([{"extra_area": 30}, {"colour": "Sealer", "colour_coverage": 80}, {"sealer": "Primer"}]), st.integers(2, 20))
def test_options_of_different_zones_add_up(change, more):
    """Options together come of whole packages, batches and steps only: without these, prices of different zones just add."""
    options = (Option(name="1", zone="Studio", accepted="yes", **change), Option(name="2", zone="Front steps", accepted="yes", extra_area=more))
    values = compute(attrs.evolve(without_whole_units(WORKED), options=options))

    assert all(abs(price) > 1 for price in values.column("options.price_now"))
    assert values.scalar("contract.options_together") == pytest.approx(0, abs=0.30)  # a few packages of less than a cent, and cents


@QUICK
@given(jobs)
def test_unit_system_does_not_change_the_offer(job):
    """Unit system does not change cost: style, habits."""
    us, metric = compute(job), compute(convert_job(job, "metric"))

    for name in ("contract.total", "contract.options_together", "paying.held"):
        assert metric.scalar(name) == pytest.approx(us.scalar(name), abs=1e-6)
    assert metric.column("options.price") == pytest.approx(us.column("options.price"), abs=1e-6)


@QUICK
@given(jobs)
def test_what_ifs_move_one_way(job):
    """More waste, more difficulty and a thicker topping never need less: trade, materials and labour."""
    values = compute(attrs.evolve(job, options=()))

    for name in ("waste", "thickness"):
        for bags in zip(*(values.column("topping.bags_raw", of) for of in (f"{name}_low", "accepted", f"{name}_high")), strict=True):
            assert list(bags) == sorted(bags)
    hours = [values.scalar("work.hours", of) for of in ("difficulty_low", "accepted", "difficulty_high")]
    assert hours == sorted(hours)
