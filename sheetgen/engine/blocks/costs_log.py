"""Log: what was paid beside materials and labour."""
# ruff: noqa: RUF009 - figure() returns an attrs field, which is no default that records would share

from __future__ import annotations

from typing import TYPE_CHECKING, ClassVar

import attrs

from sheetgen.engine.blocks.hours import NO_ORDER, known_cost
from sheetgen.engine.blocks.table import Row, first_fault, flag, table
from sheetgen.engine.lists import OTHER_KINDS, number_of
from sheetgen.engine.missing import MISSING, given, known, value
from sheetgen.engine.records import filled
from sheetgen.engine.values import figure

if TYPE_CHECKING:
    from sheetgen.engine.inputs import Job
    from sheetgen.engine.names import Register
    from sheetgen.engine.records import CostEntry
    from sheetgen.engine.totals import Column

NO_KIND, NO_AMOUNT, WRONG_ORDER, NO_DATE = map(float, range(1, 5))


@attrs.frozen(kw_only=True)
class CostsLog:
    """The log of other costs, matched and checked."""

    block: ClassVar[str] = "costs_log"
    over: ClassVar[str | None] = "costs_log"
    scenario: ClassVar[bool] = False

    started: Column = figure("count")
    kind_no: Column = figure("no")
    order_no: Column = figure("no")
    date_fault: Column = figure("no")
    order_fault: Column = figure("no")
    fault: Column = figure("no")
    faulty: Column = figure("count")
    only_look: Column = figure("count")
    cost: Column = figure("money")
    priced: Column = figure("count")
    cost_known: Column = figure("money")


def make_costs_log(job: Job, orders: Register) -> CostsLog:
    """Match each row of the log and find its first fault; one without a date still counts."""
    begun = [filled(entry, "change_order", "note") for entry in job.costs_log]
    return table(CostsLog, [_row(entry, orders) if any_typed else {} for entry, any_typed in zip(job.costs_log, begun, strict=True)])


def _row(entry: CostEntry, orders: Register) -> Row:
    kind_no = number_of(OTHER_KINDS, entry.kind)
    order_no = orders.number(entry.change_order, blank=NO_ORDER)
    date_fault = NO_DATE * flag(holds=entry.date is None)
    order_fault = date_fault if known(order_no) else WRONG_ORDER
    fault = first_fault(NO_KIND * flag(holds=not known(kind_no)), NO_AMOUNT * flag(holds=entry.amount is None), order_fault)
    faulty = fault not in {0, NO_DATE}
    return {
        "started": 1.0,
        "kind_no": kind_no,
        "order_no": order_no,
        "date_fault": date_fault,
        "order_fault": order_fault,
        "fault": fault,
        "faulty": flag(holds=faulty),
        "only_look": flag(holds=fault == NO_DATE),
        **known_cost(MISSING if faulty else value(entry.amount) + given(entry.tax, 0)),
    }
