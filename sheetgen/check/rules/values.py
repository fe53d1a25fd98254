"""Rules 8 and 11: every number has a format, and no cell holds an error."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from sheetgen.check.gather import Gathered

if TYPE_CHECKING:
    from collections.abc import Iterator

    from sheetgen.check.rules.subject import Subject
    from sheetgen.findings import Finding

_FORMAT_MEND: Final = "give it the number format of its unit"
_ERROR_MEND: Final = "mend what the formula reads; put IFERROR round a look-up only"


def values(subject: Subject) -> Iterator[Finding]:
    """Find numbers in the General format, and error values."""
    book = subject.book
    met = Gathered(book.path)
    general = [code.strip().casefold() in {"general", ""} for code in book.formats]
    unlocked = book.unlocked_styles
    for sheet in subject.sheets:
        for at, cell in sheet.cells.items():
            kind = cell.kind
            if kind == "error":
                met.add(sheet.name, at, f"holds the error {cell.value}", _ERROR_MEND, "rule-11-error")
            elif not general[cell.style] or kind == "bool":
                continue
            elif kind == "number" or (cell.formula is not None and not cell.value):
                met.add(sheet.name, at, "a number has the format General", _FORMAT_MEND, "rule-8-format")
            elif cell.style in unlocked:
                met.add(sheet.name, at, "an input has the format General", _FORMAT_MEND, "rule-8-format")
    yield from met
