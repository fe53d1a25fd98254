"""What stands in the cells of one book: what was entered, what the engine computed, and the words of show fields."""

from __future__ import annotations

import datetime as dt
import math
from collections.abc import Callable, Mapping
from decimal import ROUND_HALF_UP, Decimal
from typing import Any

from sheetgen.book.compile import Compiled
from sheetgen.book.linked import Target
from sheetgen.book.names import Context
from sheetgen.book.parse import Call, FormulaError, Name, Node, Number, Pair, Text
from sheetgen.book.plan import Place
from sheetgen.book.states import word_of
from sheetgen.book.template import PAIR, SCENARIOS, Block, Field

Value = float | str | None
_EPOCH = dt.date(1899, 12, 30)


def serial(day: dt.date) -> float:
    """Return the number by which a spreadsheet knows a day [day since 1899-12-30]."""
    return float((day - _EPOCH).days)


class Contents:
    """Values of every cell of one book.

    Parameters
    ----------
    compiled : Compiled
        The compiled template.
    entered : callable
        Returns what was entered at a place: number, text, date, code of a list, or None.
    computed : callable
        Returns the engine's value of a formula at a place, in the units of the book; None where it is missing.
    links : mapping of Place to Target, optional
        Inputs that are taken from another cell of the workbook.
    tells_links : bool
        Whether Start tells the look of linked inputs although none is linked: once it did, it goes on.

    Raises
    ------
    KeyError
        From ``computed``, where a formula has no engine value.
    """

    def __init__(
        self, compiled: Compiled, entered: Callable[[Place], Any], computed: Callable[[Place], Any],
        links: Mapping[Place, Target] | None = None, *, tells_links: bool = False,
    ) -> None:  # fmt: skip
        self.compiled = compiled
        self.plan = compiled.plan
        self._entered = entered
        self._computed = computed
        self.links = links or {}
        self.tells_links = tells_links or bool(links)

    def entered(self, field: Field, place: Place) -> Value:
        """Return what an input cell holds: the word of a choice, the serial number of a date."""
        value = self._entered(place)
        if value is None or value == "":
            return None
        if isinstance(value, dt.date):
            return serial(value)
        if field.no_limit and value == math.inf:
            return self.plan.book.words["no_limit"]
        if field.kind == "choice" and "." not in field.choices:
            block = self.plan.book.blocks[field.choices]
            number = block.record_number(str(value))
            if number is None:
                raise LookupError(f"{place.name}: '{value}' is not a code of {field.choices}")
            return str(block.records[number]["word"])
        return value if isinstance(value, str) else float(value)

    def formula(self, place: Place) -> Value:
        """Return the engine's value of a formula cell; None where it is missing."""
        value = self._computed(place)
        return value if value is None or type(value) is float or isinstance(value, str) else float(value)

    def value(self, block: Block, field: Field, record: int, scenario: int | None) -> Value:
        """Return the value of any cell."""
        place = Place(block.name, field.name, record, scenario)
        if field.kind in {"input", "choice", "posted"}:
            return self.entered(field, place)
        if field.kind == "formula":
            return self.formula(place)
        if field.kind == "show":
            return self.shown(block, field, place)
        if block.kind == "list":
            return self.listed(block, field, record)
        if block.kind == "cross" and field.name in PAIR:
            return float(self.plan.pair(block, record)[field.name])
        return field.value.get(self.plan.system)

    def listed(self, block: Block, field: Field, record: int) -> Value:
        """Return what a list holds, in the units of the book where they matter."""
        held = block.records[record].get(field.name)
        found = held.get(self.plan.system) if isinstance(held, Mapping) else held
        return found if found is None or isinstance(found, str) else float(found)

    def check_state(self, block: Block, field: Field, value: Value) -> Value:
        """Return the word beside a check; nothing where the check has no value yet."""
        if not isinstance(value, float):
            return None
        return word_of(self.plan, block.good if value <= field.tolerance else block.bad)

    def master_state(self) -> str:
        """Return the word that stands on every sheet."""
        looks = self.formula(Place("master", "looks", 0, None))
        return word_of(self.plan, "states.ok" if looks is not None and float(looks) <= 0 else "states.look")

    def shown(self, block: Block, field: Field, place: Place) -> Value:
        """Return the text or number of a show cell, made from values that are already there; None where it says nothing."""
        context = Context(self.plan, block, field, place.scenario, lambda *_: False)
        tree = self.compiled.trees[block.name, field.name]
        said = _Show(self, context, place.record).root(tree)
        return None if said == "" else said


class _MissingError(Exception):
    """A value that a show field needs is not there."""


class _Show:
    """Evaluates the few forms that a show field may have."""

    def __init__(self, contents: Contents, context: Context, record: int) -> None:
        self.contents = contents
        self.context = context
        self.record = record

    def root(self, node: Node) -> Value:
        try:
            return self.strict(node)
        except _MissingError:
            return None

    def strict(self, node: Node) -> Value:
        if isinstance(node, Name):
            value = self._look(node)
            if value is None or value == "":
                raise _MissingError
            return value
        if isinstance(node, Number):
            return float(node.text)
        if isinstance(node, Text):
            return node.text
        if isinstance(node, Pair) and node.operator == "&":
            return f"{self._text(node.left)}{self._text(node.right)}"
        if isinstance(node, Call):
            return self._call(node)
        raise FormulaError("formula-show", node.at, "a show field reckons", "reckon in a formula field")

    def _look(self, name: Name) -> Value:
        if name.parts == ("no",):
            return float(self.record + 1)
        block, field, fixed, scenario = self.context.target(name)
        spot = self.context.plan.spot(block.name, field.name)
        record = fixed if fixed is not None else (self.record if spot.records > 1 else 0)
        return self.contents.value(block, field, record, scenario if block.kind == "scenario" else None)

    def _text(self, node: Node) -> str:
        value = self.strict(node)
        if isinstance(value, float):
            return str(int(value)) if value == int(value) else repr(value)
        return str(value)

    def _call(self, node: Call) -> Value:
        if node.function == "IF":
            condition, yes, no = node.arguments
            return self.root(yes if self._true(condition) else no)
        if node.function == "CHOOSE":
            number = self.strict(node.arguments[0])
            assert isinstance(number, float)
            return self.root(node.arguments[int(number)])
        if node.function == "INDEX":
            return self._index(node)
        if node.function == "TEXT":
            number, form = self.strict(node.arguments[0]), node.arguments[1]
            assert isinstance(form, Text)
            return _formatted(number, form.text)
        if node.function == "TRIM":
            # Only spaces, as the spreadsheet does it.
            return " ".join(word for word in str(self.strict(node.arguments[0])).split(" ") if word)
        if node.function == "given" and isinstance(node.arguments[0], Name):
            value = self._look(node.arguments[0])
            return self.root(node.arguments[1]) if value in (None, "") else value
        if node.function == "known" and isinstance(node.arguments[0], Name):
            return 0.0 if self._look(node.arguments[0]) in (None, "") else 1.0
        raise FormulaError("formula-show", node.at, f"a show field uses {node.function}", "reckon in a formula field")

    def _index(self, node: Call) -> Value:
        column, place = node.arguments[:2]
        number = self.strict(place)
        assert isinstance(column, Name)
        assert isinstance(number, float)
        block, field, key = self.context.found(column)
        scenario: int | None = None
        if block.kind == "scenario":
            scenario = SCENARIOS.index(key) if key else self.context.scenario
        value = self.contents.value(block, field, int(number) - 1, scenario)
        if value is None or value == "":
            raise _MissingError
        return value

    def _true(self, node: Node) -> bool:
        if not isinstance(node, Pair):
            raise FormulaError("formula-show", node.at, "a comparison is expected", "compare two values")
        blank = [side for side in (node.left, node.right) if isinstance(side, Text) and not side.text]
        if blank:
            other = node.right if node.left is blank[0] else node.left
            assert isinstance(other, Name)
            return (self._look(other) in (None, "")) == (node.operator == "=")
        left, right = self.strict(node.left), self.strict(node.right)
        if isinstance(left, str) or isinstance(right, str):
            return (str(left).casefold() == str(right).casefold()) == (node.operator == "=")
        assert left is not None
        assert right is not None
        return {
            "=": left == right, "<>": left != right, "<": left < right,
            "<=": left <= right, ">": left > right, ">=": left >= right,
        }[node.operator]  # fmt: skip


def _formatted(value: Value, form: str) -> str:
    """Write a number as the spreadsheet's TEXT would, for the closed set of formats."""
    assert isinstance(value, float)
    if form == "yyyy-mm-dd":
        return (_EPOCH + dt.timedelta(days=int(value))).isoformat()
    percent = form.endswith("%")
    digits = len(form.rstrip("%").partition(".")[2])
    exact = Decimal(repr(value)) * (100 if percent else 1)
    # Halves away from zero, and never "-0".
    number = exact.quantize(Decimal(1).scaleb(-digits), ROUND_HALF_UP) or Decimal(0)
    grouped = f"{number:,.{digits}f}" if form.startswith("#") else f"{number:.{digits}f}"
    return f"{grouped}%" if percent else grouped
