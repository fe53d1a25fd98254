"""Operators: what stands on both sides must fit."""

from __future__ import annotations

from typing import Final

import attrs

from sheetgen.book import measure
from sheetgen.book.code import LOOSEST, TIGHTEST, Code, flat, merge
from sheetgen.book.fitting import Fitting
from sheetgen.book.measure import ANY, TEXT, TRUTH, Measure
from sheetgen.book.parse import Call, FormulaError, Name, Node, Pair, Text, whole

COMPARISONS: Final = frozenset({"=", "<>", "<", "<=", ">", ">="})
BINDING = {"&": 1, "=": 0, "<>": 0, "<": 0, "<=": 0, ">": 0, ">=": 0, "+": 2, "-": 2, "*": 3, "/": 3, "^": 5}


class Operators(Fitting):
    """Compiles two values joined by an operator."""

    def _pair(self, node: Pair, left: Code, right: Code) -> Code:
        if node.operator == "&":
            if not self.show:
                raise FormulaError("formula-join", node.at, "texts are joined in a formula", "make it a show field")
            for side, code in ((node.left, left), (node.right, right)):
                if code.measure != TEXT:
                    raise FormulaError("formula-kind", side.at, f"{code.measure} is joined to a text", "write it with TEXT")
            return merge(flat(left.pieces, "&", right.pieces), TEXT, left, right, binding=1)
        if node.operator in COMPARISONS:
            return self._comparison(node, left, right)
        if self.show:
            raise FormulaError("formula-show", node.at, "a show field reckons", "reckon in a formula field and show that")
        of, right = self._result(node, left, right)
        binding = BINDING[node.operator]
        second = self._bracket(right, binding + 1 if node.operator in {"-", "/", "^"} else binding)
        first = self._bracket(left, binding if node.operator != "^" else TIGHTEST)
        return merge(flat(first, node.operator, second), of, left, right, binding=binding)

    def _comparison(self, node: Pair, left: Code, right: Code) -> Code:
        for literal, side, other in ((node.left, node.right, right), (node.right, node.left, left)):
            if isinstance(literal, Text) and not literal.text:
                return self._asks_blank(node, side, other)
        kinds = {left.measure.kind, right.measure.kind}
        if kinds & {"text", "truth"} and (len(kinds) > 1 or node.operator not in {"=", "<>"}):
            raise FormulaError(
                "formula-kind", node.at, f"compares {left.measure} with {right.measure} by {node.operator}",
                "texts can only be equal or not",
            )  # fmt: skip
        right = self._fit(right, left.measure, node.at) if left.measure != ANY else right
        left = self._fit(left, right.measure, node.at) if right.measure != ANY else left
        pieces = flat(self._bracket(left, 1), node.operator, self._bracket(right, 1))
        return merge(pieces, TRUTH, left, right, binding=LOOSEST)

    def _asks_blank(self, node: Pair, side: Node, other: Code) -> Code:
        """Compile ``x = ""``, which asks whether x is there: x itself needs no guard, but the place of a look-up does."""
        trimmed = isinstance(side, Call) and side.function == "TRIM" and isinstance(side.arguments[0], Name)
        looked_up = isinstance(side, Call) and side.function == "INDEX" and not whole(side)
        if node.operator not in {"=", "<>"} or not (isinstance(side, Name) or trimmed or looked_up):
            raise FormulaError("formula-blank", node.at, 'only x = "" and x <> "" ask for blank', "x: a name, or INDEX")
        one_cell = isinstance(side, Name) and not self.context.is_range(side)
        asked = self._asked(self._reference(side)) if one_cell else other.pieces
        code = Code(flat(asked, node.operator, '""'), TRUTH, binding=LOOSEST)
        if not looked_up:
            return code
        lookups = tuple(one for one in other.lookups if one[0] != other.pieces)
        return attrs.evolve(code, numbers=other.numbers, texts=other.texts, lookups=lookups, totals=other.totals)

    def _result(self, node: Pair, left: Code, right: Code) -> tuple[Measure, Code]:
        one, two, operator = left.measure, right.measure, node.operator
        if operator in {"+", "-"}:
            return self._sum(node, left, right)
        for side in (left, right):
            self._reckons(side, operator, node.at)
        if operator in {"*", "/"} and ANY in {one, two}:
            return one, right
        if operator == "*":
            return Measure("unit", one.unit * two.unit), right
        if operator == "/":
            return Measure("unit", one.unit / two.unit), right
        if not all(side == ANY or side.plain for side in (one, two)):
            raise FormulaError("formula-power", node.at, f"a power of {one}", "strip the unit with number(x, …)")
        return one, right

    def _sum(self, node: Pair, left: Code, right: Code) -> tuple[Measure, Code]:
        one, two, operator = left.measure, right.measure, node.operator
        if ANY in {one, two} and not {one.kind, two.kind} & {"text", "truth"}:
            return two if one == ANY else one, right
        scaled = one.kind in {"date", "clock"} or one.temperature
        if scaled and operator == "-" and one == two:
            return measure.span_of(one), right
        if scaled and two.kind == "unit" and not two.temperature:
            return one, self._fit(right, measure.span_of(one), node.at)
        if "truth" in {one.kind, two.kind}:
            raise FormulaError("formula-kind", node.at, f"a truth cannot stand beside {operator}", "write IF(…, 1, 0)")
        if scaled or two.temperature or not measure.same_dimension(one, two):
            verb = "adds" if operator == "+" else "subtracts"
            raise FormulaError(
                "formula-unit", node.at, f"{verb} {two} {'to' if operator == '+' else 'from'} {one}",
                "both sides need the same dimension",
            )  # fmt: skip
        return one, self._fit(right, one, node.at)
