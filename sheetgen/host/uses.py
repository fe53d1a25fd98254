"""Which formulas of a person use the names or the sheets of a bid."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Mapping, Sequence
from typing import Final, NamedTuple

from sheetgen.book.plan import column_name
from sheetgen.host.own_sheets import FormulaAt

_STRING: Final = re.compile(r'"(?:[^"]|"")*"')
_SHEET: Final = re.compile(r"'((?:[^']|'')+)'!|([^\W\d][\w.]*(?::[^\W\d][\w.]*)?)!")
_WORD: Final = re.compile(r"[^\W\d][\w.]*")
# What is another figure each time it is reckoned.
_RESTLESS: Final = re.compile(r"\b(?:RAND|RANDBETWEEN|RANDARRAY|NOW|TODAY)\(", re.IGNORECASE)


class Cell(NamedTuple):
    """A formula cell: sheet, 1-based row and column [count]."""

    sheet: str
    row: int
    column: int

    @property
    def a1(self) -> str:
        """Return it as people write it: ``Summary!B4``."""
        return f"{self.sheet}!{column_name(self.column - 1)}{self.row}"


class Bid:
    """What a bid can be called by in a formula.

    Parameters
    ----------
    names, sheets : iterable of str
        Its defined names and its sheets.
    """

    def __init__(self, names: Iterable[str], sheets: Iterable[str]) -> None:
        self._names = frozenset(name.casefold() for name in names)
        self._sheets = frozenset(sheet.casefold() for sheet in sheets)

    def used_by(self, formula: str) -> list[str]:
        """Return the names and sheets of the bid that a formula uses."""
        text = _STRING.sub('""', formula)
        sheets = [sheet for quoted, bare in _SHEET.findall(text) for sheet in (quoted.replace("''", "'") or bare).split(":")]
        found = [sheet for sheet in sheets if sheet.casefold() in self._sheets]
        found += [word for word in _WORD.findall(_SHEET.sub("!", text)) if word.casefold() in self._names]
        return list(dict.fromkeys(found))

    def cells(self, formulas: Mapping[str, Sequence[FormulaAt]]) -> dict[Cell, list[str]]:
        """Return the formula cells that use the bid, each with what it uses.

        Parameters
        ----------
        formulas : mapping of str to sequence of FormulaAt
            Formula cells by sheet; those that share a formula use what the first of them uses.
        """
        return {Cell(sheet, one.row, one.column): used for sheet, one, text in _texts(formulas) if (used := self.used_by(text))}


def restless(formulas: Mapping[str, Sequence[FormulaAt]]) -> set[Cell]:
    """Return the formula cells that are another figure each time."""
    return {Cell(sheet, one.row, one.column) for sheet, one, text in _texts(formulas) if _RESTLESS.search(text)}


def _texts(formulas: Mapping[str, Sequence[FormulaAt]]) -> Iterator[tuple[str, FormulaAt, str]]:
    for sheet, cells in formulas.items():
        shared: dict[str, str] = {}
        for one in cells:
            if one.shared is not None and one.text:
                shared[one.shared] = one.text
            yield sheet, one, one.text or shared.get(one.shared or "", "")
