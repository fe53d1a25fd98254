"""Other costs: each fault of a row, credits, and each kind against its line of the price."""

import datetime as dt

import attrs
import pytest
from engine_jobs import looks_but_slab, worked_job

from sheetgen.engine.job import compute
from sheetgen.engine.lists import OTHER_KINDS
from sheetgen.engine.records import ChangeOrder, CostEntry

DAY = dt.date(2025, 3, 18)
BID = attrs.evolve(worked_job(afterwards=False), change_orders=(ChangeOrder(name="CO 1", price=0),))


def costs(*entries, job=BID):
    return compute(attrs.evolve(job, costs_log=entries))


def of(values, kind, name):
    return values.column(f"other_costs.{name}")[OTHER_KINDS.index(kind)]


@pytest.mark.parametrize(
    ("entry", "fault"),
    [
        ({"amount": 5}, 1),
        ({"kind": "rent", "amount": 5}, 1),
        ({"kind": "permits"}, 2),
        ({"kind": "permits", "amount": 5, "change_order": "CO 9"}, 3),
        ({"kind": "permits", "amount": 5, "change_order": " co 1"}, 0),
        ({"kind": "permits", "amount": 5, "change_order": "  "}, 0),
        ({"kind": "permits", "amount": 0}, 0),
        ({"kind": "permits", "amount": -5}, 0),
    ],
)
def test_fault(entry, fault):
    values = costs(CostEntry(date=DAY, **entry))

    assert values.column("costs_log.fault") == (fault,)
    assert values.scalar("checks.log") == (1 if fault else 0)
    assert (values.column("costs_log.cost") == (None,)) == (fault > 0)


def test_the_first_fault_is_named():
    """Kind, amount, order, date: in this order."""
    rows = (
        CostEntry(receipt="7", change_order="CO 9"),
        CostEntry(kind="other", change_order="CO 9"),
        CostEntry(kind="other", amount=1, change_order="CO 9"),
        CostEntry(kind="other", amount=1),
    )

    assert costs(*rows).column("costs_log.fault") == (1, 2, 3, 4)


def test_no_date_counts_but_is_looked_at():
    values = costs(CostEntry(kind="permits", amount=80))

    assert values.column("costs_log.cost") == (80,)
    assert (values.scalar("checks.log"), values.scalar("checks.log_dates")) == (0, 1)
    assert looks_but_slab(values) == 1


def test_only_a_note_or_an_order_does_not_begin_a_row():
    values = costs(CostEntry(note="ask again", change_order="CO 1"))

    for name in ("started", "kind_no", "order_no", "fault", "faulty", "only_look", "cost"):
        assert values.column(f"costs_log.{name}") == (None,)


def test_tax_is_paid_too_and_a_credit_comes_off():
    values = costs(
        CostEntry(date=DAY, kind="disposal", amount=50, tax=3.25),
        CostEntry(date=DAY, kind="disposal", amount=-20, tax=-1.30),
    )

    assert values.column("costs_log.cost") == (53.25, -21.30)
    assert of(values, "disposal", "actual") == pytest.approx(31.95, abs=1e-9)
    assert of(values, "disposal", "logged") == 2


def test_against_the_lines_of_the_price():
    """The worked job: freight 45, disposal 40, sample panel 60, a grinder for a day 95."""
    values = costs(CostEntry(date=DAY, kind="freight", amount=52), CostEntry(date=DAY, kind="other", amount=9))

    estimated = dict(zip(OTHER_KINDS, values.column("other_costs.estimated"), strict=True))
    assert estimated["freight"] == 45
    assert estimated["disposal"] == 40
    assert estimated["sample_panel"] == 60
    assert estimated["equipment"] == 95
    assert estimated["subcontract"] == estimated["permits"] == 0
    assert estimated["travel"] == values.scalar("price.travel", "accepted")
    assert estimated["other"] == 0  # no line of the price is kept for it
    assert of(values, "freight", "variance") == 7
    assert of(values, "other", "variance") == 9


def test_not_logged_is_not_zero():
    values = costs()

    assert set(values.column("other_costs.logged")) == {0}
    assert set(values.column("other_costs.actual")) == set(values.column("other_costs.variance")) == {None}


def test_a_row_without_its_amount_leaves_its_own_kind_unknown():
    values = costs(
        CostEntry(date=DAY, kind="freight", amount=52), CostEntry(date=DAY, kind="freight"), CostEntry(date=DAY, kind="permits", amount=80)
    )

    assert (of(values, "freight", "logged"), of(values, "freight", "actual")) == (2, None)
    assert of(values, "permits", "actual") == 80
    assert values.scalar("progress.other_cost") == 132


def test_what_a_change_order_cost_is_not_the_bid_s():
    values = costs(CostEntry(date=DAY, kind="permits", amount=80, change_order="CO 1"))

    assert of(values, "permits", "logged") == 0
    assert of(values, "permits", "actual") is None
    assert values.column("change_orders.actual_cost") == (80,)
    assert values.scalar("progress.other_cost") == 80


def test_a_job_without_a_price_has_nothing_to_compare_with():
    job = attrs.evolve(BID, products=tuple(attrs.evolve(one, price=None) for one in BID.products))
    values = costs(CostEntry(date=DAY, kind="equipment", amount=80), job=attrs.evolve(job, equipment=(attrs.evolve(BID.equipment[0], day_rate=None),)))

    assert of(values, "equipment", "estimated") is None
    assert of(values, "equipment", "actual") == 80
    assert of(values, "equipment", "variance") is None
