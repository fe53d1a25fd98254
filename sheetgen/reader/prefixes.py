"""Which books of ours stand in a workbook: each has its stamp, and a prefix before its sheets and names."""

from __future__ import annotations

import collections
from collections.abc import Iterable, Iterator, Mapping
from typing import Any, Final

from sheetgen.book.compile import shipped
from sheetgen.book.load import template_versions
from sheetgen.book.prefix import name_prefix
from sheetgen.reader.package import local

KINDS: Final = ("bid", "cost", "rates")
_MARK: Final = "stamp_book_kind"


def prefixes(names: Mapping[str, str]) -> tuple[str, ...]:
    """Return the prefix of each book of ours, in the order of their names; empty for one that has none.

    Parameters
    ----------
    names : mapping of str to str
        Text behind each defined name of the workbook, such as ``'Job 7 Start'!$B$4``.

    Returns
    -------
    tuple of str
        As most of its sheets are called: a person may have renamed one.
    """
    marked = [name[: -len(_MARK)] for name in names if name.casefold().endswith(_MARK)]
    found = (_prefix(before, names) for before in marked)
    return tuple(prefix for prefix in found if prefix is not None)


def _prefix(before: str, names: Mapping[str, str]) -> str | None:
    """Return what stands before the sheets whose names have this before them; None where there is no such sheet."""
    if not before:
        return ""
    ours = titles()
    met: collections.Counter[str] = collections.Counter()
    for name, text in names.items():
        if name.startswith(before):
            sheet = sheet_of(text)
            met.update(
                {sheet[: -len(title)] for title in ours if sheet.endswith(title) and name_prefix(sheet[: -len(title)]) == before}
            )
    return met.most_common(1)[0][0] if met else None


def titles() -> set[str]:
    """Return the titles of the sheets of all books of ours, in every version."""
    return {
        sheet.title
        for kind in KINDS
        for version in template_versions(kind)
        # The present version is read once, under no name.
        for sheet in shipped(kind, "" if version == shipped(kind).version else version).sheets
    }


def sheet_of(text: str) -> str:
    """Return the sheet of a reference such as ``'Job 7 Start'!$B$4``."""
    sheet = text.removeprefix("=").rpartition("!")[0]
    return sheet[1:-1].replace("''", "'") if sheet.startswith("'") else sheet


def sheets_of_ours(root: Any, tabs: Iterable[str]) -> frozenset[str]:
    """Return the sheets of the books of ours in a workbook.

    Parameters
    ----------
    root : lxml element
        The workbook part.
    tabs : iterable of str
        Names of all its tabs.

    Returns
    -------
    frozenset of str
        Those of the tabs that a book of ours may have, and those that its names stand for: a person may have renamed one. None
        where there is no such book.
    """
    named = dict(_names(root))
    found = prefixes(named)
    wanted = {f"{prefix}{title}".casefold() for title in (titles() if found else ()) for prefix in found}
    before = tuple(name_prefix(prefix) for prefix in found if prefix)
    wanted |= {sheet_of(text).casefold() for name, text in named.items() if name.startswith(before)}
    return frozenset(tab for tab in tabs if tab.casefold() in wanted)


def _names(root: Any) -> Iterator[tuple[str, str]]:
    for group in root:
        if local(group.tag) == "definedNames":
            for line in group:
                if line.get("localSheetId") is None:
                    yield line.get("name", ""), line.text or ""
