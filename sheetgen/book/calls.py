"""Calls: the spreadsheet's functions and those of ours that give one value."""

from __future__ import annotations

import attrs

from sheetgen import units
from sheetgen.book import measure
from sheetgen.book.code import Code, flat, listed, merge
from sheetgen.book.functions import OURS, SPREADSHEET, TEXT_FORMATS, Function, argument_kinds
from sheetgen.book.measure import ANY, CLOCK, DATE, TEXT, TRUTH, Measure
from sheetgen.book.parse import Call, FormulaError, Node, Text
from sheetgen.book.ranges import Ranges

_SIDE_BY_SIDE = frozenset({"SUMPRODUCT", "SUMIF", "SUMIFS", "AVERAGEIFS", "COUNTIFS"})
_NUMERIC = frozenset(
    {
        "MIN", "MAX", "MEDIAN", "LARGE", "SMALL", "COUNT", "ABS", "INT", "MOD", "ROUND", "SQRT", "POWER", "EXP", "LN", "SIN",
        "NORMSINV", "NORMSDIST", "DATE", "TIME", "WEEKDAY", "YEAR", "MONTH", "DAY",
    }
)


class Calls(Ranges):
    """Compiles calls that are no branches."""

    def _call(self, node: Node) -> Code:
        assert isinstance(node, Call)
        if node.function in OURS:
            return self._own(node)
        spec = SPREADSHEET.get(node.function)
        if spec is None:
            raise FormulaError(
                "formula-function", node.at, f"'{node.function}' is not a function of the list",
                "use a function that all programs know",
            )  # fmt: skip
        kinds = argument_kinds(spec.arguments, len(node.arguments))
        if kinds is None:
            raise FormulaError(
                "formula-arguments", node.at, f"{node.function} takes other arguments", f"it takes {spec.arguments}"
            )
        if self.show and node.function not in {"TEXT", "INDEX", "TRIM"}:
            raise FormulaError("formula-show", node.at, f"a show field uses {node.function}", "reckon in a formula field")
        if node.function == "INDEX":
            return self._index(node)
        # Of several ranges only the one that is summed must be complete; criteria may have blanks.
        summed = {"first": 0, "last": len(kinds) - 1}.get(spec.result) if spec.total else None
        parts = [
            self._argument(kind, argument, total=spec.total and summed in {None, position})
            for position, (kind, argument) in enumerate(zip(kinds, node.arguments, strict=True))
        ]
        self._same_shape(node, parts)
        self._kinds_of_values(node, parts)
        of = self._of_call(spec, node, parts)
        if spec.result == "same":
            parts = [self._fit_argument(part, of, argument.at) for part, argument in zip(parts, node.arguments, strict=True)]
        merged = merge(flat(f"{node.function}(", listed([part.pieces for part in parts]), ")"), of, *parts)
        return Code(merged.pieces, of) if spec.never_missing else merged

    def _fit_argument(self, part: Code, of: Measure, at: int) -> Code:
        fitted = self._fit(part, of, at)
        if part.shape and fitted.pieces != part.pieces:
            raise FormulaError("formula-array", at, f"a whole column is converted from {part.measure} to {of}", "use a helper field")
        return fitted

    def _same_shape(self, node: Call, parts: list[Code]) -> None:
        if node.function not in _SIDE_BY_SIDE:
            return
        shapes = [part.shape for part in parts if part.shape]
        if len(set(shapes)) > 1 or (node.function == "SUMPRODUCT" and len(shapes) < len(parts)):
            raise FormulaError(
                "formula-shape", node.at, f"{node.function} needs ranges of one shape", "name columns of one block"
            )

    def _kinds_of_values(self, node: Call, parts: list[Code]) -> None:
        """Refuse texts and the like where a function wants numbers."""
        for position, (part, argument) in enumerate(zip(parts, node.arguments, strict=True)):
            if node.function in {"SUM", "SUMPRODUCT"} or (node.function, position) in {("SUMIF", 2), ("SUMIFS", 0)}:
                self._sums(part.measure, node.function, argument.at)
                continue
            numbers = node.function in _NUMERIC or (node.function, position) in {("TEXT", 0), ("AVERAGEIFS", 0)}
            if numbers and part.measure.kind in {"text", "truth"}:
                raise FormulaError("formula-kind", argument.at, f"{node.function} of {part.measure}", "give it numbers")

    def _argument(self, kind: str, node: Node, *, total: bool) -> Code:
        if kind == "f":
            if not isinstance(node, Text) or node.text not in TEXT_FORMATS:
                raise FormulaError(
                    "formula-format", node.at, "not one of the formats", f"use {', '.join(sorted(TEXT_FORMATS))}"
                )
            return Code((f'"{node.text}"',), TEXT)
        if kind == "a":
            return self._array(node)
        if kind == "r" or (kind == "v" and self._is_range(node)):
            reference = self._range(node)
            code = Code(reference.pieces, reference.measure, numbers=reference.needs, shape=reference.shape)
            complete = total and reference.maybe and reference.started and reference.measure.kind != "text"
            return attrs.evolve(code, totals=((reference.pieces, reference.started),)) if complete else code
        if kind == "n":
            reference = self._reference(node)
            return Code(reference.pieces, reference.measure)
        code = self.strict(node)
        if (kind == "c" and code.measure.kind in {"text", "truth"}) or (kind == "t" and code.measure != TEXT):
            wanted = "a number is the criterion" if kind == "c" else "a text is wanted"
            raise FormulaError(
                "formula-kind", node.at, f"{wanted}, not {code.measure}", "match names once, to a record number; write numbers with TEXT"
            )
        if kind == "q" and code.measure != TRUTH:
            raise FormulaError("formula-kind", node.at, f"{code.measure} where yes or no is wanted", "compare it with something")
        return code

    def _of_call(self, spec: Function, node: Call, parts: list[Code]) -> Measure:
        if spec.result in {"text", "truth", "date", "clock"}:
            return {"text": TEXT, "truth": TRUTH, "date": DATE, "clock": CLOCK}[spec.result]
        if spec.result == "first":
            return parts[0].measure
        if spec.result == "last":
            return parts[-1].measure
        if spec.result == "same":
            return self._alike(parts, node)
        if spec.result == "root":
            return Measure("unit", parts[0].measure.unit**0.5) if parts[0].measure.kind == "unit" else ANY
        if spec.result == "product":
            unit = measure.plain_number().unit
            for part in parts:
                unit = unit * part.measure.unit if part.measure.kind == "unit" else unit
            return Measure("unit", unit)
        if node.function in {"EXP", "LN", "SIN", "POWER", "NORMSINV", "NORMSDIST"}:
            for part in parts:
                if part.measure != ANY and not part.measure.plain:
                    raise FormulaError(
                        "formula-unit", node.at, f"{node.function} of {part.measure}", "strip the unit with number(x, …)"
                    )
        return measure.plain_number()

    def _index(self, node: Call) -> Code:
        column = self._range(node.arguments[0])
        places = [self.strict(argument) for argument in node.arguments[1:]]
        for place, argument in zip(places, node.arguments[1:], strict=True):
            self._reckons(place, "INDEX", argument.at)
        pieces = flat("INDEX(", listed([column.pieces, *(place.pieces for place in places)]), ")")
        merged = merge(pieces, column.measure, *places)
        if not column.maybe:
            return merged
        is_text = column.measure.kind == "text"
        return attrs.evolve(merged, lookups=(*merged.lookups, (pieces, is_text)))

    def _own(self, node: Call) -> Code:
        rounding = {"up": ("ROUNDUP(ROUND(", ",6),0)"), "down": ("ROUNDDOWN(ROUND(", ",6),0)"),
                    "cents": ("ROUND(ROUND(", ",6),2)"), "round6": ("ROUND(", ",6)")}.get(node.function)  # fmt: skip
        if rounding:
            (argument,) = self._arguments(node, 1)
            inner = self.strict(argument)
            if not (node.function == "round6" and inner.measure.temperature):
                self._reckons(inner, node.function, argument.at)
            wanted = measure.of_unit(self.context.field.unit, self.system)
            if measure.same_dimension(inner.measure, wanted):
                # Rounding must happen in the unit that is shown.
                inner = self._fit(inner, wanted, node.at)
            return merge(flat(rounding[0], inner.pieces, rounding[1]), inner.measure, inner)
        if node.function in {"number", "quantity"}:
            return self._cast(node)
        raise FormulaError(
            "formula-place", node.at, f"{node.function} stands where one value is expected", "use it where a range belongs"
        )

    def _cast(self, node: Call) -> Code:
        value, word = self._arguments(node, 2)
        if not isinstance(word, Text):
            raise FormulaError("formula-cast", node.at, f"{node.function} needs a unit in quotes", 'write number(x, "area")')
        try:
            words = _is_words(word.text)
            of = measure.of_unit(word.text, self.system) if words else Measure("unit", units.registry().Unit(word.text))
        except Exception as error:
            raise FormulaError("formula-unit", word.at, f"no unit '{word.text}'", "use a unit word") from error
        inner = self.strict(value)
        if node.function == "number":
            return attrs.evolve(self._fit(inner, of, node.at), measure=measure.plain_number())
        if inner.measure != ANY and not inner.measure.plain:
            raise FormulaError("formula-unit", node.at, f"{inner.measure} has a unit already", "strip it with number(x, …)")
        return attrs.evolve(inner, measure=of)


def _is_words(text: str) -> bool:
    """Return whether a unit is written in the words of the unit table."""
    try:
        units.pint_text(text, "us")
    except units.UnknownUnitError:
        return text in units.PLAIN
    return True
