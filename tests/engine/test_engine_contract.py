"""The contract and its payment steps. Hand-worked."""

import datetime as dt

import attrs
import pytest
from engine_jobs import changed, one_area

from sheetgen.engine.job import compute
from sheetgen.engine.records import ChangeOrder, FixedBase, Option, Payment, PaymentTerms, Proposal

# 100 ft² for 1000.00 as given to the customer, taxed at 8 %.
BID = attrs.evolve(changed(one_area(), "policy", price_tax=0.08), contract=FixedBase(base_fixed=1000), terms=PaymentTerms(retainage=0.1))


def paid(*payments, job=BID):
    return compute(attrs.evolve(job, payments=payments))


def figures(values, *names):
    return tuple(values.scalar(f"contract.{name}") for name in names)


class TestContract:
    def test_without_a_given_price_it_is_what_is_reckoned(self):
        values = compute(attrs.evolve(BID, contract=FixedBase()))

        assert values.scalar("contract.base") == values.scalar("contract.base_now") == values.scalar("price.net", "as_bid")

    def test_accepted_options_and_change_orders(self):
        """1000 + 120 - 20 = 1100, taxed 88.00; a change order of 150.50, taxed 12.04."""
        job = attrs.evolve(
            BID,
            options=(
                Option(name="Deeper", thickness=0.2, fixed=120, accepted="yes"),
                Option(name="Smaller", extra_area=-10, fixed=-20, accepted="yes"),
                Option(name="Dear", thickness=0.25, fixed=900, accepted="no"),
            ),
            change_orders=(ChangeOrder(name="CO 1", price=150.50, materials=60, accepted="yes"), ChangeOrder(name="CO 2", price=70)),
        )
        values = compute(job)

        assert figures(values, "base", "options", "net", "tax", "total") == (1000, 100, 1100, 88, 1188)
        assert figures(values, "orders", "orders_tax", "all") == pytest.approx((150.50, 12.04, 1350.54))
        cost = values.scalar("price.cost", "accepted") + 60
        assert figures(values, "cost", "margin") == pytest.approx((cost, (1250.50 - cost) / 1250.50))
        assert values.scalar("contract.per_area") == pytest.approx(1100 / 90)
        assert values.scalar("progress.contract") == 1250.50

    def test_an_option_without_a_given_price_has_the_one_it_makes(self):
        values = compute(attrs.evolve(BID, options=(Option(name="Deeper", thickness=0.2, accepted="yes"),)))
        now = values.column("options.price_now")[0]

        assert now == values.scalar("price.net", "option_1") - values.scalar("price.net", "as_bid") > 0
        assert values.column("options.price") == (now,)
        assert figures(values, "options", "options_together") == (now, 0)

    def test_a_dated_proposal_gives_its_prices(self):
        """One option without a price of the two that are sound, and the price itself."""
        options = (Option(name="1", thickness=0.2), Option(name="2", thickness=0.15, fixed=0), Option(thickness=0.2))
        job = attrs.evolve(BID, options=options, contract=FixedBase())
        dated = attrs.evolve(job, proposal=Proposal(date=dt.date(2025, 3, 1)))

        assert compute(job).scalar("contract.unfixed") == 0
        assert compute(dated).scalar("contract.unfixed") == compute(dated).scalar("checks.fixed") == 2
        assert compute(attrs.evolve(dated, contract=FixedBase(base_fixed=900))).scalar("contract.unfixed") == 1


class TestPayments:
    def test_the_last_step_takes_the_cents(self):
        """1080.00 in thirds: 360 each; at 33 %: 356.40, 356.40 and 367.20."""
        values = paid(Payment(name="1", share=0.33), Payment(name="2", share=0.33), Payment(), Payment(name="3"), Payment())

        assert values.column("payments.payment") == pytest.approx((356.40, 356.40, None, 367.20, None))
        assert values.column("payments.last") == (0, 0, None, 1, None)
        assert values.column("payments.held") == pytest.approx((35.64, 35.64, None, 36.72, None))
        assert values.column("payments.to_pay") == pytest.approx((320.76, 320.76, None, 330.48, None))
        assert values.scalar("paying.held") == pytest.approx(108)
        assert values.scalar("checks.payments") == pytest.approx(0, abs=1e-9)

    def test_an_amount_goes_before_a_share(self):
        values = paid(Payment(name="1", share=0.5, amount=80), Payment(name="2"))

        assert values.column("payments.payment") == (80, 1000)

    @pytest.mark.parametrize(
        ("steps", "faults"),
        [
            ((Payment(name="All"),), (0,)),
            ((Payment(share=0.3), Payment(name="Rest")), (1, 0)),
            ((Payment(name=" ", share=0.3), Payment(name="Rest")), (1, 0)),
            ((Payment(name="1", due="on day 1"), Payment(name="Rest")), (2, 0)),
            ((Payment(name="1", share=0.8), Payment(name="2", share=0.3), Payment(name="Rest")), (0, 0, 4)),
            ((Payment(name="1", share=0.3), Payment(name="Rest", share=0.7)), (0, 0)),
            ((Payment(name="1", share=0.3), Payment(name="Rest", share=0.6)), (0, 5)),
            ((Payment(name="1", share=0.3), Payment(name="Rest", amount=756.01)), (0, 0)),
            ((Payment(name="1", share=0.3), Payment(name="Rest", amount=756.02)), (0, 5)),
        ],
    )
    def test_faults(self, steps, faults):
        values = paid(*steps)

        assert values.column("payments.fault") == faults
        assert values.scalar("checks.payment_rows") == sum(fault in {1, 2, 4} for fault in faults)
        assert values.scalar("checks.payment_last") == sum(fault == 5 for fault in faults)
        assert values.scalar("master.pay_looks") == any(faults)

    def test_without_steps_all_is_due_on_completion(self):
        values = paid()

        assert (values.scalar("paying.sum"), values.scalar("paying.used")) == (0, 0)
        assert values.scalar("checks.payments") == 0
        assert values.column("quote.amount")[-1] == 1080

    def test_without_a_retainage_nothing_is_known_of_what_is_held(self):
        values = paid(Payment(name="All"), job=attrs.evolve(BID, terms=PaymentTerms(retainage=None)))

        assert values.column("payments.payment") == (1080,)
        assert (values.column("payments.held"), values.scalar("paying.held")) == ((None,), None)


def test_lines_of_the_price():
    """As bid, the accepted option, before tax, tax, with tax, and what is held until the end."""
    options = (Option(name="1", thickness=0.2, fixed=40), Option(name="2", thickness=0.2, fixed=100, accepted="yes"))
    values = paid(Payment(name="All"), job=attrs.evolve(BID, options=options))

    assert values.column("quote.amount") == (1000, None, 100, None, None, None, None, 1100, 88, 1188, 118.80, None)
    plain = paid(Payment(name="All"), job=changed(attrs.evolve(BID, options=options), "policy", price_tax=0))
    assert plain.column("quote.amount")[7:] == (None, None, 1100, 110, None)
