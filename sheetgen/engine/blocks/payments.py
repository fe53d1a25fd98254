"""Price: the payment steps, which add up to the price with tax."""
# ruff: noqa: RUF009 - figure() returns an attrs field, which is no default that records would share

from __future__ import annotations

import math
from typing import TYPE_CHECKING, ClassVar

import attrs

from sheetgen.engine.blocks.table import Row, first_fault, flag, table
from sheetgen.engine.missing import cents, given, sixth, value
from sheetgen.engine.names import key
from sheetgen.engine.records import filled
from sheetgen.engine.totals import total
from sheetgen.engine.values import figure

if TYPE_CHECKING:
    from sheetgen.engine.inputs import Job
    from sheetgen.engine.records import Payment
    from sheetgen.engine.totals import Column

NO_NAME, NO_AMOUNT, _, BELOW_ZERO, NOT_THE_REST = map(float, range(1, 6))
# How far what is typed on the last step may be off what is left before it is worth a look.
_NEAR = 0.01


@attrs.frozen(kw_only=True)
class Payments:
    """The payment steps."""

    block: ClassVar[str] = "payments"
    over: ClassVar[str | None] = "payments"
    scenario: ClassVar[bool] = False

    started: Column = figure("count")
    last: Column = figure("count")
    fault: Column = figure("no")
    faulty: Column = figure("count")
    only_look: Column = figure("count")
    payment: Column = figure("money")
    held: Column = figure("money")
    to_pay: Column = figure("money")


@attrs.frozen(kw_only=True)
class Paying:
    """All payment steps together."""

    block: ClassVar[str] = "paying"
    over: ClassVar[str | None] = None
    scenario: ClassVar[bool] = False

    sum: float = figure("money")
    held: float = figure("money")


def _asked(step: Payment, price: float) -> float:
    """Return what is typed of a step: an amount, else a share of the price [money]."""
    return given(step.amount, cents(value(step.share) * price))


def make_payments(job: Job, price: float) -> Payments:
    """Split the price with tax up; the last step takes what the others leave, to the cent.

    Parameters
    ----------
    job : Job
        With the steps.
    price : float
        Price with tax that the steps add up to, perhaps missing [money].
    """
    begun = [filled(step) for step in job.payments]
    last = max((row for row, here in enumerate(begun) if here), default=-1)
    asked = [_asked(step, price) for step in job.payments]
    rest = price - math.fsum(amount for row, amount in enumerate(asked) if begun[row] and row != last)
    retainage = value(job.terms.retainage)
    rows: list[Row] = []
    for row, step in enumerate(job.payments):
        if not begun[row]:
            rows.append({})
            continue
        payment = rest if row == last else asked[row]
        amount_fault = NO_AMOUNT * flag(holds=row != last and step.share is None and step.amount is None)
        rest_fault = first_fault(BELOW_ZERO * flag(holds=sixth(rest) < 0), NOT_THE_REST * flag(holds=sixth(abs(asked[row] - rest)) > _NEAR))
        fault = first_fault(NO_NAME * flag(holds=key(step.name) is None), amount_fault, rest_fault if row == last else 0.0)
        held = cents(payment * retainage)
        rows.append(
            {
                "started": 1.0,
                "last": flag(holds=row == last),
                "fault": fault,
                "faulty": flag(holds=fault not in {0, NOT_THE_REST}),
                "only_look": flag(holds=fault == NOT_THE_REST),
                "payment": payment,
                "held": held,
                "to_pay": payment - held,
            }
        )
    return table(Payments, rows)


def make_paying(payments: Payments) -> Paying:
    """Add the steps up."""
    return Paying(sum=total(payments.payment, payments.started), held=total(payments.held, payments.started))
