"""One measured piece: its sizes, what is wrong with them, its area and its perimeter."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

import attrs

from sheetgen.engine import offsets, perimeter, takeoff
from sheetgen.engine.blocks.table import Row, flag
from sheetgen.engine.missing import MISSING, known
from sheetgen.engine.shapes import OFFSETS, SHAPES, SIDES, TYPED, Shape, weighed
from sheetgen.engine.totals import sum_known

if TYPE_CHECKING:
    from sheetgen.engine.inputs import Display


@attrs.frozen(kw_only=True)
class Piece:
    """One piece of an area row; sizes in feet, NaN where missing."""

    shape: str
    a: float
    b: float
    c: float
    typed_ft2: float
    widths: tuple[float, ...]

    @property
    def rule(self) -> Shape | None:
        """How the shape is measured; None for one that is not in the list."""
        return SHAPES.get(self.shape)

    @property
    def sizes_or_0(self) -> tuple[float, float, float]:
        """The sizes, 0 where there is none [ft]."""
        a, b, c = (size if known(size) else 0.0 for size in (self.a, self.b, self.c))
        return a, b, c

    def figures(self, display: Display) -> Row:
        """Return what the sheet shows of the piece, its area and perimeter apart."""
        a, b, c = self.a, self.b, self.c
        or_0 = self.sizes_or_0
        row: Row = {"size_a": a, "size_b": b, "size_c": c, "a_or_0": or_0[0], "b_or_0": or_0[1], "c_or_0": or_0[2]}
        row |= {"rest_a": b + c - a, "rest_b": a + c - b, "rest_c": a + b - c, "rest_all": a + b + c}
        row |= {"zero_b": self._too_small(b, "b"), "zero_c": self._too_small(c, "c")}
        rule = self.rule
        if rule is None:
            return row
        row |= self._bad(rule) | self._closing(rule, display)
        row |= {
            "way": rule.way,
            "one": weighed(rule.one, or_0),
            "other": weighed(rule.other, or_0),
            "along": weighed(rule.along, or_0),
        }
        if rule.way == OFFSETS:
            parts = [self._part(place, width) for place, width in enumerate(self.widths, start=1)]
            row["widths"] = float(len(self.widths))
            row["simpson"] = flag(holds=offsets.is_simpson(len(self.widths)))
            row["strip_area"] = a * sum_known(parts)
        if row["sides_close"] == 1:
            row["sides_area"] = math.sqrt(row["rest_all"] * row["rest_a"] * row["rest_b"] * row["rest_c"]) / 4
        if self.shape == "ellipse":
            row |= {"oval_a": 3 * a + b, "oval_b": a + 3 * b}
        return row

    def oval(self) -> Row:
        """Return what the perimeter of an ellipse without a fault is made of."""
        if self.shape != "ellipse":
            return {}
        root = math.sqrt((3 * self.a + self.b) * (self.a + 3 * self.b))
        return {"oval_root": root, "oval": math.pi / 2 * (3 * (self.a + self.b) - root)}

    def _part(self, place: int, width_ft: float) -> float:
        return offsets.offset_weight(place, len(self.widths)) * width_ft

    def _too_small(self, size: float, name: str) -> float:
        if not known(size):
            return MISSING
        if size != 0:
            return flag(holds=size < 0)
        return MISSING if self.rule is None else flag(holds=name not in self.rule.zero)

    def _bad(self, rule: Shape) -> Row:
        def bad(size: float, name: str) -> float:
            small = name not in rule.zero and size == 0
            return flag(holds=name in rule.used and (not known(size) or size < 0 or small))

        row: Row = {"bad_a": bad(self.a, "a"), "bad_b": bad(self.b, "b"), "bad_c": bad(self.c, "c")}
        row["bad_typed"] = flag(holds=rule.way == TYPED and not self.typed_ft2 > 0)
        row["bad_widths"] = float(sum(not known(width) for width in self.widths)) if rule.way == OFFSETS else 0.0
        row["bad_sizes"] = math.fsum(row.values())
        return row

    def _closing(self, rule: Shape, display: Display) -> Row:
        a, b, c = (display(size, "length") for size in (self.a, self.b, self.c))
        row: Row = {"sides_open": 0.0, "sides_close": 0.0, "ring_open": 0.0, "slack": MISSING}
        if rule.way == SIDES:
            rests = (self.b + self.c - self.a, self.a + self.c - self.b, self.a + self.b - self.c)
            there = all(map(known, rests))
            closes = there and takeoff.three_sides_close(a, b, c)
            row["slack"] = min(rests) if there else MISSING
            row["sides_close"] = flag(holds=closes) if there else MISSING
            row["sides_open"] = flag(holds=there and not closes)
        if self.shape == "ring":
            row["slack"] = self.a - self.b
            row["ring_open"] = flag(holds=known(row["slack"]) and not takeoff.ring_closes(a, b))
        few = rule.way == OFFSETS and len(self.widths) < offsets.WIDTHS_LEAST
        row["few_widths"] = flag(holds=few)
        is_open = row["sides_open"] + row["ring_open"] > 0
        row["close_fault"] = 4.0 if is_open else 5.0 * row["few_widths"]
        return row

    def by_sizes_ft2(self) -> float:
        """Return factor · one · other, 0 for a shape that is not measured so [ft²]."""
        rule = self.rule
        assert rule is not None
        return rule.factor * weighed(rule.one, self.sizes_or_0) * weighed(rule.other, self.sizes_or_0)

    def each_ft2(self) -> float:
        """Return the area of a piece without a fault [ft²]."""
        a, b, c = self.a, self.b, self.c
        match self.shape:
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
                return offsets.offsets_area_ft2(a, self.widths)
            case _:
                return self.typed_ft2

    def perimeter_ft(self) -> float:
        """Return the perimeter of a piece without a fault, missing where its sizes give none [ft]."""
        a, b, c = self.a, self.b, self.c
        match self.shape:
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
