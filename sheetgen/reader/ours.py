"""The sheets of our books in a file: all of a book of ours, or those that were added to a person's own workbook."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

from sheetgen.book.linked import Target, linked_to
from sheetgen.findings import Refused
from sheetgen.reader.limits import HOST
from sheetgen.reader.prefixes import sheets_of_ours
from sheetgen.reader.raw import RawBook, read_raw
from sheetgen.reader.stamped import is_hosted


def read_ours(path: Path) -> RawBook:
    """Read the sheets of a book of ours: the whole file, or of a large workbook to which it was added our sheets alone.

    Raises
    ------
    Refused
        The gate refuses it as a book, and it is none that was added to a person's own workbook.
    """
    try:
        return read_raw(path)
    except Refused:
        found = _added(path)
        if found is None:
            raise
        return found


def read_added(path: Path) -> RawBook:
    """Read our sheets alone from a person's own workbook; and that person's too, where something is taken over from them.

    Raises
    ------
    Refused
        The gate refuses the workbook.
    """
    raw = read_raw(path, HOST, sheets_of_ours)
    return read_raw(path, HOST) if any(_linked(raw)) else raw


def _added(path: Path) -> RawBook | None:
    try:
        raw = read_added(path)
    except Refused:
        return None
    return raw if is_hosted(raw) else None


def _linked(raw: RawBook) -> Iterator[Target]:
    ours = {sheet.name.casefold() for sheet in raw.sheets}
    for sheet in raw.sheets:
        for cell in sheet.cells.values():
            target = linked_to(cell.formula) if cell.formula is not None else None
            if target is not None and target.sheet.casefold() not in ours:
                yield target
