"""An input that is taken from another cell of the workbook: its formula, written and read in one place."""

from __future__ import annotations

import re
from typing import Final, NamedTuple

from sheetgen.book.plan import column_name
from sheetgen.book.template import Field

_REFERENCE: Final = r"(?:'(?P<quoted>(?:[^'\[\]]|'')+)'|(?P<bare>[^\W\d][\w.]*))!\$?(?P<column>[A-Z]{1,3})\$?(?P<row>[1-9]\d{0,6})"
_TEXT: Final = re.compile(rf"{_REFERENCE}&\"\"")
_VALUE: Final = re.compile(rf"IF\((?P<first>{_REFERENCE})=\"\",\"\",(?P<again>.+)\)")
_WRITTEN: Final = re.compile(_REFERENCE, re.IGNORECASE)


class Target(NamedTuple):
    """The cell that a linked input repeats: sheet, 1-based row and column [count]."""

    sheet: str
    row: int
    column: int

    @property
    def reference(self) -> str:
        """Return it as a formula names it: ``'Customers'!$B$4``."""
        sheet = self.sheet.replace("'", "''")
        return f"'{sheet}'!${column_name(self.column - 1)}${self.row}"

    @property
    def a1(self) -> str:
        """Return it as people write it: ``Customers!B4``."""
        return f"{self.sheet}!{column_name(self.column - 1)}{self.row}"


def link_formula(field: Field, target: Target) -> str:
    """Return the formula, with its ``=``, by which an input repeats a cell; a blank cell stays blank and is no zero.

    Parameters
    ----------
    field : Field
        The input; a text stays text whatever stands in the cell.
    target : Target
        The cell.
    """
    cell = target.reference
    return f'={cell}&""' if is_text(field) else f'=IF({cell}="","",{cell})'


def is_text(field: Field) -> bool:
    """Return whether an input holds words."""
    return field.kind == "choice" or field.unit == "text"


def linked_to(formula: str) -> Target | None:
    """Return the cell that a formula repeats, None where it does anything else."""
    compact = formula.strip().removeprefix("=")
    found = _TEXT.fullmatch(compact) or _VALUE.fullmatch(compact)
    if found is None or ("again" in found.groupdict() and found["again"] != found["first"]):
        return None
    return _target(found)


def read_target(text: str) -> Target | None:
    """Return the cell that a person names: ``Customers!B4`` or ``'Price list'!$B$4``; quotes may be left out."""
    sheet, sign, cell = text.strip().rpartition("!")
    if sign and not sheet.startswith("'"):
        text = "'{}'!{}".format(sheet.replace("'", "''"), cell)
    found = _WRITTEN.fullmatch(text.strip())
    return None if found is None else _target(found)


def _target(found: re.Match[str]) -> Target:
    sheet = found["bare"] or found["quoted"].replace("''", "'")
    column = 0
    for letter in found["column"].upper():
        column = column * 26 + ord(letter) - 64
    return Target(sheet, int(found["row"]), column)
