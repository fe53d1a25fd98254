"""Takeoff: the widths of areas that are measured by offsets."""
# ruff: noqa: RUF009 - figure() returns an attrs field, which is no default that records would share

from __future__ import annotations

from collections import Counter
from typing import TYPE_CHECKING, ClassVar

import attrs

from sheetgen.engine import offsets as widths_rules
from sheetgen.engine.blocks.table import Row, flag, table
from sheetgen.engine.inputs import Job, feet
from sheetgen.engine.missing import MISSING, known, value
from sheetgen.engine.names import Register, key
from sheetgen.engine.values import figure

if TYPE_CHECKING:
    from sheetgen.engine.totals import Column

SHAPE = "offsets"


@attrs.frozen(kw_only=True)
class Offsets:
    """The widths of areas measured by offsets."""

    block: ClassVar[str] = "offsets"
    over: ClassVar[str | None] = "offsets"
    scenario: ClassVar[bool] = False

    begun: Column = figure("count")
    area_no: Column = figure("no")
    a: Column = figure("length")
    width_missing: Column = figure("count")
    faulty: Column = figure("count")
    at: Column = figure("count")
    last: Column = figure("count")
    end: Column = figure("count")
    simpson: Column = figure("count")
    end_weight: Column = figure("number")
    odd_weight: Column = figure("number")
    inner_weight: Column = figure("number")
    weight: Column = figure("number")
    part: Column = figure("length")


def make_offsets(job: Job) -> Offsets:
    """Match each width to its area and weigh it."""
    areas = Register(tuple(key(row.label) if row.shape == SHAPE else None for row in job.areas))
    area_nos = [areas.number(row.label) for row in job.offsets]
    widths = Counter(filter(known, area_nos))
    met: Counter[float] = Counter()
    rows = []
    for typed, area_no in zip(job.offsets, area_nos, strict=True):
        met[area_no] += 1
        width = value(feet(typed.width, typed.width_in))
        begun = typed.label is not None or known(width)
        row: Row = {"area_no": area_no, "a": width}
        if begun:
            row |= {"begun": 1.0, "faulty": flag(holds=not known(area_no))}
        if known(area_no):
            row |= _weighed(float(met[area_no]), float(widths[area_no]), width)
        rows.append(row)
    return table(Offsets, rows)


def _weighed(place: float, last: float, width_ft: float) -> Row:
    """Return what a width of a known area counts for; its weight is told apart for ends and inner widths."""
    simpson = widths_rules.is_simpson(last)
    by_parity = widths_rules.SIMPSON_EVEN if place % 2 == 0 else widths_rules.SIMPSON_ODD
    weight = widths_rules.offset_weight(place, last) if known(width_ft) else MISSING
    return {
        "width_missing": flag(holds=not known(width_ft)),
        "at": place,
        "last": last,
        "end": flag(holds=place in {1, last}),
        "simpson": flag(holds=simpson),
        "end_weight": widths_rules.SIMPSON_END if simpson else widths_rules.TRAPEZOID_END,
        "odd_weight": by_parity,
        "inner_weight": by_parity if simpson else widths_rules.TRAPEZOID_INNER,
        "weight": weight,
        "part": weight * width_ft,
    }


def widths_of(offsets: Offsets, area_no: float) -> tuple[float, ...]:
    """Return the widths of one area row.

    Parameters
    ----------
    offsets : Offsets
        All widths.
    area_no : float
        Number of the area row [no].

    Returns
    -------
    tuple of float
        Its widths in order, missing ones among them [ft].
    """
    return tuple(width for no, width in zip(offsets.area_no, offsets.a, strict=True) if no == area_no)


def offset_rows_astray(offsets: Offsets) -> float:
    """Count the rows that name no area [count]."""
    return float(sum(fault > 0 for fault in offsets.faulty))
