"""Read one formula closely: what it refers to, and whether each thing stands where it may.

IronCalc and LibreOffice forgive much that Excel does not, so this is proved from the text and not by trying.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

import attrs

from sheetgen.book.functions import TEXT_FORMATS
from sheetgen.check import whitelist
from sheetgen.check.tree import Call, Missing, Name, Node, Number, Pair, Percent, Reference, Sign, Text, bare
from sheetgen.check.whitelist import Signature, Takes

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping

LOST_MEND: Final = "restore the formula from a fresh book"
_NUMBER_MEND: Final = "put the number in a named cell with its source"
_ARRAY_MEND: Final = "work it out in a column of its own"
_INDEX_OF_LINE: Final = 2
# Literals that may stand at one kind of argument only.
_PLACED: Final = frozenset(
    {*((Takes.SHOWN_ROWS, Number(text)) for text in whitelist.SHOWN_ROWS), *((Takes.ESCAPE, Text(text)) for text in whitelist.ESCAPES)}
)


@attrs.frozen
class Problem:
    """What is wrong with a formula, and what to do."""

    code: str
    what: str
    mend: str


@attrs.frozen
class Side:
    """A range that must have the shape of another.

    Parameters
    ----------
    reference : Reference
        The range.
    cut : str
        ``whole``, or the one ``row`` or ``column`` that INDEX takes from it.
    """

    reference: Reference
    cut: str = "whole"

    def shape(self, row: int) -> tuple[int, int]:
        """Return its number of rows and columns [rows, columns] for the formula of one row.

        Parameters
        ----------
        row : int
            Row of the formula [1-based row].
        """
        top, bottom = self.reference.rows(row)
        height, width = bottom - top + 1, self.reference.right - self.reference.left + 1
        return (1 if self.cut == "row" else height, 1 if self.cut == "column" else width)


class Reading:
    """One walk over one tree; collects as it goes."""

    def __init__(self, names: Mapping[str, Reference], *, show: bool) -> None:
        self._known = names
        self._functions = whitelist.FUNCTIONS | whitelist.SHOW_ONLY if show else whitelist.FUNCTIONS
        # Mappings in place of sets: they keep the order in which things were met.
        self.references: dict[Reference, None] = {}
        self.names: dict[str, None] = {}
        self.problems: dict[Problem, None] = {}
        self.groups: list[list[Side]] = []
        self.lines: list[Side] = []

    def problem(self, code: str, what: str, mend: str) -> None:
        """Note what is wrong, once."""
        self.problems[Problem(code, what, mend)] = None

    def target(self, node: Node) -> Reference | None:
        """Return what a reference or name refers to, and note that it is referred to."""
        node = bare(node)
        if isinstance(node, Reference):
            found: Reference | None = node
        elif isinstance(node, Name):
            self.names[node.name] = None
            found = self._known.get(node.name.casefold())
            if found is None:
                self.problem("formula-name", f"uses the name '{node.name}', which is not defined", LOST_MEND)
        else:
            return None
        if found is not None:
            self.references[found] = None
        return found

    def value(self, node: Node) -> None:
        """Read what must come to one value."""
        match node := bare(node):
            case Reference() | Name():
                found = self.target(node)
                if found is not None and found.is_range:
                    self.problem("formula-range", "has a range where one value should stand", "refer to one cell")
            case Call():
                self.call(node)
                if self.cut(node):
                    self.problem("formula-range", "has INDEX(…, 0) where one value should stand", "name row and column")
            case Pair(operator, left, right):
                self.powers(node)
                self.value(left)
                if not (operator in whitelist.COMPARISONS and _is_count_guard(left, right)):
                    self.value(right)
            case Sign(_, inner):
                self.value(inner)
            case _:
                self.literal(node)

    def literal(self, node: Node) -> None:
        """Read what is written out in the formula itself."""
        match node:
            case Number(text) if text not in whitelist.NUMBERS:
                self.problem("formula-number", f"holds the number {text}", _NUMBER_MEND)
            case Text(text) if text:
                self.problem("formula-text", f'holds the text "{text}"', "refer to a cell that holds it")
            case Missing():
                self.problem("formula-argument", "leaves an argument out", "write the argument")
            case Percent(inner):
                self.problem("formula-percent", "uses %", "write the share as a number in a cell")
                self.value(inner)
            case _:
                pass

    def powers(self, node: Pair) -> None:
        """Refuse the two forms of ``^`` that programs read differently."""
        if node.operator != "^":
            return
        if isinstance(node.left, Sign):
            self.problem("formula-power", "has a sign before a power", "write 0 - x ^ y")
        if isinstance(node.left, Pair) and node.left.operator == "^":
            self.problem("formula-power", "has a power of a power", "use parentheses or a helper column")

    def call(self, node: Call) -> None:
        """Read a function and its arguments."""
        signature = self._functions.get(node.function)
        if signature is None:
            self._unlisted(node)
            return
        if not signature.accepts(len(node.arguments)):
            self.problem(
                "formula-argument", f"gives {node.function} {len(node.arguments)} arguments", "give it those it takes"
            )
            return
        group: list[Side] = []
        for index, argument in enumerate(node.arguments):
            sides = self.argument(node, signature.takes(index), argument)
            if _same_shape(signature, index):
                group.extend(sides)
            if node.function == "MATCH" or (node.function == "INDEX" and len(node.arguments) == _INDEX_OF_LINE):
                self.lines.extend(sides)
        self.groups.append(group)

    def _unlisted(self, node: Call) -> None:
        if node.function in whitelist.VOLATILE:
            what = f"uses {node.function}, which changes by itself"
        else:
            what = f"uses {node.function}, which is not among the functions that work everywhere"
        self.problem("formula-function", what, "use a listed function, or a cell that holds the value")
        for argument in node.arguments:
            if self.target(argument) is None:
                self.value(argument)

    def argument(self, call: Call, takes: Takes | None, node: Node) -> Iterable[Side]:
        """Read one argument; return the ranges in it whose shape matters."""
        inner = bare(node)
        if takes is Takes.ARRAY:
            return self.product_part(inner)
        if takes in {Takes.RANGE, Takes.EITHER}:
            return self.range_part(call, takes, inner)
        if takes is Takes.CELL and not isinstance(inner, Reference | Name):
            self.problem("formula-argument", f"gives {call.function} something other than a cell", "refer to one cell")
        if takes is Takes.LOOKUP and not (isinstance(inner, Call) and inner.function in {"INDEX", "MATCH"}):
            self.problem("formula-iferror", "has IFERROR round something other than a look-up", "test for the cause")
        if not self.excused(takes, inner):
            self.value(inner)
        return ()

    def excused(self, takes: Takes | None, node: Node) -> bool:
        """Return whether an argument is one of the literals allowed just there; report a wrong one."""
        match takes, node:
            case (Takes.DIGITS, Number(text) | Sign(_, Number(text))):
                return text.isdecimal()
            case (Takes.CRITERION, Pair("&", Text(text), right)) if text in whitelist.COMPARISONS:
                self.value(right)
                return True
            case (Takes.FORMAT, _) if not (isinstance(node, Text) and node.text in TEXT_FORMATS):
                self.problem("formula-format", "gives TEXT a format outside the closed set", "use a listed format")
            case (Takes.EXACT, _) if node != Number("0"):
                self.problem("formula-match", "has MATCH look for something near", "give it 0 as third argument")
            case _:
                return (takes, node) in _PLACED or takes is Takes.FORMAT
        return isinstance(node, Text | Number)

    def range_part(self, call: Call, takes: Takes, node: Node) -> Iterable[Side]:
        """Read an argument that is, or may be, a range."""
        if isinstance(node, Reference | Name):
            found = self.target(node)
            return () if found is None else (Side(found),)
        if isinstance(node, Call) and (cut := self.cut(node)):
            self.call(node)
            return self.cut_side(node, cut)
        if takes is Takes.RANGE:
            self.problem("formula-range", f"gives {call.function} no range where it needs one", "refer to a range")
        self.value(node)
        return ()

    def product_part(self, node: Node) -> Iterable[Side]:
        """Read one argument of SUMPRODUCT: a range, a cut of a table, or arithmetic over ranges."""
        if isinstance(node, Call) and (cut := self.cut(node)):
            self.call(node)
            return self.cut_side(node, cut)
        sides = self.array(node)
        if not sides:
            self.problem("formula-array", "gives SUMPRODUCT something without a range", "multiply it outside")
        return sides

    def array(self, node: Node) -> list[Side]:
        """Read arithmetic over ranges; return the ranges."""
        match node := bare(node):
            case Reference() | Name():
                found = self.target(node)
                return [Side(found)] if found is not None and found.is_range else []
            case Pair(operator, left, right):
                self.powers(node)
                sides = [*self.array(left), *self.array(right)]
                if operator not in whitelist.ARRAY_OPERATORS:
                    self.problem("formula-array", f"uses {operator} inside SUMPRODUCT", _ARRAY_MEND)
                return sides
            case Sign(_, inner) if not isinstance(inner, Number):
                self.problem("formula-array", "uses a sign before a range inside SUMPRODUCT", "write 0 - x")
                return self.array(inner)
            case Call(function, _):
                self.problem("formula-array", f"uses {function} inside SUMPRODUCT", _ARRAY_MEND)
                self.value(node)
                return []
            case _:
                self.value(node)
                return []

    def cut(self, node: Call) -> str:
        """Return which part of a table INDEX takes whole: row, column, whole, or nothing."""
        if node.function != "INDEX":
            return ""
        picks = [bare(argument) == Number("0") for argument in node.arguments[1:]]
        if picks == [False, True]:
            return "row"
        if picks == [True, False]:
            return "column"
        return "whole" if picks and all(picks) else ""

    def cut_side(self, node: Call, cut: str) -> Iterable[Side]:
        """Return the range that INDEX takes a part of, with the part."""
        found = self.target(node.arguments[0])
        return () if found is None else (Side(found, cut),)


def _same_shape(signature: Signature, index: int) -> bool:
    repeated = index >= len(signature.first) and signature.takes(index) is Takes.RANGE
    return repeated or index in signature.same_shape or signature.takes(index) is Takes.ARRAY


def _is_count_guard(left: Node, right: Node) -> bool:
    """Return whether a comparison asks if all of COUNT's arguments are there, such as ``COUNT(a,b)<2``."""
    left, right = bare(left), bare(right)
    return (
        isinstance(left, Call)
        and left.function == "COUNT"
        and isinstance(right, Number)
        and right.text == str(len(left.arguments))
    )
