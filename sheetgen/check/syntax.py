"""Parse one formula as a spreadsheet file stores it: its text becomes a small tree.

Grammar, loosest first, each level read from the left: comparison, ``&``, ``+ -``, ``* /``, ``^``, sign, ``%``.
What a formula of ours may never hold (structured references, whole columns, other files, arrays in braces)
is refused here, so that the tree need not know it.
"""

from __future__ import annotations

import re
from typing import Final

from sheetgen.check.tree import Call, Group, Missing, Name, Node, Number, Pair, Percent, Reference, Sign, Text, Truth
from sheetgen.reader.shared import COLUMNS, MAX_ROW


class SyntaxRefusedError(ValueError):
    """Raised for a formula that cannot be read or holds a form we never write.

    Parameters
    ----------
    code : str
        Finding code.
    what : str
        What is wrong, in plain words.
    """

    def __init__(self, code: str, what: str) -> None:
        self.code = code
        self.what = what
        super().__init__(f"{code}: {what}")


_SHEET = r"(?:'(?P<quoted{0}>(?:[^']|'')+)'|(?P<plain{0}>[^\W\d][\w.]*))!"
_CELL = r"\$?[A-Za-z]{1,3}\$?[0-9]+"
_TOKEN = re.compile(
    r"\s*(?:"
    r"(?P<text>\"(?:[^\"]|\"\")*\")"
    rf"|(?P<whole>(?:{_SHEET.format(1)})?(?:\$?[A-Za-z]{{1,3}}:\$?[A-Za-z]{{1,3}}|\$?[0-9]+:\$?[0-9]+)(?![\w(.]))"
    rf"|(?P<cell>(?:{_SHEET.format(2)})?(?P<first>{_CELL})(?::(?P<last>{_CELL}))?(?![\w(.!]))"
    r"|(?P<error>(?:(?:'(?:[^']|'')+'|\w+)!)?#(?:REF!|DIV/0!|N/A|NAME\?|NULL!|NUM!|VALUE!|SPILL!|CALC!))"
    r"|(?P<number>(?:[0-9]+\.?[0-9]*|\.[0-9]+)(?:[eE][+-]?[0-9]+)?)"
    r"|(?P<word>[^\W\d][\w.]*)"
    r"|(?P<mark><>|<=|>=|[-+*/^&=<>%(),]))"
)
_CELL_PARTS = re.compile(r"(\$?)([A-Za-z]+)(\$?)([0-9]+)")
_FORBIDDEN: Final = {
    "[": ("formula-structured", "refers to another file or to a table by name"),
    "]": ("formula-structured", "refers to another file or to a table by name"),
    "@": ("formula-array", "uses @, which old programs do not know"),
    "#": ("formula-array", "uses #, which old programs do not know"),
    "{": ("formula-array", "holds a list in braces"),
    ":": ("formula-range", "makes a range out of something other than two cells"),
    "'": ("formula-sheet", "names a sheet but no cell of it"),
}
# How tightly an operator binds; all are read from the left.
_BINDS: Final = {
    **dict.fromkeys(("=", "<>", "<", "<=", ">", ">="), 1),
    "&": 2, "+": 3, "-": 3, "*": 4, "/": 4, "^": 5,
}  # fmt: skip
_TIGHTEST: Final = 5
# Excel's own bound; the parser calls itself for each level.
_DEEPEST: Final = 64


def parse(formula: str, row: int) -> Node:
    """Parse a formula.

    Parameters
    ----------
    formula : str
        Its text, without the ``=``.
    row : int
        Row of its cell, from which rows without ``$`` are counted [1-based row].

    Returns
    -------
    Node
        The tree.

    Raises
    ------
    SyntaxRefusedError
        The text is not a formula or holds a form that we never write.
    """
    parser = _Parser(formula, row)
    tree = parser.expression(0)
    if parser.kind != "end":
        raise SyntaxRefusedError("formula-syntax", f"has '{parser.text}' where it should end")
    return tree


class _Parser:
    def __init__(self, formula: str, row: int) -> None:
        self.formula = formula
        self.row = row
        self.at = 0
        self.level = 0
        self.kind = ""
        self.text = ""
        self.match: re.Match[str] | None = None
        self.step()

    def step(self) -> None:
        match = _TOKEN.match(self.formula, self.at)
        if match is None:
            rest = self.formula[self.at :].strip()
            if rest:
                code, what = _FORBIDDEN.get(rest[0], ("formula-syntax", f"has '{rest[0]}', which means nothing here"))
                raise SyntaxRefusedError(code, what)
            self.kind, self.text = "end", "the end"
            return
        # Groups inside a token close before it, so the last one to close is the token itself.
        self.kind = str(match.lastgroup)
        self.text, self.match, self.at = match[self.kind], match, match.end()

    def took(self, mark: str) -> bool:
        if self.kind == "mark" and self.text == mark:
            self.step()
            return True
        return False

    def expression(self, least: int) -> Node:
        self.level += 1
        if self.level > _DEEPEST:
            raise SyntaxRefusedError("formula-depth", "has too many parentheses or signs inside each other")
        left = self.signed()
        while self.kind == "mark" and (binds := _BINDS.get(self.text, 0)) > least:
            operator = self.text
            self.step()
            left = Pair(operator, left, self.expression(binds))
        self.level -= 1
        return left

    def signed(self) -> Node:
        for operator in ("-", "+"):
            if self.took(operator):
                return Sign(operator, self.expression(_TIGHTEST))
        value = self.atom()
        while self.took("%"):
            value = Percent(value)
        return value

    def atom(self) -> Node:
        kind, text, match = self.kind, self.text, self.match
        if kind == "mark" and text == "(":
            self.step()
            inside = self.expression(0)
            self.close()
            return Group(inside)
        if kind in {"mark", "end"} or match is None:
            raise SyntaxRefusedError("formula-syntax", f"has '{text}' where a value should stand")
        if kind == "whole":
            raise SyntaxRefusedError("formula-whole", f"refers to whole rows or columns ({text})")
        if kind == "error":
            raise SyntaxRefusedError("formula-lost", f"refers to something that is gone ({text})")
        self.step()
        if kind == "cell":
            return self.reference(match)
        if kind == "word":
            return self.word(text)
        return Number(text) if kind == "number" else Text(text[1:-1].replace('""', '"'))

    def word(self, text: str) -> Node:
        if self.took("("):
            return Call(text.upper(), self.arguments())
        if text.upper() in {"TRUE", "FALSE"}:
            return Truth(text.upper() == "TRUE")
        return Name(text)

    def arguments(self) -> tuple[Node, ...]:
        if self.took(")"):
            return ()
        found = [self.argument()]
        while self.took(","):
            found.append(self.argument())
        self.close()
        return tuple(found)

    def argument(self) -> Node:
        return Missing() if self.kind == "mark" and self.text in {",", ")"} else self.expression(0)

    def close(self) -> None:
        if not self.took(")"):
            raise SyntaxRefusedError("formula-syntax", f"has '{self.text}' where ')' should stand")

    def reference(self, match: re.Match[str]) -> Reference:
        quoted, plain = match["quoted2"], match["plain2"]
        sheet = quoted.replace("''", "'") if quoted else plain
        if sheet and "[" in sheet:
            raise SyntaxRefusedError("formula-external", f"refers to another file ({match['cell']})")
        first, last = match["first"], match["last"]
        top, top_fixed, left = self.corner(first)
        bottom, bottom_fixed, right = self.corner(last) if last else (top, top_fixed, left)
        return Reference(
            sheet, top, top_fixed, min(left, right), bottom, bottom_fixed, max(left, right), last is not None
        )

    def corner(self, text: str) -> tuple[int, bool, int]:
        match = _CELL_PARTS.fullmatch(text)
        assert match is not None
        _, letters, fixed, digits = match.groups()
        row, column = int(digits), COLUMNS.get(letters.upper())
        if column is None or not 0 < row <= MAX_ROW:
            raise SyntaxRefusedError("formula-lost", f"refers to {text}, which no sheet has")
        return (row, True, column) if fixed else (row - self.row, False, column)


# Quoted text and sheet names stay whole; a row without $ is caught with what stands before it.
_ROW_RELATIVE = re.compile(r"(\"[^\"]*\"|'[^']*')|(?<![\w.$])(\$?[A-Za-z]{1,3})([0-9]+)(?![\w(.!])")


def relative_form(formula: str, row: int) -> tuple[str | int | None, ...]:
    """Return a key that is the same for the same formula in every row.

    Parameters
    ----------
    formula : str
        Its text, without the ``=``.
    row : int
        Row of its cell [1-based row].

    Returns
    -------
    tuple
        Pieces of the text, with the rows without ``$`` counted from the row of the cell.
    """
    pieces: list[str | int | None] = list(_ROW_RELATIVE.split(formula))
    pieces[3::4] = [None if number is None else int(number) - row for number in pieces[3::4]]
    return tuple(pieces)
