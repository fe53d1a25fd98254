"""The sheets of our books in a file: all of a book of ours, or those that were added to a person's own workbook."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping
from pathlib import Path
from typing import Any

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


def _added(path: Path) -> RawBook | None:
    """Read our sheets from a person's own workbook; of theirs what is taken over, and their formulas, with which ours may go in a circle.

    Returns
    -------
    RawBook or None
        None where it is no such workbook.

    Raises
    ------
    Refused
        It is one, and too large all the same.
    """
    try:
        raw = read_raw(path, HOST, sheets_of_ours)
    except Refused:
        return None
    if not is_hosted(raw):
        return None
    cells: dict[str, list[tuple[int, int]]] = {}
    for target in _linked(raw):
        cells.setdefault(target.sheet.casefold(), []).append((target.row, target.column))
    if not cells:
        return raw

    def wanted(root: Any, tabs: tuple[str, ...]) -> Mapping[str, Collection[tuple[int, int]] | None]:
        ours = sheets_of_ours(root, tabs)
        return {tab: None if tab in ours else cells.get(tab.casefold(), ()) for tab in tabs}

    return read_raw(path, HOST, wanted)


def _linked(raw: RawBook) -> Iterator[Target]:
    ours = {sheet.name.casefold() for sheet in raw.sheets}
    for sheet in raw.sheets:
        for cell in sheet.cells.values():
            target = linked_to(cell.formula) if cell.formula is not None else None
            if target is not None and target.sheet.casefold() not in ours:
                yield target
