"""Retainage: a textbook of construction accounting, read; through the payment steps of a whole job."""

import attrs
import pytest
from worked_job import worked_job

from sheetgen.engine.job import compute
from sheetgen.engine.records import FixedBase, Payment, PaymentTerms


def test_ten_per_cent():
    """10 % of 12,400: pay 11,160, hold 1,240."""
    terms = {"contract": FixedBase(base_fixed=12_400), "terms": PaymentTerms(retainage=0.10)}
    values = compute(attrs.evolve(worked_job(), payments=(Payment(name="On completion"),), **terms))

    assert values.column("payments.to_pay") == pytest.approx((11_160,))
    assert values.column("payments.held") == pytest.approx((1_240,))
    assert values.scalar("paying.held") == pytest.approx(1_240)
