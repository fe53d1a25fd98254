"""Log: the materials taken, used and paid."""
# ruff: noqa: RUF009 - figure() returns an attrs field, which is no default that records would share

from __future__ import annotations

from typing import TYPE_CHECKING, ClassVar

import attrs

from sheetgen.engine.blocks.hours import NO_ORDER, ONLY_LOOK, known_cost, own_part
from sheetgen.engine.blocks.table import Row, flag, table
from sheetgen.engine.missing import MISSING, given, known, sixth, value
from sheetgen.engine.values import figure

if TYPE_CHECKING:
    from sheetgen.engine.inputs import Job
    from sheetgen.engine.names import Register
    from sheetgen.engine.records import MaterialsEntry
    from sheetgen.engine.totals import Column


@attrs.frozen(kw_only=True)
class MaterialsLog:
    """The materials log, matched and checked."""

    block: ClassVar[str] = "materials_log"
    over: ClassVar[str | None] = "materials_log"
    scenario: ClassVar[bool] = False

    started: Column = figure("count")
    product_no: Column = figure("no")
    order_no: Column = figure("no")
    bought_logged: Column = figure("package")
    used_logged: Column = figure("package")
    least: Column = figure("package")
    date_fault: Column = figure("no")
    typed_fault: Column = figure("no")
    gap: Column = figure("package")
    too_much: Column = figure("count")
    more_fault: Column = figure("no")
    less_fault: Column = figure("no")
    fault: Column = figure("no")
    only_look: Column = figure("count")
    faulty: Column = figure("count")
    used: Column = figure("package")
    bought: Column = figure("package")
    paid: Column = figure("money")
    unpaid: Column = figure("count")
    own: Column = figure("count")
    bought_own: Column = figure("package")
    used_own: Column = figure("package")
    cost: Column = figure("money")
    priced: Column = figure("count")
    cost_known: Column = figure("money")
    unpriced: Column = figure("count")


def _started(entry: MaterialsEntry) -> bool:
    typed = (entry.date, entry.product, entry.taken, entry.opened, entry.part_left, entry.returned, entry.amount)
    return any(one is not None for one in typed)


def make_materials_log(job: Job, products: Register, orders: Register) -> MaterialsLog:
    """Match each row of the log and find its first fault; one without a date still counts."""
    rows: list[Row] = []
    for entry in job.materials_log:
        product_no = products.number(entry.product)
        rows.append(_row(entry, product_no, orders) if _started(entry) else {"product_no": product_no})
    return table(MaterialsLog, rows)


def _gap(entry: MaterialsEntry) -> float:
    """Return what was opened, returned and is still there, beyond what was taken [package]."""
    found = value(entry.opened) + given(entry.returned, 0) + given(entry.on_site, 0)
    return sixth(found) - sixth(value(entry.taken))


def _row(entry: MaterialsEntry, product_no: float, orders: Register) -> Row:
    bought = 0.0 if entry.taken is None else entry.taken - given(entry.returned, 0)
    used = bought if entry.opened is None else entry.opened - given(entry.part_left, 0)
    least = min(bought, used)
    gap = _gap(entry)
    too_much = gap > 0 or (entry.on_site is not None and gap < 0)
    order_no = orders.number(entry.change_order, blank=NO_ORDER)
    date_fault = ONLY_LOOK * flag(holds=entry.date is None)
    typed_fault = date_fault if known(order_no) else 8.0
    more_fault = 3.0 if too_much else typed_fault
    less_fault = 2.0 if sixth(least) < 0 else more_fault
    fault = less_fault if known(product_no) else 1.0
    faulty = fault not in {0, ONLY_LOOK}
    row: Row = {
        "started": 1.0,
        "product_no": product_no,
        "order_no": order_no,
        "date_fault": date_fault,
        "typed_fault": typed_fault,
        "gap": gap,
        "too_much": flag(holds=too_much),
        "more_fault": more_fault,
        "bought_logged": bought,
        "used_logged": used,
        "least": least,
        "less_fault": less_fault,
        "fault": fault,
        "only_look": flag(holds=fault == ONLY_LOOK),
        "faulty": flag(holds=faulty),
        "used": MISSING if faulty else used,
        "bought": MISSING if faulty else bought,
        "paid": given(entry.amount, 0),
        "unpaid": flag(holds=entry.amount is None and given(entry.taken, 0) > 0),
    }
    cost = MISSING if faulty else value(entry.amount) + given(entry.tax, 0)
    row |= own_part(row, bought_own="bought", used_own="used") | known_cost(cost)
    row["unpriced"] = row["unpaid"] * (1 - row["faulty"])
    return row
