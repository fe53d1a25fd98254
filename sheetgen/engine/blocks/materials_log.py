"""Log: the materials taken, used and paid."""
# ruff: noqa: RUF009 - figure() returns an attrs field, which is no default that records would share

from __future__ import annotations

from typing import TYPE_CHECKING, ClassVar

import attrs

from sheetgen.engine.blocks.hours import ONLY_LOOK
from sheetgen.engine.blocks.table import Row, flag, table
from sheetgen.engine.missing import MISSING, given, known, sixth
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
    bought_logged: Column = figure("package")
    used_logged: Column = figure("package")
    least: Column = figure("package")
    date_fault: Column = figure("no")
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


def _started(entry: MaterialsEntry) -> bool:
    typed = (entry.date, entry.product, entry.taken, entry.opened, entry.part_left, entry.returned, entry.amount)
    return any(one is not None for one in typed)


def make_materials_log(job: Job, products: Register) -> MaterialsLog:
    """Match each row of the log and find its first fault; one without a date still counts."""
    rows: list[Row] = []
    for entry in job.materials_log:
        product_no = products.number(entry.product)
        rows.append(_row(entry, product_no) if _started(entry) else {"product_no": product_no})
    return table(MaterialsLog, rows)


def _row(entry: MaterialsEntry, product_no: float) -> Row:
    bought = 0.0 if entry.taken is None else entry.taken - given(entry.returned, 0)
    used = bought if entry.opened is None else entry.opened - given(entry.part_left, 0)
    least = min(bought, used)
    too_much = False
    if entry.taken is not None and entry.opened is not None:
        too_much = sixth(entry.opened + given(entry.returned, 0)) > sixth(entry.taken)
    date_fault = ONLY_LOOK * flag(holds=entry.date is None)
    more_fault = 3.0 if too_much else date_fault
    less_fault = 2.0 if sixth(least) < 0 else more_fault
    fault = less_fault if known(product_no) else 1.0
    faulty = fault not in {0, ONLY_LOOK}
    return {
        "started": 1.0,
        "product_no": product_no,
        "date_fault": date_fault,
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
