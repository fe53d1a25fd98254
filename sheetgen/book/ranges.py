"""Ranges: columns and tables, and arithmetic over them."""

from __future__ import annotations

import attrs

from sheetgen.book import measure
from sheetgen.book.code import LOOSEST, Code, flat, listed, unique
from sheetgen.book.names import Reference
from sheetgen.book.operators import COMPARISONS, Operators
from sheetgen.book.parse import Call, FormulaError, Name, Node, Number, Pair, whole

# Ranges that are named by a call.
_OF_A_NAME = frozenset({"above", "table", "scenarios_of"})


class Ranges(Operators):
    """Compiles what stands where a range belongs."""

    def _is_range(self, node: Node) -> bool:
        if isinstance(node, Call):
            return node.function in _OF_A_NAME or (node.function == "INDEX" and whole(node))
        return isinstance(node, Name) and self.context.is_range(node)

    def _range(self, node: Node) -> Reference:
        if isinstance(node, Name):
            return self.context.range(node)
        if isinstance(node, Call) and node.function in _OF_A_NAME:
            (name,) = self._arguments(node, 1)
            if not isinstance(name, Name):
                raise FormulaError("formula-range", node.at, f"{node.function} takes a name", "name a column or block")
            ranges = {"above": self.context.above, "table": self.context.table, "scenarios_of": self.context.scenarios_of}
            return ranges[node.function](name)
        if isinstance(node, Call) and node.function == "INDEX" and whole(node):
            table = self._range(node.arguments[0])
            places = [self.strict(argument) for argument in node.arguments[1:]]
            if any(place.lookups or place.totals for place in places):
                raise FormulaError("formula-maybe", node.at, "the column is looked up twice over", "use a helper field")
            needs = unique(piece for place in places for piece in place.numbers)
            pieces = flat("INDEX(", listed([table.pieces, *(place.pieces for place in places)]), ")")
            rows, columns = (isinstance(one, Number) and one.text == "0" for one in (node.arguments[1:] * 2)[:2])
            shape = table.shape
            if shape and len(places) == 2 and rows != columns:
                shape = (shape[0], 1) if rows else (1, shape[1])
            return Reference(pieces, table.measure, table.maybe, table.started, needs=needs, shape=shape)
        raise FormulaError("formula-range", node.at, "a range is expected here", "name a column as block.field")

    def _array(self, node: Node, *, whole: bool = True) -> Code:
        """Compile an argument of SUMPRODUCT: a range as it is, or arithmetic and comparisons over ranges."""
        if self._is_range(node):
            reference = self._range(node)
            if reference.maybe and not whole:
                raise FormulaError(
                    "formula-array", node.at, "a blank in this column breaks the arithmetic",
                    "make the column an argument of its own, or compare it",
                )  # fmt: skip
            complete = whole and reference.maybe and reference.started and reference.measure.kind != "text"
            totals = ((reference.pieces, reference.started),) if complete else ()
            return Code(reference.pieces, reference.measure, reference.needs, totals=totals, shape=reference.shape)
        if isinstance(node, Pair) and node.operator != "&":
            inside = node.operator not in COMPARISONS
            left, right = (
                self._compared(side) if not inside else self._array(side, whole=False) for side in (node.left, node.right)
            )
            if left.shape and right.shape and left.shape != right.shape:
                raise FormulaError("formula-shape", node.at, "the two ranges have different shapes", "name columns of one block")
            if not inside:
                self._same_unit(node, left, right)
            code = attrs.evolve(self._pair(node, left, right), shape=left.shape or right.shape)
            return code if inside else attrs.evolve(code, measure=measure.plain_number(), binding=LOOSEST)
        return self.strict(node)

    def _same_unit(self, node: Pair, left: Code, right: Code) -> None:
        """Refuse a comparison that would convert a column: its blanks break the arithmetic."""
        one, two = left.measure, right.measure
        if measure.same_dimension(one, two) and one != two and measure.ratio(one, two) != 1.0:
            raise FormulaError("formula-array", node.at, f"compares {one} with {two} in a column", "use a helper field")

    def _compared(self, node: Node) -> Code:
        if self._is_range(node):
            reference = self._range(node)
            return Code(reference.pieces, reference.measure, reference.needs, shape=reference.shape)
        return self._array(node, whole=False)
