"""Log: bills and payments, and what is open of them."""
# ruff: noqa: RUF009 - figure() returns an attrs field, which is no default that records would share

from __future__ import annotations

from typing import TYPE_CHECKING, ClassVar

import attrs

from sheetgen.engine.blocks.table import Row, first_fault, flag, table
from sheetgen.engine.lists import BILL_KINDS, number_of
from sheetgen.engine.missing import MISSING, cents, given, known, sixth, value
from sheetgen.engine.records import filled
from sheetgen.engine.totals import Column, total
from sheetgen.engine.values import figure

if TYPE_CHECKING:
    from sheetgen.engine.inputs import Job
    from sheetgen.engine.records import Bill

NO_KIND, NO_AMOUNT, WRONG_RETAINAGE, NO_DATE = map(float, range(1, 5))
_BILL, _PAYMENT, _RELEASE = BILL_KINDS


@attrs.frozen(kw_only=True)
class Bills:
    """Bills and payments, checked."""

    block: ClassVar[str] = "bills"
    over: ClassVar[str | None] = "bills"
    scenario: ClassVar[bool] = False

    started: Column = figure("count")
    kind_no: Column = figure("no")
    fault: Column = figure("no")
    faulty: Column = figure("count")
    only_look: Column = figure("count")
    held: Column = figure("money")
    due: Column = figure("money")


@attrs.frozen(kw_only=True)
class Money:
    """What was billed, held and paid, and what is open."""

    block: ClassVar[str] = "money"
    over: ClassVar[str | None] = None
    scenario: ClassVar[bool] = False

    billed: float = figure("money")
    tax_billed: float = figure("money")
    held: float = figure("money")
    paid: float = figure("money")
    open: float = figure("money")


def make_bills(job: Job) -> Bills:
    """Tell what is held and due of each bill; one without a date still counts."""
    retainage = value(job.terms.retainage)
    return table(Bills, [_row(bill, retainage) if filled(bill, "note") else {} for bill in job.bills])


def _is_wrong(bill: Bill) -> bool:
    """Tell whether a retainage is typed that cannot be held: from no bill, or more than all of one."""
    if bill.retainage is None:
        return False
    if bill.kind != _BILL:
        return True
    amount = given(bill.amount, 0)
    return amount >= 0 and not 0 <= sixth(bill.retainage) <= sixth(amount)


def _row(bill: Bill, retainage: float) -> Row:
    kind_no = number_of(BILL_KINDS, bill.kind)
    fault = first_fault(
        NO_KIND * flag(holds=not known(kind_no)),
        NO_AMOUNT * flag(holds=bill.amount is None),
        WRONG_RETAINAGE * flag(holds=_is_wrong(bill)),
        NO_DATE * flag(holds=bill.date is None),
    )
    faulty = fault not in {0, NO_DATE}
    held, due = (MISSING, MISSING) if faulty else _held_and_due(bill, retainage)
    return {
        "started": 1.0,
        "kind_no": kind_no,
        "fault": fault,
        "faulty": flag(holds=faulty),
        "only_look": flag(holds=fault == NO_DATE),
        "held": held,
        "due": due,
    }


def _held_and_due(bill: Bill, retainage: float) -> tuple[float, float]:
    """Return what a row adds to the money held, and to the money due [money]."""
    amount = value(bill.amount)
    if bill.kind == _PAYMENT:
        return 0.0, 0.0 - amount
    if bill.kind == _RELEASE:
        return 0.0 - amount, amount
    held = cents(retainage * amount) if bill.retainage is None else bill.retainage
    return held, amount + given(bill.tax, 0) - held


def make_money(job: Job, bills: Bills) -> Money:
    """Add bills and payments up; a row with a fault leaves no total."""

    def added(kind: str, name: str) -> float:
        """Add an input of the rows of one kind up; a blank counts nothing."""
        figures = [given(getattr(bill, name), 0) if bill.kind == kind else 0.0 for bill in job.bills]
        sound = [MISSING if faulty == 1 else one for one, faulty in zip(figures, bills.faulty, strict=True)]
        return total(sound, bills.started)

    return Money(
        billed=added(_BILL, "amount"),
        tax_billed=added(_BILL, "tax"),
        held=total(bills.held, bills.started),
        paid=added(_PAYMENT, "amount"),
        open=total(bills.due, bills.started),
    )
