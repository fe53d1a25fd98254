"""The template's formula language: text becomes a tree, each node with its place in the text.

Grammar, loosest first::

    join       = comparison { "&" comparison }
    comparison = sum [ ("=" | "<>" | "<" | "<=" | ">" | ">=") sum ]
    sum        = product { ("+" | "-") product }
    product    = sign { ("*" | "/") sign }
    sign       = [ "-" ] power
    power      = atom [ "^" atom ]
    atom       = number | text | name | function "(" [ join { "," join } ] ")" | "(" join ")"
    name       = word { "." word }

A lower-case function is one of ours; an upper-case one is the spreadsheet's.
"""

from __future__ import annotations

import re
from typing import Final

import attrs

MOST_CHARACTERS: Final = 120
MOST_NESTED: Final = 4


class FormulaError(Exception):
    """Something is wrong at one place of a formula.

    Parameters
    ----------
    code : str
        Finding code.
    at : int
        0-based offset in the text [count].
    what, mend : str
        What is wrong and what to do.
    """

    def __init__(self, code: str, at: int, what: str, mend: str) -> None:
        self.code = code
        self.at = at
        self.what = what
        self.mend = mend
        super().__init__(f"{code} at {at}: {what}; {mend}")


@attrs.frozen
class Number:
    """0 or 1: every other number is a named cell."""

    text: str
    at: int


@attrs.frozen
class Text:
    """A text literal: "" or the format of TEXT."""

    text: str
    at: int


@attrs.frozen
class Name:
    """A field, ``block.field``, or ``block.field.scenario`` / ``list.field.code``."""

    parts: tuple[str, ...]
    at: int


@attrs.frozen
class Call:
    """A function of ours (lower case) or of the spreadsheet (upper case)."""

    function: str
    arguments: tuple[Node, ...]
    at: int


@attrs.frozen
class Negative:
    """Minus before a value."""

    value: Node
    at: int


@attrs.frozen
class Pair:
    """Two values joined by an operator."""

    operator: str
    left: Node
    right: Node
    at: int


Node = Number | Text | Name | Call | Negative | Pair

_TOKEN = re.compile(
    r"\s*(?:(?P<number>\d+(?:\.\d+)?)|(?P<word>[A-Za-z_][A-Za-z0-9_]*(?:\.[A-Za-z_][A-Za-z0-9_]*)*)"
    r"|(?P<text>\"[^\"]*\")|(?P<mark><>|<=|>=|[-+*/^=<>&(),]))"
)


@attrs.frozen
class _Token:
    kind: str
    text: str
    at: int


def _tokens(text: str) -> list[_Token]:
    found, at = [], 0
    while text[at:].strip():
        match = _TOKEN.match(text, at)
        if match is None:
            at += len(text[at:]) - len(text[at:].lstrip())
            raise FormulaError("formula-character", at, f"'{text[at]}' means nothing here", "remove it")
        kind = str(match.lastgroup)
        found.append(_Token(kind, match[kind], match.start(kind)))
        at = match.end()
    return [*found, _Token("end", "", len(text))]


def _written_out(call: Call) -> Node:
    """Return what a short form stands for.

    ``only(column, x)`` is ``(column = x) + (x = 0)``: the rows of one number, all rows where none is asked for.
    ``column(block, n)`` is ``INDEX(table(block), 0, n)``: one column of a table.
    """
    zero = Number("0", call.at)
    match call.function, call.arguments:
        case "only", (column, one):
            return Pair("+", Pair("=", column, one, call.at), Pair("=", one, zero, call.at), call.at)
        case "column", (block, number):
            return Call("INDEX", (Call("table", (block,), call.at), zero, number), call.at)
        case _:
            return call


class _Parser:
    def __init__(self, text: str) -> None:
        self.tokens = _tokens(text)
        self.index = 0
        self.depth = 0

    @property
    def here(self) -> _Token:
        return self.tokens[self.index]

    def take(self, *texts: str) -> _Token | None:
        token = self.here
        if token.kind == "mark" and token.text in texts:
            self.index += 1
            return token
        return None

    def join(self) -> Node:
        return self._chain(self.comparison, "&")

    def comparison(self) -> Node:
        left = self.sum()
        if token := self.take("=", "<>", "<", "<=", ">", ">="):
            left = Pair(token.text, left, self.sum(), token.at)
        return left

    def sum(self) -> Node:
        return self._chain(self.product, "+", "-")

    def product(self) -> Node:
        return self._chain(self.sign, "*", "/")

    def _chain(self, part: object, *marks: str) -> Node:
        assert callable(part)
        left: Node = part()
        while token := self.take(*marks):
            left = Pair(token.text, left, part(), token.at)
        return left

    def sign(self) -> Node:
        if token := self.take("-"):
            value = self.power()
            if isinstance(value, Pair) and value.operator == "^":
                raise FormulaError(
                    "formula-minus-power", token.at, "minus before a power is read differently by programs",
                    "write 0 - x ^ y",
                )  # fmt: skip
            return Negative(value, token.at)
        return self.power()

    def power(self) -> Node:
        left = self.atom()
        if token := self.take("^"):
            left = Pair("^", left, self.atom(), token.at)
            if again := self.take("^"):
                raise FormulaError(
                    "formula-chained-power", again.at, "chained powers are read differently by programs",
                    "use a field for the inner power",
                )  # fmt: skip
        return left

    def atom(self) -> Node:
        token = self.here
        if token.kind == "number":
            self.index += 1
            if token.text not in {"0", "1"}:
                raise FormulaError(
                    "formula-number", token.at, f"the number {token.text} stands in a formula",
                    "make it a constant with a source, or a column of a list",
                )  # fmt: skip
            return Number(token.text, token.at)
        if token.kind == "text":
            self.index += 1
            return Text(token.text[1:-1], token.at)
        if token.kind == "word":
            self.index += 1
            if self.take("("):
                return self.call(token)
            return Name(tuple(token.text.split(".")), token.at)
        if self.take("("):
            inside = self.join()
            self.close()
            return inside
        what = f"'{token.text}' where a value is expected" if token.text else "ends where a value is expected"
        raise FormulaError("formula-syntax", token.at, what, "write a name, a function, 0 or 1")

    def call(self, word: _Token) -> Node:
        self.depth += 1
        if self.depth > MOST_NESTED:
            raise FormulaError(
                "formula-depth", word.at, f"more than {MOST_NESTED} calls inside each other",
                "make the inner part a helper field",
            )  # fmt: skip
        arguments: list[Node] = []
        if not self.take(")"):
            arguments.append(self.join())
            while self.take(","):
                arguments.append(self.join())
            self.close()
        self.depth -= 1
        return _written_out(Call(word.text, tuple(arguments), word.at))

    def close(self) -> None:
        if not self.take(")"):
            raise FormulaError("formula-syntax", self.here.at, "a bracket is not closed here", "close it with )")


def parse(text: str) -> Node:
    """Return the tree of a formula.

    Parameters
    ----------
    text : str
        One line in the template's language.

    Returns
    -------
    Node
        The root of the tree.

    Raises
    ------
    FormulaError
        The text is too long, too deep, or not in the grammar.
    """
    if len(text) > MOST_CHARACTERS:
        raise FormulaError(
            "formula-long", MOST_CHARACTERS, f"{len(text)} characters, {MOST_CHARACTERS} at most",
            "make a part of it a helper field with a name a contractor understands",
        )  # fmt: skip
    parser = _Parser(text)
    tree = parser.join()
    if parser.here.kind != "end":
        raise FormulaError("formula-syntax", parser.here.at, f"'{parser.here.text}' is not expected here", "remove it")
    return tree


def names_in(node: Node) -> list[Name]:
    """Return every name of a tree, left to right."""
    if isinstance(node, Name):
        return [node]
    if isinstance(node, Call):
        return [name for argument in node.arguments for name in names_in(argument)]
    if isinstance(node, Negative):
        return names_in(node.value)
    if isinstance(node, Pair):
        return [*names_in(node.left), *names_in(node.right)]
    return []


def calls_in(node: Node) -> set[str]:
    """Return the name of every function of a tree."""
    match node:
        case Call(function, arguments):
            return {function}.union(*map(calls_in, arguments))
        case Negative(value):
            return calls_in(value)
        case Pair(_, left, right):
            return calls_in(left) | calls_in(right)
        case _:
            return set()


def whole(node: Call) -> bool:
    """Return whether an INDEX gives a whole column or row: 0 in one of its places."""
    return any(isinstance(argument, Number) and argument.text == "0" for argument in node.arguments[1:])
