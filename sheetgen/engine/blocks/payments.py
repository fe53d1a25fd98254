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
    order: Column = figure("no")
    last: Column = figure("count")
    by_share: Column = figure("money")
    own: Column = figure("money")
    advance: Column = figure("money")
    payment: Column = figure("money")
    held: Column = figure("money")
    to_pay: Column = figure("money")
    gap: Column = figure("money")
    rest_fault: Column = figure("no")
    last_fault: Column = figure("no")
    amount_fault: Column = figure("no")
    fault: Column = figure("no")
    faulty: Column = figure("count")
    only_look: Column = figure("count")


@attrs.frozen(kw_only=True)
class Paying:
    """All payment steps together."""

    block: ClassVar[str] = "paying"
    over: ClassVar[str | None] = None
    scenario: ClassVar[bool] = False

    used: float = figure("count")
    rest: float = figure("money")
    sum: float = figure("money")
    held: float = figure("money")


def make_payments(job: Job, price: float) -> tuple[Payments, Paying]:
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
    rows = [_asked(step, price, last=row == last) if begun[row] else {} for row, step in enumerate(job.payments)]
    rest = price - math.fsum(row["advance"] for row in rows if row)
    retainage = value(job.terms.retainage)
    for number, (row, step) in enumerate(zip(rows, job.payments, strict=True), start=1):
        if "own" in row:
            row.update(_rest_faults(row, rest))
            payment = rest if row["last"] == 1 else row["own"]
            held = cents(payment * retainage)
            row.update(_faults(row, step), order=float(number), payment=payment, held=held, to_pay=payment - held)
    payments = table(Payments, rows)
    return payments, Paying(
        used=float(sum(begun)),
        rest=rest,
        sum=total(payments.payment, payments.started),
        held=total(payments.held, payments.started),
    )


def _asked(step: Payment, price: float, *, last: bool) -> Row:
    """Return what is typed of a step: an amount, else a share of the price."""
    by_share = cents(value(step.share) * price)
    own = given(step.amount, by_share)
    return {"started": 1.0, "last": flag(holds=last), "by_share": by_share, "own": own, "advance": 0.0 if last else own}


def _rest_faults(row: Row, rest: float) -> Row:
    """Tell what would be wrong with the last step; what cannot be told is no fault."""
    gap = abs(row["own"] - rest)
    rest_fault = NOT_THE_REST * flag(holds=sixth(gap) > _NEAR)
    return {"gap": gap, "rest_fault": rest_fault, "last_fault": BELOW_ZERO if sixth(rest) < 0 else rest_fault}


def _faults(row: Row, step: Payment) -> Row:
    nothing = NO_AMOUNT * flag(holds=step.share is None and step.amount is None)
    amount_fault = row["last_fault"] if row["last"] == 1 else nothing
    fault = first_fault(NO_NAME * flag(holds=key(step.name) is None), amount_fault)
    return {
        "amount_fault": amount_fault,
        "fault": fault,
        "faulty": flag(holds=fault not in {0, NOT_THE_REST}),
        "only_look": flag(holds=fault == NOT_THE_REST),
    }
