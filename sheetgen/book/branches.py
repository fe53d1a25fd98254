"""Branches and look-backs: each is guarded by itself, so the whole can be blank and stands at the root only."""

from __future__ import annotations

import attrs

from sheetgen.book import measure
from sheetgen.book.calls import Calls
from sheetgen.book.code import Code, flat, listed, merge
from sheetgen.book.measure import TEXT, Measure
from sheetgen.book.names import Pieces, Reference
from sheetgen.book.parse import Call, FormulaError, Name, Node, Number
from sheetgen.book.template import COMPUTED


class Branches(Calls):
    """Compiles IF, CHOOSE and those functions of ours that can be blank."""

    def _branching(self, node: Node, wanted: Measure | None = None) -> Code | None:
        if not isinstance(node, Call):
            return None
        special = {
            "IF": self._branches, "CHOOSE": self._branches, "given": self._given, "known": self._known,
            "sum_known": self._sum_known, "sum_shown": self._sum_shown, "count_shown": self._count_shown, "match": self._match,
            "back": self._back,
        }.get(node.function)  # fmt: skip
        return special(node, wanted) if special else None

    def _branches(self, node: Call, wanted: Measure | None) -> Code:
        if node.function == "IF" and len(node.arguments) != 3:
            raise FormulaError("formula-arguments", node.at, "IF takes a condition and two branches", "write both branches")
        condition = self.strict(node.arguments[0])
        if condition.measure.kind not in {"truth", "any"} and not condition.measure.plain:
            raise FormulaError(
                "formula-kind", node.arguments[0].at, f"{node.function} chooses by {condition.measure}", "compare it with something"
            )
        branches = [self.root(branch, wanted) for branch in node.arguments[1:]]
        of = wanted or self._alike([*branches], node)
        branches = [self._fit(branch, of, node.at) for branch in branches]
        pieces = flat(f"{node.function}(", listed([condition.pieces, *(branch.pieces for branch in branches)]), ")")
        merged = merge(pieces, of, condition)
        return attrs.evolve(merged, maybe=any(branch.maybe for branch in branches))

    def _given(self, node: Call, wanted: Measure | None) -> Code:
        value, other = self._arguments(node, 2)
        reference = self._reference(value)
        fallback = self.root(other, wanted or reference.measure)
        of = wanted or reference.measure
        shown = self._fit(Code(reference.pieces, reference.measure), of, node.at)
        fallback = self._fit(fallback, of, node.at)
        pieces = flat("IF(", reference.pieces, '="",', fallback.pieces, ",", shown.pieces, ")")
        return Code(pieces, of, maybe=fallback.maybe)

    def _known(self, node: Call, _: Measure | None) -> Code:
        (value,) = self._arguments(node, 1)
        reference = self._reference(value)
        return Code(flat("IF(", reference.pieces, '="",0,1)'), measure.plain_number())

    def _sum_known(self, node: Call, wanted: Measure | None) -> Code:
        if len(node.arguments) == 1 and self._is_range(node.arguments[0]):
            column = self._range(node.arguments[0])
            self._sums(column.measure, node.function, node.arguments[0].at)
            return Code(flat("SUM(", column.pieces, ")"), column.measure, column.needs)
        references = [self._reference(argument) for argument in node.arguments]
        if not references:
            raise FormulaError("formula-arguments", node.at, "sum_known takes a column or values", "name them")
        of = wanted or references[0].measure
        for argument, reference in zip(node.arguments, references, strict=True):
            self._sums(reference.measure, node.function, argument.at)
        terms = [self._fit(Code(reference.pieces, reference.measure), of, node.at).pieces for reference in references]
        pairs = zip(terms, references, strict=True)
        if any(term is not reference.pieces and not reference.entered for term, reference in pairs):
            raise FormulaError("formula-sum-known", node.at, "only inputs can be converted here", "convert in a helper field")
        count = flat("COUNT(", listed([reference.pieces for reference in references]), ")")
        return Code(flat("IF(", count, '=0,"",SUM(', listed(terms), "))"), of, maybe=True)

    def _sum_shown(self, node: Call, _: Measure | None) -> Code:
        column = self._shown(node)
        self._sums(column.measure, node.function, node.at)
        shown = flat("SUBTOTAL(102,", column.pieces, ')=0,"",SUBTOTAL(109,', column.pieces, ")")
        return Code(flat("IF(", shown, ")"), column.measure, maybe=True)

    def _count_shown(self, node: Call, _: Measure | None) -> Code:
        column = self._shown(node)
        # 103 counts texts too, but it would count the blank of a formula.
        number = "103" if column.measure == TEXT else "102"
        return Code(flat(f"SUBTOTAL({number},", column.pieces, ")"), measure.plain_number())

    def _shown(self, node: Call) -> Reference:
        """Return the column whose rows a filter shows or hides."""
        (name,) = self._arguments(node, 1)
        if not isinstance(name, Name):
            raise FormulaError("formula-shown", node.at, f"{node.function} takes a column", "name it as block.field")
        column = self._range(name)
        block, field, _ = self.context.found(name)
        spot = self.context.plan.spot(block.name, field.name)
        filtered = [part for part in self.context.plan.parts if part.part.filter]
        if not any((spot.sheet, spot.row) == (part.sheet, part.first_row) for part in filtered):
            raise FormulaError("formula-shown", name.at, "no filter hides the rows of this column", "give its table a filter")
        if node.function == "count_shown" and column.measure == TEXT and field.kind in COMPUTED:
            raise FormulaError("formula-shown", name.at, "a blank made by a formula counts as a text", "count another column")
        return column

    def _match(self, node: Call, _: Measure | None) -> Code:
        typed, among = self._arguments(node, 2)
        reference, column = self._reference(typed), self._range(among)
        if reference.measure != TEXT or column.measure != TEXT:
            raise FormulaError("formula-kind", node.at, "match looks a text up among texts", "use COUNTIF or INDEX for numbers")
        trimmed: Pieces = flat("TRIM(", reference.pieces, ")")
        for mark in ("~", "*", "?"):
            trimmed = flat("SUBSTITUTE(", trimmed, f',"{mark}","~{mark}")')
        found = flat("IFERROR(MATCH(", trimmed, ",", column.pieces, ',0),"")')
        return Code(flat("IF(", reference.pieces, '="","",', found, ")"), measure.plain_number(), maybe=True)

    def _back(self, node: Call, _: Measure | None) -> Code:
        value, count = self._arguments(node, 2)
        if not isinstance(value, Name):
            raise FormulaError("formula-back", node.at, "back looks at a column of the own table", "name it")
        column = self.context.above(value)
        steps = self.strict(count)
        if isinstance(count, Number) and count.text == "0":
            raise FormulaError("formula-back", count.at, "looks back on itself", "look back one record or more")
        self._reckons(steps, "back", count.at)
        number = self.context.cell(Name(("no",), node.at))
        # The range begins at the header, so record r stands at r + 1 in it.
        place = flat(number.pieces, "-", self._bracket(steps, 4), "+1")
        found = flat("INDEX(", column.pieces, ",", place, ")")
        if column.entered:
            # INDEX of a blank input is 0: ask first.
            found = flat("IF(", found, '="","",', found, ")")
        above = flat(number.pieces, "<=", self._bracket(steps, 1))
        # A number of steps from a cell can be less than one.
        outside = above if isinstance(count, Number) else flat("OR(", above, ",", self._bracket(steps, 1), "<1)")
        pieces = flat("IF(", outside, ',"",', found, ")")
        return attrs.evolve(merge(pieces, column.measure, steps), maybe=True)
