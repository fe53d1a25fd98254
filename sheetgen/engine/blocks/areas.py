"""Takeoff: the measured areas and their offsets."""

from __future__ import annotations

from collections import Counter
from typing import ClassVar

import attrs

from sheetgen.engine import perimeter, takeoff
from sheetgen.engine.inputs import Display, Job, feet
from sheetgen.engine.lists import SHAPES, SIGNS, number_of
from sheetgen.engine.missing import MISSING, given, known, sixth, value
from sheetgen.engine.names import Register, key, keys
from sheetgen.engine.records import Area
from sheetgen.engine.totals import Column, Texts, sum_known
from sheetgen.engine.values import figure

_ADD = 1.0
_WIDTHS_LEAST = 2


@attrs.frozen(kw_only=True)
class Offsets:
    """The widths of areas measured by offsets."""

    block: ClassVar = "offsets"
    over: ClassVar = "offsets"
    scenario: ClassVar = False

    area_no: Column = figure("no")
    a: Column = figure("length")
    at: Column = figure("count")
    weight: Column = figure("number")


@attrs.frozen(kw_only=True)
class Areas:
    """The measured areas."""

    block: ClassVar = "areas"
    over: ClassVar = "areas"
    scenario: ClassVar = False

    started: Column = figure("count")
    key: Texts = figure("text")
    zone_no: Column = figure("no")
    shape_no: Column = figure("no")
    size_a: Column = figure("length")
    size_b: Column = figure("length")
    size_c: Column = figure("length")
    widths: Column = figure("count")
    each: Column = figure("area")
    area: Column = figure("area")
    perimeter: Column = figure("length")
    fault: Column = figure("no")


def offset_rows_started(job: Job) -> tuple[bool, ...]:
    """Tell for each offset row whether a label or a width is typed."""
    return tuple(row.label is not None or feet(row.width, row.width_in) is not None for row in job.offsets)


def make_offsets(job: Job) -> Offsets:
    """Match each width to its area and weigh it."""
    measured = (key(row.label) if row.shape == "offsets" else None for row in job.areas)
    areas = Register(tuple(measured))
    area_no = tuple(areas.number(row.label) for row in job.offsets)
    widths = Counter(filter(known, area_no))
    met: Counter[float] = Counter()
    at, weight = [], []
    lengths = tuple(value(feet(row.width, row.width_in)) for row in job.offsets)
    for number, length in zip(area_no, lengths, strict=True):
        met[number] += 1
        place = float(met[number]) if known(number) else MISSING
        at.append(place)
        counts = known(number) and known(length)
        weight.append(takeoff.offset_weight(place, widths[number]) if counts else MISSING)
    return Offsets(area_no=area_no, a=lengths, at=tuple(at), weight=tuple(weight))


def area_row_started(row: Area) -> bool:
    """Tell whether a label or a size is typed in an area row."""
    sizes = (row.first, row.first_in, row.second, row.second_in, row.third, row.third_in)
    typed = (row.label, row.typed, row.typed_perimeter, *sizes)
    return any(one is not None for one in typed)


@attrs.frozen(kw_only=True)
class _Piece:
    """One row of areas, with what its sums need; lengths in feet, NaN where missing."""

    row: Area
    a: float
    b: float
    c: float
    widths: tuple[float, ...] | None

    def sizes_are_there(self) -> bool:
        """Tell whether every size that the shape needs is there and above what it must be."""
        a, b, c = self.a, self.b, self.c
        match self.row.shape or "rectangle":
            case "typed":
                return value(self.row.typed) > 0
            case "circle" | "half_circle" | "quarter_circle":
                return a > 0
            case "ring":
                return a > 0 and b >= 0
            case "steps":
                return a > 0 and b > 0 and c >= 0
            case "trapezoid" | "three_sides":
                return a > 0 and b > 0 and c > 0
            case "offsets":
                return a > 0 and all(map(known, self.widths or ()))
            case _:
                return a > 0 and b > 0

    def each_ft2(self) -> float:
        """Return the area of one piece without a fault [ft²]."""
        a, b, c = self.a, self.b, self.c
        match self.row.shape or "rectangle":
            case "rectangle":
                return takeoff.rectangle_area_ft2(a, b)
            case "triangle":
                return takeoff.triangle_area_ft2(a, b)
            case "trapezoid":
                return takeoff.trapezoid_area_ft2(a, b, c)
            case "circle":
                return takeoff.circle_area_ft2(a)
            case "half_circle":
                return takeoff.half_circle_area_ft2(a)
            case "quarter_circle":
                return takeoff.quarter_circle_area_ft2(a)
            case "ellipse":
                return takeoff.ellipse_area_ft2(a, b)
            case "ring":
                return takeoff.ring_area_ft2(a, b)
            case "steps":
                return takeoff.steps_area_ft2(a, b, c)
            case "three_sides":
                return takeoff.three_sides_area_ft2(a, b, c)
            case "offsets":
                return takeoff.offsets_area_ft2(a, self.widths or ())
            case _:
                return value(self.row.typed)

    def perimeter_ft(self) -> float:
        """Return the perimeter of one piece without a fault, missing where none is defined [ft]."""
        if self.row.typed_perimeter is not None:
            return self.row.typed_perimeter
        a, b, c = self.a, self.b, self.c
        match self.row.shape or "rectangle":
            case "rectangle":
                return perimeter.rectangle_perimeter_ft(a, b)
            case "circle":
                return perimeter.circle_perimeter_ft(a)
            case "half_circle":
                return perimeter.half_circle_perimeter_ft(a)
            case "quarter_circle":
                return perimeter.quarter_circle_perimeter_ft(a)
            case "ellipse":
                return perimeter.ellipse_perimeter_ft(a, b)
            case "ring":
                return perimeter.ring_perimeter_ft(a, b)
            case "three_sides":
                return perimeter.three_sides_perimeter_ft(a, b, c)
            case _:
                return MISSING

    def fault(self, zone_no: float, display: Display) -> float:
        """Return the first fault of the row, 0 for none."""
        shape = self.row.shape or "rectangle"
        if not known(zone_no):
            return 1
        if shape not in SHAPES:
            return 2
        if not self.sizes_are_there():
            return 3
        a, b, c = (display(size, "length") for size in (self.a, self.b, self.c))
        if shape == "three_sides" and not takeoff.three_sides_close(a, b, c):
            return 4
        if shape == "ring" and not takeoff.ring_closes(a, b):
            return 4
        if shape == "offsets" and len(self.widths or ()) < _WIDTHS_LEAST:
            return 5
        return 0 if is_whole(given(self.row.how_many, 1)) else 6


def is_whole(count: float) -> bool:
    """Tell whether a count is a whole number of 1 or more."""
    rounded = sixth(count)
    return rounded >= 1 and rounded % 1 == 0


def make_areas(job: Job, zones: Register, offsets: Offsets, display: Display) -> Areas:
    """Measure each row of the takeoff."""
    columns = []
    for number, row in enumerate(job.areas, start=1):
        begun = area_row_started(row)
        widths = _widths(offsets, number) if begun and row.shape == "offsets" else None
        piece = _Piece(
            row=row,
            a=value(feet(row.first, row.first_in)),
            b=value(feet(row.second, row.second_in)),
            c=value(feet(row.third, row.third_in)),
            widths=widths,
        )
        columns.append(_row(piece, zones, display) if begun else _BLANK_ROW)
    by_field = zip(*columns, strict=True) if columns else ((),) * len(_FIELDS)
    return Areas(key=_keys(job), **dict(zip(_FIELDS, by_field, strict=True)))


_BLANK_ROW)
    by_field = zip(*columns, strict=True) if columns else ((),) * len(_FIELDS)
    return Areas(key=_keys(job), **dict(zip(_FIELDS, by_field, strict=True)))


_FIELDS = (
    "started",
    "zone_no",
    "shape_no",
    "a",
    "b",
    "c",
    "widths",
    "each",
    "area",
    "perimeter",
    "fault",
)
_BLANK_ROW = (MISSING,) * len(_FIELDS)


def _keys(job: Job) -> Texts:
    return keys([row.label for row in job.areas])


def _widths(offsets: Offsets, number: float) -> tuple[float, ...]:
    pairs = zip(offsets.area_no, offsets.a, strict=True)
    return tuple(width for area_no, width in pairs if area_no == number)


def _row(piece: _Piece, zones: Register, display: Display) -> tuple[float, ...]:
    row = piece.row
    zone_no = zones.number(row.zone, blank=1)
    fault = piece.fault(zone_no, display)
    each = around = MISSING
    if fault == 0:
        each, around = piece.each_ft2(), piece.perimeter_ft()
    how_many = given(row.how_many, 1)
    sign_no = number_of(SIGNS, row.sign, blank=_ADD)
    sign = MISSING if not known(sign_no) else 1.0 if sign_no == _ADD else -1.0
    return (
        1.0,
        zone_no,
        number_of(SHAPES, row.shape, blank=1),
        piece.a,
        piece.b,
        piece.c,
        MISSING if piece.widths is None else float(len(piece.widths)),
        each,
        each * how_many * sign,
        around * how_many,
        fault,
    )


def added_perimeter_ft(job: Job, areas: Areas) -> float:
    """Return the perimeter known so far, deducts left out [ft]."""
    return sum_known(around for row, around in zip(job.areas, areas.perimeter, strict=True) if row.sign in {None, "add"})
