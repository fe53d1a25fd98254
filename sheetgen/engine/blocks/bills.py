"""Log: bills and payments, and what is open of them."""
# ruff: noqa: RUF009 - figure() returns an attrs field, which is no default that records would share

from __future__ import annotations

from typing import TYPE_CHECKING, ClassVar

import attrs

from sheetgen.engine.blocks.table import Row, first_fault, flag, table
from sheetgen.engine.lists import BILL_KINDS, number_of
from sheetgen.engine.missing import MISSING, cents, given, known, value
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
    date_fault: Column = figure("no")
    range_fault: Column = figure("no")
    retainage_fault: Column = figure("no")
    fault: Column = figure("no")
    faulty: Column = figure("count")
    only_look: Column = figure("count")
    held: Column = figure("money")
    due: Column = figure("money")
    billed: Column = figure("money")
    tax_billed: Column = figure("money")
    paid: Column = figure("money")


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


def _range_fault(bill: Bill, date_fault: float) -> float:
    """Tell whether more than all of a bill is held, or less than nothing; a credit gives back what was held [no]."""
    amount, retainage = value(bill.amount), value(bill.retainage)
    if not known(amount + retainage):
        return MISSING
    return WRONG_RETAINAGE if amount >= 0 and not 0 <= retainage <= amount else date_fault


def _retainage_fault(bill: Bill, kind_no: float, date_fault: float, range_fault: float) -> float:
    if bill.retainage is None:
        return date_fault
    if bill.kind == _BILL:
        return range_fault
    return WRONG_RETAINAGE if known(kind_no) else MISSING


def _row(bill: Bill, retainage: float) -> Row:
    kind_no = number_of(BILL_KINDS, bill.kind)
    date_fault = NO_DATE * flag(holds=bill.date is None)
    range_fault = _range_fault(bill, date_fault)
    retainage_fault = _retainage_fault(bill, kind_no, date_fault, range_fault)
    fault = first_fault(NO_KIND * flag(holds=not known(kind_no)), NO_AMOUNT * flag(holds=bill.amount is None), retainage_fault)
    faulty = fault not in {0, NO_DATE}
    row: Row = {
        "started": 1.0,
        "kind_no": kind_no,
        "date_fault": date_fault,
        "range_fault": range_fault,
        "retainage_fault": retainage_fault,
        "fault": fault,
        "faulty": flag(holds=faulty),
        "only_look": flag(holds=fault == NO_DATE),
    }
    return row if faulty else row | _money(bill, retainage)


def _money(bill: Bill, retainage: float) -> Row:
    """Return what a row without a fault adds to each sum."""
    amount, tax = value(bill.amount), given(bill.tax, 0)
    if bill.kind == _PAYMENT:
        return {"held": 0.0, "due": 0.0 - amount, "billed": 0.0, "tax_billed": 0.0, "paid": amount}
    if bill.kind == _RELEASE:
        return {"held": 0.0 - amount, "due": amount, "billed": 0.0, "tax_billed": 0.0, "paid": 0.0}
    held = cents(retainage * amount) if bill.retainage is None else bill.retainage
    return {"held": held, "due": amount + tax - held, "billed": amount, "tax_billed": tax, "paid": 0.0}


def make_money(bills: Bills) -> Money:
    """Add bills and payments up; a row with a fault leaves no total."""
    return Money(
        billed=total(bills.billed, bills.started),
        tax_billed=total(bills.tax_billed, bills.started),
        held=total(bills.held, bills.started),
        paid=total(bills.paid, bills.started),
        open=total(bills.due, bills.started),
    )
