"""Which book is this? The stamp, from the named cells of Start or from the document's properties."""

from __future__ import annotations

from typing import Final

from sheetgen.book.compile import Compiled, compiled, shipped
from sheetgen.book.load import template_versions
from sheetgen.book.plan import Plan
from sheetgen.book.prefix import name_prefix
from sheetgen.book.stamp import FIELDS, Stamp, texts_of
from sheetgen.book.template import SCENARIOS
from sheetgen.findings import Refused, Report
from sheetgen.reader.prefixes import KINDS, prefixes
from sheetgen.reader.raw import RawBook

# A book that lost a sheet or some rows still has more than half of its cells.
_MOST_MISSING: Final = 2
_MEND = "open a book that sheetgen made; one made by another tool cannot be read"


def read_stamp(raw: RawBook, prefix: str = "") -> Stamp:
    """Return the stamp of a book.

    Parameters
    ----------
    raw : RawBook
        The book as it was saved.
    prefix : str
        Before its sheets, where it stands in a person's own workbook: then the properties of the document are that person's.

    Returns
    -------
    Stamp
        What the book says of itself.

    Raises
    ------
    Refused
        There is no stamp, it cannot be read, or its two copies differ.
    """
    report = Report()
    cells = _from_cells(raw, name_prefix(prefix))
    properties = {} if prefix else texts_of(raw.custom)
    if not cells and not properties:
        report.error("stamp-none", raw.path.name, "is not a book of sheetgen: it carries no stamp", _MEND)
        raise Refused(report)
    if cells and properties and cells != properties:
        differing = ", ".join(name for name in FIELDS if cells.get(name) != properties.get(name))
        report.error(
            "stamp-differs", raw.path.name, f"the stamp on Start and the document's properties differ in {differing}",
            "use the book as it was before its Start sheet was changed",
        )  # fmt: skip
        raise Refused(report)
    try:
        return Stamp.read(cells or properties)
    except ValueError as error:
        report.error("stamp-bad", raw.path.name, f"the stamp cannot be read: {error}", _MEND)
        raise Refused(report) from error


def prefixes_in(raw: RawBook) -> tuple[str, ...]:
    """Return the prefix of each book of ours in a workbook; one that is empty where its stamp stands in the properties alone."""
    found = prefixes(raw.names)
    return found if found or not texts_of(raw.custom) else ("",)


def is_hosted(raw: RawBook) -> bool:
    """Return whether every book of ours in a workbook was added to it: then the document's properties have no stamp."""
    return bool(prefixes(raw.names)) and not texts_of(raw.custom)


def _from_cells(raw: RawBook, before: str) -> dict[str, str]:
    found = {}
    for name in FIELDS:
        target = raw.names.get(f"{before}stamp_{name}", "")
        sheet, _, cell = target.rpartition("!")
        place = _place(cell)
        held = raw.cell(sheet.strip("'").replace("''", "'"), *place) if place else None
        if held is not None and (held.value is not None or name == "rows"):
            found[name] = "" if held.value is None else str(held.value)
    return found


def _place(cell: str) -> tuple[int, int] | None:
    parts = cell.split("$")
    if len(parts) != 3 or not parts[1].isalpha() or not parts[2].isdigit():
        return None
    column = 0
    for letter in parts[1].upper():
        column = column * 26 + ord(letter) - 64
    return int(parts[2]), column


def plan_of(stamp: Stamp, raw: RawBook, prefix: str = "") -> Compiled:
    """Return the compiled template by which a book was made, with the prefix that it has in this workbook.

    Raises
    ------
    Refused
        This tool has no template of that kind and version, or the row counts do not fit it.
    """
    report = Report()
    if stamp.kind not in KINDS:
        report.error("stamp-kind", raw.path.name, f"is a book of kind '{stamp.kind}'", f"give one of: {', '.join(KINDS)}")
    elif stamp.version not in template_versions(stamp.kind):
        known_versions = ", ".join(template_versions(stamp.kind))
        newest = shipped(stamp.kind).version
        earlier = stamp.version.isdigit() and newest.isdigit() and int(stamp.version) < int(newest)
        report.error(
            "stamp-version", raw.path.name,
            f"was made with template version {stamp.version} by sheetgen {stamp.tool}, and this sheetgen reads version {known_versions}",
            f"read it with sheetgen {stamp.tool}, or type what is in it into a new book" if earlier
            else f"use sheetgen {stamp.tool} or a newer one",
        )  # fmt: skip
    else:
        known = shipped(stamp.kind, stamp.version).blocks
        for block, count in stamp.rows.items():
            if block not in known or known[block].kind not in {"rows", "across"} or not 1 <= count <= 5000:
                report.error("stamp-rows", raw.path.name, f"the stamp says {block}={count}", _MEND)
    if report.failed:
        raise Refused(report)
    planned = _cells(Plan(shipped(stamp.kind, stamp.version), stamp.system, stamp.rows))
    held = sum(len(sheet.cells) for sheet in raw.sheets)
    if planned > _MOST_MISSING * held:
        # A stamp can ask for a million cells; what is planned for them would be laid out and looked for in vain.
        what = f"the stamp says that the book has {planned:,} cells, and it has {held:,}"
        report.error("stamp-rows", raw.path.name, what, _MEND)
        raise Refused(report)
    try:
        return compiled(stamp.kind, stamp.system, stamp.rows, stamp.version, prefix)
    except Refused as refused:
        report.error("stamp-rows", raw.path.name, f"no book has so many rows: {refused.findings[0].what}", _MEND)
        raise Refused(report) from refused


def _cells(plan: Plan) -> int:
    """Return how many cells the fields of a book have [count]."""
    scenarios = {block.name: len(SCENARIOS) for block in plan.book.blocks.values() if block.kind == "scenario"}
    return sum(spot.records * scenarios.get(block, 1) for (block, _), spot in plan.spots.items())
