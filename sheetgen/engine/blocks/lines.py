"""Materials: lines, checked and matched, and what they need."""
# ruff: noqa: RUF009 - figure() returns an attrs field, which is no default that records would share

from __future__ import annotations

from typing import TYPE_CHECKING, ClassVar

import attrs

from sheetgen.engine.blocks.laid import column_of
from sheetgen.engine.blocks.scope import Ground, by_surface, counted_once, of_whole_job, scope_at, scope_of
from sheetgen.engine.blocks.table import Row, flag, table
from sheetgen.engine.lists import SURFACES
from sheetgen.engine.materials import need_of_basis
from sheetgen.engine.missing import MISSING, above_zero, given, known, value
from sheetgen.engine.records import filled
from sheetgen.engine.values import figure

if TYPE_CHECKING:
    from sheetgen.engine.blocks.laid import Basis
    from sheetgen.engine.inputs import Job
    from sheetgen.engine.names import Register
    from sheetgen.engine.totals import Column



@attrs.frozen(kw_only=True)
class Lines:
    """The lines, with their names matched."""

    block: ClassVar[str] = "lines"
    over: ClassVar[str | None] = "lines"
    scenario: ClassVar[bool] = False

    started: Column = figure("count")
    product_no: Column = figure("no")
    basis_no: Column = figure("no")
    system_no: Column = figure("no")
    surface_no: Column = figure("no")
    zone_no: Column = figure("no")
    repair_no: Column = figure("no")
    in_floor: Column = figure("number")
    in_wall: Column = figure("number")
    in_step: Column = figure("number")
    rate: Column = figure("pack/basis")
    repair_fault: Column = figure("no")
    zone_fault: Column = figure("no")
    scope_fault: Column = figure("no")
    basis_fault: Column = figure("no")
    fault: Column = figure("no")
    faulty: Column = figure("count")


@attrs.frozen(kw_only=True)
class LineNeeds:
    """What each line needs of its product."""

    block: ClassVar[str] = "line_needs"
    over: ClassVar[str | None] = "lines"
    scenario: ClassVar[bool] = True

    base: Column = figure("no")
    column_no: Column = figure("no")
    system: Column = figure("no")
    surface: Column = figure("no")
    zone: Column = figure("no")
    mask: Column = figure("no")
    repaired: Column = figure("count")
    basis_floor: Column = figure("basis")
    basis_wall: Column = figure("basis")
    basis_step: Column = figure("basis")
    whole: Column = figure("basis")
    once: Column = figure("basis")
    quantity: Column = figure("basis")
    need: Column = figure("pack")


def make_lines(job: Job, products: Register, systems: Register, zones: Register) -> Lines:
    """Match the names of each line and find its first fault."""
    rows: list[Row] = []
    for line in job.lines:
        if not filled(line, "source"):
            rows.append({})
            continue
        scope = scope_of(line, systems, zones)
        product_no = products.number(line.product)
        repair_fault = 0.0 if known(scope.repair_no) else 7.0
        zone_fault = repair_fault if known(scope.zone_no) else 6.0
        scope_fault = 4.0 if not known(scope.system_no) else 5.0 if not known(scope.surface_no) else zone_fault
        basis_fault = 2.0 if not known(scope.basis_no) else 3.0 if line.dose is None else scope_fault
        fault = basis_fault if known(product_no) else 1.0
        rows.append(
            scope.figures()
            | {
                "started": 1.0,
                "product_no": product_no,
                "rate": value(line.dose) / above_zero(given(line.per, 1)),
                "repair_fault": repair_fault,
                "zone_fault": zone_fault,
                "scope_fault": scope_fault,
                "basis_fault": basis_fault,
                "fault": fault,
                "faulty": flag(holds=fault > 0),
            }
        )
    return table(Lines, rows)


def make_line_needs(job: Job, lines: Lines, ground: Ground, basis: Basis, visits: float) -> LineNeeds:
    """Compute what each line needs; a line with a fault has no need."""
    rows: list[Row] = []
    for row, line in enumerate(job.lines):
        if not known(lines.started[row]):
            rows.append({})
            continue
        scope = scope_at(lines, row)
        on, repaired = by_surface(basis, ground, scope), ground.zones_in(scope)
        whole = of_whole_job(scope, visits)
        once = counted_once(scope, repaired, whole)
        inside = (lines.in_floor[row], lines.in_wall[row], lines.in_step[row])
        quantity = sum(amount * here for amount, here in zip(on, inside, strict=True)) + once
        need = MISSING
        if lines.fault[row] == 0:
            need = need_of_basis(quantity, lines.rate[row], given(line.waste, 0))
        rows.append(
            dict(zip((f"basis_{code}" for code in SURFACES), on, strict=True))
            | {
                "base": scope.basis_no,
                "column_no": column_of(scope.basis_no),
                "system": scope.system_no,
                "surface": scope.surface_no,
                "zone": scope.zone_no,
                "mask": scope.mask,
                "repaired": repaired,
                "whole": whole,
                "once": once,
                "quantity": quantity,
                "need": need,
            }
        )
    return table(LineNeeds, rows)
