"""Published values of labour and price, typed into a workbook and read where a person would read them."""

from __future__ import annotations

import attrs
import pytest
from typed_book import TypedBook
from week_jobs import WEEKS
from worked_job import worked_job

from sheetgen.engine.job import Job
from sheetgen.engine.records import FixedBase, Payment, PaymentTerms


@pytest.mark.parametrize("paragraph", WEEKS)
def test_week_pays(book: TypedBook, paragraph: str) -> None:
    """29 CFR 778, as the paragraph says; read but where said."""
    job, pay = WEEKS[paragraph]
    book.type(job)

    assert book.read("price.labour") + book.read("price.overtime") == pytest.approx(pay, abs=1e-9)


def _priced(**policy: object) -> Job:
    job = worked_job()
    return attrs.evolve(job, policy=attrs.evolve(job.policy, minimum=0, round_to=0, **policy))


@pytest.mark.parametrize(("markup", "margin"), [(0.25, 0.20), (0.50, 1 / 3), (0.30 / 0.70, 0.30)])
def test_markup_and_margin(book: TypedBook, markup: float, margin: float) -> None:
    """Arithmetic: a markup of 25 % is a margin of 20 %, 50 % is 33.333 %, 42.857 % is 30 %."""
    book.type(_priced(price_way="markup", markup=markup))
    by_markup = book.read("price.net"), book.read("price.margin_had")
    book.type(_priced(price_way="margin", margin=margin))

    assert book.read("price.net") == pytest.approx(by_markup[0], abs=1e-9)
    assert book.read("price.markup_had") == pytest.approx(markup, abs=1e-5)
    assert by_markup[1] == pytest.approx(margin, abs=1e-5)


def test_retainage(book: TypedBook) -> None:
    """10 % of 12,400: pay 11,160, hold 1,240. Textbook of construction accounting, read."""
    job = attrs.evolve(
        worked_job(), contract=FixedBase(base_fixed=12_400), terms=PaymentTerms(retainage=0.10), payments=(Payment(name="On completion"),)
    )
    book.type(job)

    assert (book.read("payments.to_pay"), book.read("payments.held"), book.read("paying.held")) == pytest.approx((11_160, 1_240, 1_240))
