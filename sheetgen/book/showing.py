"""The few forms that a show field may have: those that `contents` can make from values that are already there."""

from __future__ import annotations

from sheetgen.book.parse import Call, FormulaError, Name, Negative, Node, Number, Pair, Text

_COMPARISONS = frozenset({"=", "<>", "<", "<=", ">", ">="})
_FUNCTIONS = frozenset({"IF", "CHOOSE", "INDEX", "TEXT", "TRIM", "given", "known"})


def showable(node: Node) -> None:
    """Check that a show field only repeats, joins and chooses.

    Raises
    ------
    FormulaError
        It reckons, or uses a form that is not made here.
    """
    if isinstance(node, Negative) or (isinstance(node, Pair) and node.operator != "&"):
        raise FormulaError("formula-show", node.at, "a show field reckons", "reckon in a formula field and show that")
    if isinstance(node, Pair):
        showable(node.left)
        showable(node.right)
    elif isinstance(node, Call):
        _call(node)


def _call(node: Call) -> None:
    if node.function not in _FUNCTIONS:
        raise FormulaError("formula-show", node.at, f"a show field uses {node.function}", "reckon in a formula field")
    arguments = node.arguments
    if node.function == "IF" and arguments:
        _condition(arguments[0])
        arguments = arguments[1:]
    if node.function == "INDEX" and (len(arguments) != 2 or not isinstance(arguments[0], Name)):
        raise FormulaError("formula-show", node.at, "a show field looks up a table", "look up in a column: INDEX(block.field, no)")
    for argument in arguments:
        showable(argument)


def _condition(node: Node) -> None:
    if not isinstance(node, Pair) or node.operator not in _COMPARISONS:
        raise FormulaError("formula-show", node.at, "a comparison is expected", "compare two values")
    for side, other in ((node.left, node.right), (node.right, node.left)):
        if isinstance(side, Text) and not side.text and not isinstance(other, Name):
            raise FormulaError("formula-show", other.at, "a show field asks whether more than a name is blank", "name a field")
        if not isinstance(side, Name | Number | Text | Call):
            raise FormulaError("formula-show", side.at, "a show field reckons", "reckon in a formula field and show that")
        showable(side)
