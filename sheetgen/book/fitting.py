"""What every part of the compiler needs: names, brackets, and values brought into a wanted unit."""

from __future__ import annotations

import attrs

from sheetgen.book import measure, scales
from sheetgen.book.code import Code, flat
from sheetgen.book.measure import ANY, TEXT, TRUTH, Factors, Measure
from sheetgen.book.names import Context, Pieces, Reference
from sheetgen.book.parse import Call, FormulaError, Name, Node


class Fitting:
    """The base of the compiler.

    Parameters
    ----------
    context : Context
        Where the formula stands.
    factors : Factors
        The conversion factors of the book.
    """

    def __init__(self, context: Context, factors: Factors) -> None:
        self.context = context
        self.factors = factors
        self.system = context.plan.system
        self.show = context.field.kind == "show"

    def root(self, node: Node, wanted: Measure | None = None) -> Code:
        """Compile a formula or a branch: the place at which a missing value may be shown as blank."""
        raise NotImplementedError

    def strict(self, node: Node) -> Code:
        """Compile a value that is used by what stands around it."""
        raise NotImplementedError

    def _arguments(self, node: Call, count: int) -> tuple[Node, ...]:
        if len(node.arguments) != count:
            raise FormulaError("formula-arguments", node.at, f"{node.function} takes {count}", "give as many")
        return node.arguments

    def _reference(self, node: Node) -> Reference:
        if not isinstance(node, Name):
            raise FormulaError("formula-name", node.at, "a name is expected here", "use a helper field")
        return self.context.cell(node)

    def _asked(self, reference: Reference) -> Pieces:
        """Return what is compared with "" to ask whether a cell is blank: a typed text of spaces alone is."""
        text = reference.entered and reference.measure == TEXT
        return flat("TRIM(", reference.pieces, ")") if text else reference.pieces

    def _bracket(self, code: Code, least: int) -> Pieces:
        return code.pieces if code.binding >= least else flat("(", code.pieces, ")")

    def _alike(self, parts: list[Code], node: Call) -> Measure:
        measures = [part.measure for part in parts if part.measure != ANY]
        if not measures:
            return ANY
        for other in measures[1:]:
            if other != measures[0] and not measure.same_dimension(measures[0], other):
                raise FormulaError(
                    "formula-unit", node.at, f"{node.function} mixes {measures[0]} and {other}", "use one dimension"
                )
        return measures[0]

    def _fit(self, code: Code, wanted: Measure, at: int) -> Code:
        """Return the piece in the wanted unit, with a reference to the factor where it differs."""
        if ANY in (code.measure, wanted) or code.measure == wanted:
            return code
        if wanted.plain and code.measure == TRUTH:
            raise FormulaError("formula-truth", at, "a yes-or-no where a number is expected", "write IF(…, 1, 0)")
        if code.measure.temperature and scales.is_scale(wanted):
            return self._on_scale(code, wanted, at)
        if not measure.same_dimension(code.measure, wanted):
            raise FormulaError("formula-unit", at, f"gives {code.measure}, not {wanted}", "check the units on both sides")
        try:
            factor = self.factors.between(code.measure, wanted)
        except LookupError as error:
            raise FormulaError(
                "formula-factor", at, f"no factor from {code.measure} to {wanted}", "add one to the list factors"
            ) from error
        if factor is None:
            return attrs.evolve(code, measure=wanted)
        if self.show:
            raise FormulaError("formula-show", at, f"a show field converts {code.measure} to {wanted}", "convert in a formula field")
        if code.maybe:
            raise FormulaError("formula-maybe", at, "a value that can be blank must be converted", "use a helper field")
        cell = self.context.cell(Name(("factors", "value", factor.code), at)).pieces
        sign = "/" if factor.divide else "*"
        pieces = self._bracket(code, 3)
        for _ in range(factor.power):
            pieces = flat(pieces, sign, cell)
        return attrs.evolve(code, pieces=pieces, measure=wanted, binding=3)



    def _on_scale(self, code: Code, wanted: Measure, at: int) -> Code:
        """Return a temperature as a reading on another scale, by the two readings at 0 °C and the size of a step."""
        source, target = scales.zero_of(code.measure), scales.zero_of(wanted)
        above = attrs.evolve(code, measure=scales.step_of(code.measure))
        if source:
            pieces = flat(self._bracket(code, 2), "-", self._scale(source, at))
            above = attrs.evolve(above, pieces=pieces, binding=2)
        above = self._fit(above, scales.step_of(wanted), at)
        if target:
            above = attrs.evolve(above, pieces=flat(self._bracket(above, 2), "+", self._scale(target, at)), binding=2)
        return attrs.evolve(above, measure=wanted)

    def _scale(self, code: str, at: int) -> Pieces:
        return self.context.cell(Name(("scales", "value", code), at)).pieces

    def _reckons(self, code: Code, operator: str, at: int) -> None:
        side = code.measure
        if side.temperature or side.kind in {"text", "truth", "date", "clock"}:
            what = "a temperature" if side.temperature else f"a {side.kind}"
            raise FormulaError("formula-kind", at, f"{what} cannot stand beside {operator}", "use number(x, …) or a difference")

    def _sums(self, of: Measure, function: str, at: int) -> None:
        if of.temperature or of.kind not in {"unit", "any"}:
            what = "temperatures" if of.temperature else f"{of.kind} values"
            raise FormulaError("formula-kind", at, f"{function} adds up {what}", "add up quantities only")
