"""The compiler: a formula of the template becomes the text of a cell, with units and missing values carried through.

Two things go through the tree beside the text:

* the *measure*: what does not fit is refused; where the dimension fits but the unit differs, a reference to the factor
  on *Lists and units* is put in;
* *maybe*: a formula that reads a value that can be missing is wrapped so that it is blank, never zero.
"""

from __future__ import annotations

from sheetgen.book import measure
from sheetgen.book.branches import Branches
from sheetgen.book.code import Code, flat, joined, listed, merge, nested
from sheetgen.book.functions import MOST_COMPILED, MOST_NESTED
from sheetgen.book.measure import ANY, TEXT, Measure
from sheetgen.book.names import Pieces, Reference, without_prefix
from sheetgen.book.parse import FormulaError, Name, Negative, Node, Number, Pair, Text
from sheetgen.book.showing import showable


class Compiler(Branches):
    """Compiles the formulas of one field: `field` gives the pieces of its cells.

    The idea of each base: `Branches` what can be blank, `Calls` functions, `Ranges` columns, `Operators` sums and
    comparisons, `Fitting` units.
    """

    def field(self, tree: Node) -> tuple[Pieces, bool]:
        """Return the formula's pieces, in the field's own unit, and whether it can be blank.

        Raises
        ------
        FormulaError
            Names, units or missing values do not fit.
        """
        if self.show:
            showable(tree)
        code = self.root(tree, measure.of_unit(self.context.field.unit, self.system))
        text = "".join(piece if isinstance(piece, str) else piece.text(0) for piece in code.pieces)
        # A prefix, which a book has in a person's own workbook, makes no formula harder to read.
        text = without_prefix(text, self.context.plan.prefix)
        size, deep = len(text), nested(text)
        if size > MOST_COMPILED:
            raise FormulaError(
                "formula-size", 0, f"{size} characters when compiled, {MOST_COMPILED} at most", "use a helper field"
            )
        if deep > MOST_NESTED:
            raise FormulaError(
                "formula-size", 0, f"{deep} calls inside each other when compiled, {MOST_NESTED} at most", "use a helper field"
            )
        return joined(code.pieces), code.maybe

    def root(self, node: Node, wanted: Measure | None = None) -> Code:
        """Compile a formula or a branch: the place at which a missing value may be shown as blank."""
        if isinstance(node, Text) and not node.text:
            return Code(('""',), ANY, maybe=True)
        code = self._branching(node, wanted)
        if code is None:
            code = self.strict(node)
        if wanted is not None:
            code = self._fit(code, wanted, node.at)
        return self._guard(code)

    def strict(self, node: Node) -> Code:
        """Compile a value that is used by what stands around it."""
        if isinstance(node, Number):
            return Code((node.text,), ANY if node.text == "0" else measure.plain_number())
        if isinstance(node, Text):
            if node.text:
                raise FormulaError("formula-text", node.at, "a word stands in a formula", "put words on a list")
            return Code(('""',), TEXT)
        if isinstance(node, Name):
            return self._value(self.context.cell(node))
        if isinstance(node, Negative):
            inner = self.strict(node.value)
            self._reckons(inner, "-", node.at)
            return merge(flat("-", self._bracket(inner, 4)), inner.measure, inner, binding=4)
        if isinstance(node, Pair):
            return self._pair(node, self.strict(node.left), self.strict(node.right))
        code = self._branching(node)
        if code is None:
            return self._call(node)
        if code.maybe:
            raise FormulaError(
                "formula-maybe", node.at, f"{node.function} can be blank and is used in a sum", "give it a field of its own"
            )
        return code

    def _value(self, reference: Reference) -> Code:
        if not reference.maybe:
            return Code(reference.pieces, reference.measure)
        if reference.measure.kind == "text":
            return Code(reference.pieces, reference.measure, texts=(self._asked(reference),))
        return Code(reference.pieces, reference.measure, numbers=(reference.pieces,))

    def _guard(self, code: Code) -> Code:
        """Wrap what can be missing: blank where anything that it needs is not there."""
        pieces = code.pieces
        for found, is_text in reversed(code.lookups):
            test = flat(found, '=""') if is_text else flat("COUNT(", found, ")<1")
            pieces = flat("IF(", test, ',"",', pieces, ")")
        for column, started in reversed(code.totals):
            pieces = flat("IF(COUNT(", column, ")<SUM(", started, '),"",', pieces, ")")
        if code.numbers:
            test = flat("COUNT(", listed(list(code.numbers)), f")<{len(code.numbers)}")
            pieces = flat("IF(", test, ',"",', pieces, ")")
        if code.texts:
            tests = [flat(piece, '=""') for piece in code.texts]
            test = tests[0] if len(tests) == 1 else flat("OR(", listed(tests), ")")
            pieces = flat("IF(", test, ',"",', pieces, ")")
        return Code(pieces, code.measure, maybe=code.maybe or code.guarded)
