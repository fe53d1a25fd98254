"""Defined names: one cell or one list of cells, absolute, for the whole workbook, never like a cell's address."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING, Final

from sheetgen.check.place import place
from sheetgen.check.syntax import SyntaxRefusedError, parse
from sheetgen.check.tree import Reference

if TYPE_CHECKING:
    from collections.abc import Collection, Mapping

    from sheetgen.findings import Report
    from sheetgen.reader.raw import RawBook

# Names that programs make for themselves: print areas, print titles, filters.
_BUILT_IN: Final = "_xlnm."
_LIKE_A_CELL: Final = re.compile(r"[A-Za-z]{1,3}\d+|[RrCc]\d*")
_ABSOLUTE: Final = re.compile(r"=?(?:'(?:[^']|'')+'|[^\W\d][\w.]*)!\$[A-Z]{1,3}\$\d+(?::\$[A-Z]{1,3}\$\d+)?")
_MEND: Final = "make the name again for one cell or one column of cells, with $ before column and row"


def defined_names(
    book: RawBook, sheets: Mapping[str, str], report: Report, ours: Collection[str] | None = None
) -> dict[str, Reference]:
    """Return what each defined name refers to; report the names that we never write.

    Parameters
    ----------
    book : RawBook
        The saved book.
    sheets : mapping of str to str
        The name of each sheet by that name in lower case.
    report : Report
        Takes the findings.
    ours : collection of str, optional
        Names that we wrote; all by default. Others are a host's and may stand for anything.

    Returns
    -------
    dict
        Reference by name in lower case.
    """
    found: dict[str, Reference] = {}
    for name, text in book.names.items():
        if name.startswith(_BUILT_IN):
            continue
        if ours is not None and name not in ours:
            if (reference := _target(text)) is not None:
                found[name.casefold()] = reference
            continue
        where = f"{place(book.path)} name {name}"
        if _LIKE_A_CELL.fullmatch(name):
            report.error("name-cell", where, "reads as a cell's address", "give it a longer name")
        reference = _target(text)
        if reference is None:
            report.error("name-target", where, f"stands for '{text}', not for cells with a fixed place", _MEND)
        elif reference.sheet is not None and reference.sheet.casefold() not in sheets:
            report.error("name-target", where, f"refers to a sheet that is not there ('{text}')", _MEND)
        else:
            top, bottom = reference.rows(1)
            if bottom > top and reference.right > reference.left:
                report.error("name-target", where, f"refers to a block of cells ('{text}'), not to one list", _MEND)
            found[name.casefold()] = reference
    for sheet, names in book.sheet_names.items():
        for name in names:
            if not name.startswith(_BUILT_IN) and ours is None:
                report.error(
                    "name-scope", f"{place(book.path, sheet)} name {name}", "belongs to one sheet only",
                    "make it a name of the whole workbook",
                )  # fmt: skip
    return found


def _target(text: str) -> Reference | None:
    if not _ABSOLUTE.fullmatch(text.strip()):
        return None
    try:
        found = parse(text.strip().removeprefix("="), 1)
    except SyntaxRefusedError:
        return None
    return found if isinstance(found, Reference) else None
