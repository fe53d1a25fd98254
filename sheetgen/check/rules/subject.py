"""What every rule looks at: the sheets of ours in a saved book, and how their cells look."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING, Final

import attrs

from sheetgen.book.stamp import PROPERTY_PREFIX
from sheetgen.check.place import place
from sheetgen.findings import Finding, Severity
from sheetgen.reader.shared import COLUMNS

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping

    from sheetgen.check.look import Looks
    from sheetgen.reader.raw import RawBook, RawSheet

Place = tuple[int, int]
TRUE: Final = frozenset({"1", "true"})
_CORNERS: Final = re.compile(r"\$?([A-Z]{1,3})\$?(\d{1,7})(?::\$?([A-Z]{1,3})\$?(\d{1,7}))?")


@attrs.frozen
class Subject:
    """A book and what is ours in it.

    Parameters
    ----------
    book : RawBook
        The saved book.
    types : mapping of str to str
        Type of each sheet of ours by name.
    looks : Looks
        How its styles look.
    fresh : bool
        Whether the book comes straight from us: a person may have moved the cursor since.
    """

    book: RawBook
    types: Mapping[str, str]
    looks: Looks
    fresh: bool

    @property
    def sheets(self) -> tuple[RawSheet, ...]:
        """Our sheets in tab order."""
        return tuple(sheet for sheet in self.book.sheets if sheet.name in self.types)

    @property
    def whole(self) -> bool:
        """Whether the whole book is ours, and not only some sheets of it."""
        return all(tab in self.types for tab in self.book.inspected.tabs)

    @property
    def start(self) -> RawSheet | None:
        """The start sheet."""
        return next((sheet for sheet in self.sheets if self.types[sheet.name] == "start"), None)

    def stamp(self, field: str) -> str:
        """Return what the book's properties say of a field of its stamp; empty where they say nothing."""
        return self.book.custom.get(f"{PROPERTY_PREFIX}{field}", "")

    def error(self, code: str, what: str, mend: str, sheet: str = "", at: Place = (0, 0)) -> Finding:
        """Return an error about the book, a sheet or a cell.

        Parameters
        ----------
        code, what, mend : str
            See Finding; the code begins with the number of the rule.
        sheet : str
            Name of the sheet; the whole book without it.
        at : tuple of (row, column)
            The cell [1-based row, 1-based column]; the whole sheet without it.
        """
        return Finding(code, Severity.ERROR, place(self.book.path, sheet, *at), what, mend)


def corners(text: str) -> tuple[int, int, int, int] | None:
    """Return top, left, bottom, right of a range such as ``B2:C9`` [1-based rows, 1-based columns], or None."""
    found = _CORNERS.fullmatch(text)
    if found is None:
        return None
    left = COLUMNS.get(found[1], 0)
    right = COLUMNS.get(found[3] or found[1], 0)
    return int(found[2]), left, int(found[4] or found[2]), right


def places(sheet: RawSheet, text: str) -> Iterator[Place]:
    """Yield the (row, column) of the cells in a list of ranges that the sheet writes down."""
    for part in text.split():
        found = corners(part)
        if found is None:
            continue
        top, left, bottom, right = found
        if (bottom - top + 1) * (right - left + 1) > len(sheet.cells):
            yield from (at for at in sheet.cells if top <= at[0] <= bottom and left <= at[1] <= right)
        else:
            yield from (
                (row, column)
                for row in range(top, bottom + 1)
                for column in range(left, right + 1)
                if (row, column) in sheet.cells
            )
