"""Takeoff: the measured areas."""
# ruff: noqa: RUF009 - figure() returns an attrs field, which is no default that records would share

from __future__ import annotations

from typing import TYPE_CHECKING, ClassVar

import attrs

from sheetgen.engine.blocks.measure import Piece
from sheetgen.engine.blocks.offsets import SHAPE as BY_OFFSETS
from sheetgen.engine.blocks.offsets import Offsets, widths_of
from sheetgen.engine.blocks.table import Row, first_fault, flag, table
from sheetgen.engine.inputs import Display, Job, feet
from sheetgen.engine.lists import SHAPES, SIGNS, number_of
from sheetgen.engine.missing import MISSING, given, known, sixth, value
from sheetgen.engine.names import Register, key
from sheetgen.engine.values import figure

if TYPE_CHECKING:
    from sheetgen.engine.records import Area
    from sheetgen.engine.totals import Column, Texts

_ADD = SIGNS.index("add") + 1.0


@attrs.frozen(kw_only=True)
class Areas:
    """The measured areas."""

    block: ClassVar[str] = "areas"
    over: ClassVar[str | None] = "areas"
    scenario: ClassVar[bool] = False

    started: Column = figure("count")
    key: Texts = figure("text")
    zone_no: Column = figure("no")
    shape_no: Column = figure("no")
    sign_no: Column = figure("no")
    size_a: Column = figure("length")
    size_b: Column = figure("length")
    size_c: Column = figure("length")
    pieces: Column = figure("count")
    offset_key: Texts = figure("text")
    widths: Column = figure("count")
    widths_missing: Column = figure("count")
    simpson: Column = figure("count")
    way: Column = figure("no")
    zero_b: Column = figure("count")
    zero_c: Column = figure("count")
    bad_a: Column = figure("count")
    bad_b: Column = figure("count")
    bad_c: Column = figure("count")
    bad_typed: Column = figure("count")
    bad_widths: Column = figure("count")
    bad_sizes: Column = figure("count")
    rest_a: Column = figure("length")
    rest_b: Column = figure("length")
    rest_c: Column = figure("length")
    rest_all: Column = figure("length")
    slack: Column = figure("length")
    sides_open: Column = figure("count")
    sides_close: Column = figure("count")
    ring_open: Column = figure("count")
    few_widths: Column = figure("count")
    place_fault: Column = figure("no")
    close_fault: Column = figure("no")
    form_fault: Column = figure("no")
    count_fault: Column = figure("no")
    fault: Column = figure("no")
    faulty: Column = figure("count")
    a_or_0: Column = figure("length")
    b_or_0: Column = figure("length")
    c_or_0: Column = figure("length")
    one: Column = figure("length")
    other: Column = figure("length")
    by_sizes: Column = figure("area")
    sides_area: Column = figure("area")
    strip_area: Column = figure("area")
    along: Column = figure("length")
    oval_a: Column = figure("length")
    oval_b: Column = figure("length")
    oval: Column = figure("length")
    oval_root: Column = figure("length")
    around: Column = figure("length")
    each: Column = figure("area")
    area: Column = figure("area")
    perimeter: Column = figure("length")
    added_perimeter: Column = figure("length")
    step_count: Column = figure("count")


def area_row_started(row: Area) -> bool:
    """Tell whether a label or a size is typed in an area row."""
    sizes = (row.first, row.first_in, row.second, row.second_in, row.third, row.third_in)
    typed = (row.label, row.typed, row.typed_perimeter, *sizes)
    return any(one is not None for one in typed)


def is_whole(count: float) -> bool:
    """Tell whether a count is a whole number of 1 or more.

    Parameters
    ----------
    count : float
        How many [count].

    Returns
    -------
    bool
        Whether it is, to 6 places.
    """
    rounded = sixth(count)
    return rounded >= 1 and rounded % 1 == 0


def make_areas(job: Job, zones: Register, offsets: Offsets, display: Display) -> Areas:
    """Measure each row of the takeoff."""
    rows: list[Row] = []
    for number, typed in enumerate(job.areas, start=1):
        row: Row = {"key": key(typed.label)}
        if area_row_started(typed):
            widths = widths_of(offsets, number) if typed.shape == BY_OFFSETS else ()
            row |= _row(typed, widths, zones, display)
        rows.append(row)
    return table(Areas, rows)


def _row(typed: Area, widths: tuple[float, ...], zones: Register, display: Display) -> Row:
    piece = Piece(
        shape=typed.shape or SHAPES[0],
        a=value(feet(typed.first, typed.first_in)),
        b=value(feet(typed.second, typed.second_in)),
        c=value(feet(typed.third, typed.third_in)),
        typed_ft2=value(typed.typed),
        widths=widths,
    )
    zone_no = zones.number(typed.zone, blank=1)
    shape_no = number_of(SHAPES, typed.shape, blank=1)
    sign_no = number_of(SIGNS, typed.sign, blank=_ADD)
    pieces = given(typed.how_many, 1)
    row = piece.figures(display)
    place_fault = 1.0 if not known(zone_no) else 2.0 if not known(shape_no) else 0.0
    form_fault = _form_fault(row)
    count_fault = 0.0 if is_whole(pieces) else 6.0
    fault = first_fault(place_fault, form_fault, count_fault)
    each = around = MISSING
    if fault == 0:
        each, around = piece.each_ft2(), piece.perimeter_ft()
    sign = MISSING if not known(sign_no) else 1.0 if sign_no == _ADD else -1.0
    perimeter = (MISSING if fault != 0 else given(typed.typed_perimeter, around)) * pieces
    steps = pieces * sign if piece.shape == "steps" else 0.0
    return row | {
        "started": 1.0,
        "zone_no": zone_no,
        "shape_no": shape_no,
        "sign_no": sign_no,
        "pieces": pieces,
        "offset_key": key(typed.label) if typed.shape == BY_OFFSETS else None,
        "place_fault": place_fault,
        "form_fault": form_fault,
        "count_fault": count_fault,
        "widths_missing": float(sum(not known(width) for width in widths)),
        "fault": fault,
        "faulty": flag(holds=fault > 0),
        "by_sizes": piece.by_sizes_ft2() if fault == 0 else MISSING,
        "around": around,
        **(piece.oval() if fault == 0 else {}),
        "each": each,
        "area": each * pieces * sign,
        "perimeter": perimeter,
        "added_perimeter": perimeter if sign_no == _ADD else MISSING,
        "step_count": steps if fault == 0 else MISSING,
    }


def _form_fault(row: Row) -> float:
    """Return 3 where a size is wrong, else what keeps the shape from closing, missing without a shape."""
    if "bad_sizes" not in row:
        return MISSING
    return 3.0 if row["bad_sizes"] > 0 else float(row["close_fault"])
