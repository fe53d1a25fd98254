"""Bills and payments: faults, what is held of each, and what is open."""

import datetime as dt

import attrs
import pytest
from engine_jobs import worked_job

from sheetgen.engine.job import compute
from sheetgen.engine.records import Bill, PaymentTerms

DAY = dt.date(2025, 4, 1)
BID = worked_job(afterwards=False)


def billed(*bills, retainage=0.0):
    return compute(attrs.evolve(BID, bills=bills, terms=PaymentTerms(retainage=retainage)))


def sums(values):
    return {name: values.scalar(f"money.{name}") for name in ("billed", "tax_billed", "held", "paid", "open")}


@pytest.mark.parametrize(
    ("bill", "fault"),
    [
        ({"amount": 5}, 1),
        ({"kind": "gift", "amount": 5}, 1),
        ({"kind": "bill"}, 2),
        ({"kind": "payment", "amount": 5, "retainage": 1}, 3),
        ({"kind": "release", "amount": 5, "retainage": 0}, 3),
        ({"kind": "bill", "amount": 5, "retainage": -0.01}, 3),
        ({"kind": "bill", "amount": 5, "retainage": 5.01}, 3),
        ({"kind": "bill", "amount": 5, "retainage": 5}, 0),
        ({"kind": "bill", "amount": 0, "retainage": 0}, 0),
        ({"kind": "bill", "amount": -5, "retainage": -0.5}, 0),
    ],
)
def test_fault(bill, fault):
    values = billed(Bill(date=DAY, **bill))

    assert values.column("bills.fault") == (fault,)
    assert values.scalar("checks.log") == (1 if fault else 0)
    assert (values.column("bills.held") == (None,)) == (values.column("bills.due") == (None,)) == (fault > 0)
    assert (set(sums(values).values()) == {None}) == (fault > 0)


def test_no_date_counts_but_is_looked_at():
    values = billed(Bill(kind="bill", amount=100))

    assert values.column("bills.fault") == (4,)
    assert sums(values)["open"] == 100
    assert (values.scalar("checks.log"), values.scalar("checks.log_dates")) == (0, 1)


def test_from_the_first_bill_to_the_last_payment():
    """1000 with 82.50 tax, a tenth held: 982.50 due. Paid. 500 more with 60 held: 440. Then what was held is billed."""
    bills = (
        Bill(date=DAY, number="1", kind="bill", amount=1000, tax=82.50),
        Bill(date=DAY, kind="payment", amount=982.50),
        Bill(date=DAY, number="2", kind="bill", amount=500, retainage=60),
        Bill(date=DAY, number="3", kind="release", amount=160),
        Bill(date=DAY, kind="payment", amount=600),
    )
    open_after = [0, 982.50, 0, 440, 600, 0]
    held_after = [0, 100, 100, 160, 0, 0]

    for count, (open_, held) in enumerate(zip(open_after, held_after, strict=True)):
        found = sums(billed(*bills[:count], retainage=0.10))
        assert (found["open"], found["held"]) == (open_, held)
    assert sums(billed(*bills, retainage=0.10)) == {"billed": 1500, "tax_billed": 82.50, "held": 0, "paid": 1582.50, "open": 0}


def test_retainage_to_the_cent():
    assert billed(Bill(date=DAY, kind="bill", amount=333.33), retainage=0.075).column("bills.held") == (25.00,)


def test_tax_is_that_of_bills():
    """Tax typed beside a payment says nothing."""
    values = billed(Bill(date=DAY, kind="payment", amount=100, tax=7))

    assert sums(values) == {"billed": 0, "tax_billed": 0, "held": 0, "paid": 100, "open": -100}


def test_a_credit_gives_its_retainage_back():
    values = billed(Bill(date=DAY, kind="bill", amount=-200, tax=-16.5), retainage=0.10)

    assert values.column("bills.held") == (-20,)
    assert values.column("bills.due") == (-196.5,)


def test_without_terms_what_is_held_is_not_known():
    values = billed(Bill(date=DAY, kind="bill", amount=200), Bill(date=DAY, kind="bill", amount=50, retainage=5), retainage=None)

    assert values.column("bills.held") == (None, 5)
    assert sums(values) == {"billed": 250, "tax_billed": 0, "held": None, "paid": 0, "open": None}


def test_blank_rows_are_none():
    values = billed(Bill(note="send it"), Bill())

    assert values.column("bills.started") == values.column("bills.fault") == values.column("bills.kind_no") == (None, None)
    assert set(sums(values).values()) == {0}
