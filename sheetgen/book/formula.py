"""The compiler: a formula of the template becomes the text of a cell, with units and missing values carried through.

Two things go through the tree beside the text:

* the *measure*: what does not fit is refused; where the dimension fits but the unit differs, a reference to the factor
  on *Lists and units* is put in;
* *maybe*: a formula that reads a value that can be missing is wrapped so that it is blank, never zero.
"""

from __future__ import annotations

import attrs

from sheetgen import units
from sheetgen.book import measure
from sheetgen.book.functions import MOST_COMPILED, OURS, SPREADSHEET, TEXT_FORMATS, Function, argument_kinds
from sheetgen.book.measure import ANY, CLOCK, DATE, TEXT, TRUTH, Factors, Measure
from sheetgen.book.names import Context, Pieces, Reference
from sheetgen.book.parse import Call, FormulaError, Name, Negative, Node, Number, Pair, Text

_COMPARISONS = frozenset({"=", "<>", "<", "<=", ">", ">="})
_LOOSEST, _TIGHTEST = 0, 9
_BINDING = {"&": 1, "=": 0, "<>": 0, "<": 0, "<=": 0, ">": 0, ">=": 0, "+": 2, "-": 2, "*": 3, "/": 3, "^": 5}


@attrs.frozen
class Code:
    """A compiled piece.

    Parameters
    ----------
    pieces : tuple
        Text and cell slots.
    measure : Measure
        What it measures.
    numbers, texts : tuple of Pieces
        Cells that must hold a number, or a text, for the piece to have a value.
    lookups : tuple of (Pieces, bool)
        Look-ups that must find something; whether text is looked up.
    totals : tuple of (Pieces, Pieces)
        Ranges that must be complete, each with its column of started records.
    maybe : bool
        The piece gives "" by itself; it can stand only at the root.
    binding : int
        How tightly its outermost operator binds [-].
    """

    pieces: Pieces
    measure: Measure
    numbers: tuple[Pieces, ...] = ()
    texts: tuple[Pieces, ...] = ()
    lookups: tuple[tuple[Pieces, bool], ...] = ()
    totals: tuple[tuple[Pieces, Pieces], ...] = ()
    maybe: bool = False
    binding: int = _TIGHTEST

    @property
    def guarded(self) -> bool:
        """Whether anything can make the piece missing."""
        return bool(self.numbers or self.texts or self.lookups or self.totals)


def _merge(pieces: Pieces, of: Measure, *parts: Code, binding: int = _TIGHTEST) -> Code:
    return Code(
        pieces,
        of,
        _unique(piece for part in parts for piece in part.numbers),
        _unique(piece for part in parts for piece in part.texts),
        _unique(piece for part in parts for piece in part.lookups),
        _unique(piece for part in parts for piece in part.totals),
        any(part.maybe for part in parts),
        binding,
    )


def _unique(items):  # type: ignore[no-untyped-def]  # noqa: ANN001, ANN202 - one line for four kinds of tuple
    return tuple(dict.fromkeys(items))


def _flat(*parts: str | Pieces) -> Pieces:
    flat: list[object] = []
    for part in parts:
        if isinstance(part, str):
            flat.append(part)
        else:
            flat.extend(part)
    return tuple(flat)  # type: ignore[arg-type]


def _listed(items: list[Pieces]) -> Pieces:
    parts: list[str | Pieces] = []
    for number, item in enumerate(items):
        if number:
            parts.append(",")
        parts.append(item)
    return _flat(*parts)


class Compiler:
    """Compiles the formulas of one field.

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

    def field(self, tree: Node) -> tuple[Pieces, bool]:
        """Return the formula's pieces, in the field's own unit, and whether it can be blank.

        Raises
        ------
        FormulaError
            Names, units or missing values do not fit.
        """
        code = self.root(tree, measure.of_unit(self.context.field.unit, self.system))
        size = sum(len(piece) if isinstance(piece, str) else len(piece.text(0)) for piece in code.pieces)
        if size > MOST_COMPILED:
            raise FormulaError(
                "formula-size", 0, f"{size} characters when compiled, {MOST_COMPILED} at most", "use a helper field"
            )
        return code.pieces, code.maybe

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
            return Code(('""',), ANY)
        if isinstance(node, Name):
            return self._value(self.context.cell(node))
        if isinstance(node, Negative):
            inner = self.strict(node.value)
            return _merge(_flat("-", self._bracket(inner, 4)), inner.measure, inner, binding=4)
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
            return Code(reference.pieces, reference.measure, texts=(reference.pieces,))
        return Code(reference.pieces, reference.measure, numbers=(reference.pieces,))

    def _guard(self, code: Code) -> Code:
        """Wrap what can be missing: blank where anything that it needs is not there."""
        pieces = code.pieces
        for found, is_text in reversed(code.lookups):
            test = _flat(found, '=""') if is_text else _flat("COUNT(", found, ")<1")
            pieces = _flat("IF(", test, ',"",', pieces, ")")
        for column, started in reversed(code.totals):
            pieces = _flat("IF(COUNT(", column, ")<SUM(", started, '),"",', pieces, ")")
        if code.numbers:
            test = _flat("COUNT(", _listed(list(code.numbers)), f")<{len(code.numbers)}")
            pieces = _flat("IF(", test, ',"",', pieces, ")")
        if code.texts:
            tests = [_flat(piece, '=""') for piece in code.texts]
            test = tests[0] if len(tests) == 1 else _flat("OR(", _listed(tests), ")")
            pieces = _flat("IF(", test, ',"",', pieces, ")")
        return Code(pieces, code.measure, maybe=code.maybe or code.guarded)

    # Branches: each is guarded by itself, so the whole can be blank and stands at the root only.

    def _branching(self, node: Node, wanted: Measure | None = None) -> Code | None:
        if not isinstance(node, Call):
            return None
        special = {
            "IF": self._branches, "CHOOSE": self._branches, "given": self._given, "known": self._known,
            "sum_known": self._sum_known, "match": self._match, "back": self._back,
        }.get(node.function)  # fmt: skip
        return special(node, wanted) if special else None

    def _branches(self, node: Call, wanted: Measure | None) -> Code:
        if node.function == "IF" and len(node.arguments) != 3:
            raise FormulaError("formula-arguments", node.at, "IF takes a condition and two branches", "write both branches")
        condition = self.strict(node.arguments[0])
        branches = [self.root(branch, wanted) for branch in node.arguments[1:]]
        of = wanted or self._alike([*branches], node)
        branches = [self._fit(branch, of, node.at) for branch in branches]
        pieces = _flat(f"{node.function}(", _listed([condition.pieces, *(branch.pieces for branch in branches)]), ")")
        merged = _merge(pieces, of, condition)
        return attrs.evolve(merged, maybe=any(branch.maybe for branch in branches))

    def _given(self, node: Call, wanted: Measure | None) -> Code:
        value, other = self._arguments(node, 2)
        reference = self._reference(value)
        fallback = self.root(other, wanted or reference.measure)
        of = wanted or reference.measure
        shown = self._fit(Code(reference.pieces, reference.measure), of, node.at)
        fallback = self._fit(fallback, of, node.at)
        pieces = _flat("IF(", reference.pieces, '="",', fallback.pieces, ",", shown.pieces, ")")
        return Code(pieces, of, maybe=fallback.maybe)

    def _known(self, node: Call, _: Measure | None) -> Code:
        (value,) = self._arguments(node, 1)
        reference = self._reference(value)
        return Code(_flat("IF(", reference.pieces, '="",0,1)'), measure.plain_number())

    def _sum_known(self, node: Call, wanted: Measure | None) -> Code:
        if len(node.arguments) == 1 and self._is_range(node.arguments[0]):
            column = self._range(node.arguments[0])
            return Code(_flat("SUM(", column.pieces, ")"), column.measure, column.needs)
        references = [self._reference(argument) for argument in node.arguments]
        of = wanted or references[0].measure
        terms = [self._fit(Code(reference.pieces, reference.measure), of, node.at).pieces for reference in references]
        if any(term is not reference.pieces and not reference.entered for term, reference in zip(terms, references, strict=True)):
            raise FormulaError("formula-sum-known", node.at, "only inputs can be converted here", "convert in a helper field")
        count = _flat("COUNT(", _listed([reference.pieces for reference in references]), ")")
        return Code(_flat("IF(", count, '=0,"",SUM(', _listed(terms), "))"), of, maybe=True)

    def _match(self, node: Call, _: Measure | None) -> Code:
        typed, among = self._arguments(node, 2)
        reference, column = self._reference(typed), self._range(among)
        trimmed: Pieces = _flat("TRIM(", reference.pieces, ")")
        for mark in ("~", "*", "?"):
            trimmed = _flat("SUBSTITUTE(", trimmed, f',"{mark}","~{mark}")')
        found = _flat("IFERROR(MATCH(", trimmed, ",", column.pieces, ',0),"")')
        return Code(_flat("IF(", reference.pieces, '="","",', found, ")"), measure.plain_number(), maybe=True)

    def _back(self, node: Call, _: Measure | None) -> Code:
        value, count = self._arguments(node, 2)
        if not isinstance(value, Name):
            raise FormulaError("formula-back", node.at, "back looks at a column of the own table", "name it")
        column = self.context.above(value)
        steps = self.strict(count)
        number = self.context.cell(Name(("no",), node.at))
        # The range begins at the header, so record r stands at r + 1 in it.
        place = _flat(number.pieces, "-", self._bracket(steps, 4), "+1")
        found = _flat("INDEX(", column.pieces, ",", place, ")")
        pieces = _flat("IF(", number.pieces, "<=", steps.pieces, ',"",', found, ")")
        return attrs.evolve(_merge(pieces, column.measure, steps), maybe=True)

    # Operators

    def _pair(self, node: Pair, left: Code, right: Code) -> Code:
        if node.operator == "&":
            if not self.show:
                raise FormulaError("formula-join", node.at, "texts are joined in a formula", "make it a show field")
            return _merge(_flat(left.pieces, "&", right.pieces), TEXT, left, right, binding=1)
        if node.operator in _COMPARISONS:
            return self._comparison(node, left, right)
        if self.show:
            raise FormulaError("formula-show", node.at, "a show field reckons", "reckon in a formula field and show that")
        of, right = self._result(node, left, right)
        binding = _BINDING[node.operator]
        second = self._bracket(right, binding + 1 if node.operator in {"-", "/", "^"} else binding)
        first = self._bracket(left, binding if node.operator != "^" else _TIGHTEST)
        return _merge(_flat(first, node.operator, second), of, left, right, binding=binding)

    def _comparison(self, node: Pair, left: Code, right: Code) -> Code:
        for literal, other in ((node.left, right), (node.right, left)):
            if isinstance(literal, Text) and not literal.text:
                # x = "" asks whether x is there; it needs no guard.
                return Code(_flat(other.pieces, node.operator, '""'), TRUTH, binding=_LOOSEST)
        right = self._fit(right, left.measure, node.at) if left.measure != ANY else right
        left = self._fit(left, right.measure, node.at) if right.measure != ANY else left
        pieces = _flat(self._bracket(left, 1), node.operator, self._bracket(right, 1))
        return _merge(pieces, TRUTH, left, right, binding=_LOOSEST)

    def _result(self, node: Pair, left: Code, right: Code) -> tuple[Measure, Code]:
        one, two, operator = left.measure, right.measure, node.operator
        if operator in {"+", "-"}:
            return self._sum(node, left, right)
        for side in (one, two):
            if side.temperature or side.kind in {"text", "truth", "date", "clock"}:
                what = "a temperature" if side.temperature else f"a {side.kind}"
                raise FormulaError(
                    "formula-kind", node.at, f"{what} cannot stand beside {operator}", "use number(x, …) or a difference"
                )
        if one == ANY or two == ANY:
            return ANY if operator in {"*", "/"} and one == ANY else one, right
        if operator == "*":
            return Measure("unit", one.unit * two.unit), right
        if operator == "/":
            return Measure("unit", one.unit / two.unit), right
        if not (one.plain and two.plain):
            raise FormulaError("formula-power", node.at, f"a power of {one}", "strip the unit with number(x, …)")
        return one, right

    def _sum(self, node: Pair, left: Code, right: Code) -> tuple[Measure, Code]:
        one, two, operator = left.measure, right.measure, node.operator
        if one == ANY:
            return two, right
        if two == ANY:
            return one, right
        scaled = one.kind in {"date", "clock"} or one.temperature
        if scaled and operator == "-" and one == two:
            return measure.span_of(one), right
        if scaled and two.kind == "unit" and not two.temperature:
            return one, self._fit(right, measure.span_of(one), node.at)
        if scaled or two.temperature or not measure.same_dimension(one, two):
            verb = "adds" if operator == "+" else "subtracts"
            raise FormulaError(
                "formula-unit", node.at, f"{verb} {two} {'to' if operator == '+' else 'from'} {one}",
                "both sides need the same dimension",
            )  # fmt: skip
        return one, self._fit(right, one, node.at)

    # Calls

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
            raise FormulaError("formula-arguments", node.at, f"{node.function} takes other arguments", f"it takes {spec.arguments}")
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
        of = self._of_call(spec, node, parts)
        if spec.result == "same":
            parts = [self._fit(part, of, node.at) for part in parts]
        merged = _merge(_flat(f"{node.function}(", _listed([part.pieces for part in parts]), ")"), of, *parts)
        return Code(merged.pieces, of) if spec.never_missing else merged

    def _argument(self, kind: str, node: Node, *, total: bool) -> Code:
        if kind == "f":
            if not isinstance(node, Text) or node.text not in TEXT_FORMATS:
                raise FormulaError("formula-format", node.at, "not one of the formats", f"use {', '.join(sorted(TEXT_FORMATS))}")
            return Code((f'"{node.text}"',), TEXT)
        if kind == "a":
            return self._array(node)
        if kind == "r" or (kind == "v" and self._is_range(node)):
            reference = self._range(node)
            code = Code(reference.pieces, reference.measure, numbers=reference.needs)
            complete = total and reference.maybe and reference.started and reference.measure.kind != "text"
            return attrs.evolve(code, totals=((reference.pieces, reference.started),)) if complete else code
        if kind == "n":
            reference = self._reference(node)
            return Code(reference.pieces, reference.measure)
        return self.strict(node)

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
        pieces = _flat("INDEX(", _listed([column.pieces, *(place.pieces for place in places)]), ")")
        merged = _merge(pieces, column.measure, *places)
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
            wanted = measure.of_unit(self.context.field.unit, self.system)
            if measure.same_dimension(inner.measure, wanted):
                # Rounding must happen in the unit that is shown.
                inner = self._fit(inner, wanted, node.at)
            return _merge(_flat(rounding[0], inner.pieces, rounding[1]), inner.measure, inner)
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
            of = measure.of_unit(word.text, self.system) if _is_words(word.text) else Measure("unit", units.registry().Unit(word.text))
        except Exception as error:
            raise FormulaError("formula-unit", word.at, f"no unit '{word.text}'", "use a unit word") from error
        inner = self.strict(value)
        if node.function == "number":
            return attrs.evolve(self._fit(inner, of, node.at), measure=measure.plain_number())
        if inner.measure != ANY and not inner.measure.plain:
            raise FormulaError("formula-unit", node.at, f"{inner.measure} has a unit already", "strip it with number(x, …)")
        return attrs.evolve(inner, measure=of)

    # Ranges

    def _is_range(self, node: Node) -> bool:
        if isinstance(node, Call):
            return node.function in {"above", "table"} or (node.function == "INDEX" and self._whole(node))
        if isinstance(node, Name) and len(node.parts) > 1:
            try:
                self.context.range(node)
            except FormulaError:
                return False
            return True
        return False

    def _whole(self, node: Call) -> bool:
        return any(isinstance(argument, Number) and argument.text == "0" for argument in node.arguments[1:])

    def _range(self, node: Node) -> Reference:
        if isinstance(node, Name):
            return self.context.range(node)
        if isinstance(node, Call) and node.function in {"above", "table"}:
            (name,) = self._arguments(node, 1)
            if not isinstance(name, Name):
                raise FormulaError("formula-range", node.at, f"{node.function} takes a name", "name a column or block")
            return self.context.above(name) if node.function == "above" else self.context.table(name)
        if isinstance(node, Call) and node.function == "INDEX" and self._whole(node):
            table = self._range(node.arguments[0])
            places = [self.strict(argument) for argument in node.arguments[1:]]
            if any(place.lookups or place.totals for place in places):
                raise FormulaError("formula-maybe", node.at, "the column is looked up twice over", "use a helper field")
            needs = _unique(piece for place in places for piece in place.numbers)
            pieces = _flat("INDEX(", _listed([table.pieces, *(place.pieces for place in places)]), ")")
            return Reference(pieces, table.measure, table.maybe, table.started, needs=needs)
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
            return Code(reference.pieces, reference.measure, reference.needs, totals=totals)
        if isinstance(node, Pair) and node.operator != "&":
            inside = node.operator not in _COMPARISONS
            left, right = (
                self._compared(side) if not inside else self._array(side, whole=False) for side in (node.left, node.right)
            )
            code = self._pair(node, left, right)
            return code if inside else attrs.evolve(code, measure=measure.plain_number(), binding=_LOOSEST)
        return self.strict(node)

    def _compared(self, node: Node) -> Code:
        if self._is_range(node):
            reference = self._range(node)
            return Code(reference.pieces, reference.measure, reference.needs)
        return self._array(node, whole=False)

    # Small things

    def _arguments(self, node: Call, count: int) -> tuple[Node, ...]:
        if len(node.arguments) != count:
            raise FormulaError("formula-arguments", node.at, f"{node.function} takes {count}", "give as many")
        return node.arguments

    def _reference(self, node: Node) -> Reference:
        if not isinstance(node, Name):
            raise FormulaError("formula-name", node.at, "a name is expected here", "use a helper field")
        return self.context.cell(node)

    def _bracket(self, code: Code, least: int) -> Pieces:
        return code.pieces if code.binding >= least else _flat("(", code.pieces, ")")

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
        if code.maybe:
            raise FormulaError("formula-maybe", at, "a value that can be blank must be converted", "use a helper field")
        cell = self.context.cell(Name(("factors", "value", factor.code), at)).pieces
        sign = "/" if factor.divide else "*"
        pieces = self._bracket(code, 3)
        for _ in range(factor.power):
            pieces = _flat(pieces, sign, cell)
        return attrs.evolve(code, pieces=pieces, measure=wanted, binding=3)


def _is_words(text: str) -> bool:
    try:
        units.pint_text(text, "us")
    except units.UnknownUnitError:
        return text in units.PLAIN
    return True
