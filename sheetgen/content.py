"""What a person typed into a book, apart from how the file was saved: to know it again, and to say where it differs."""

from __future__ import annotations

import datetime as dt
import math
from typing import TYPE_CHECKING, Any, Final

import attrs

from sheetgen import units
from sheetgen.book.template import Block, Field

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping

    from sheetgen.book.plan import Address, Plan
    from sheetgen.reader.filled import Filled
    from sheetgen.units import System

_STAMP: Final = {"kind": "kind of book", "version": "template version", "units": "units"}
# Stands for an endless number, which JSON does not know.
_NO_LIMIT: Final = "no limit"


@attrs.frozen
class Difference:
    """One thing that was typed otherwise.

    Parameters
    ----------
    place : str
        Sheet and cell; nothing where this book has no such field.
    field : str
        Name, and row of a table: ``areas.first[3]``.
    label : str
        What the sheet calls it.
    before, after : str
        As a person reads them, with their units.
    """

    place: str
    field: str
    label: str
    before: str
    after: str


def content_of(filled: Filled) -> dict[str, Any]:
    """Return what was typed into a book as texts, numbers and lists; blank rows at the end are no content.

    Numbers are taken to twelve digits: programs save one with fifteen to seventeen.
    """
    entries = {}
    for (block, field), column in filled.entries.items():
        values = [_plain(value) for value in column]
        while values and values[-1] is None:
            values.pop()
        if values:
            entries[f"{block}.{field}"] = values
    stamp = filled.stamp
    return {"kind": stamp.kind, "version": stamp.version, "units": stamp.system, "entries": entries}


def _plain(value: Any) -> str | float | None:
    if isinstance(value, float):
        return _NO_LIMIT if math.isinf(value) else float(f"{value:.12g}") + 0.0
    if isinstance(value, dt.date):
        return value.isoformat()
    assert value is None or isinstance(value, str)
    return value


def entries_of(content: Mapping[str, Any], plan: Plan) -> dict[tuple[str, str], tuple[Any, ...]]:
    """Return the entries of a book from its content: what `content_of` made plain, made typed again.

    Parameters
    ----------
    content : mapping
        As `content_of` gives it.
    plan : Plan
        A plan of such a book; what it does not have is left out.

    Returns
    -------
    dict of (block, field) to tuple
        All fields of a block with as many records as its longest.
    """
    held = content["entries"]
    entries = {}
    for block, field in (*plan.entered(), *plan.posted()):
        name = f"{block.name}.{field.name}"
        if name in held:
            entries[block.name, field.name] = tuple(_typed(value, field) for value in held[name])
    longest: dict[str, int] = {}
    for (block_name, _), column in entries.items():
        longest[block_name] = max(longest.get(block_name, 0), len(column))
    return {key: column + (None,) * (longest[key[0]] - len(column)) for key, column in entries.items()}


def _typed(value: str | float | None, field: Field) -> Any:
    if not isinstance(value, str):
        return value
    if field.unit == "date":
        return dt.date.fromisoformat(value)
    return math.inf if value == _NO_LIMIT and field.unit not in {"text", "code"} else value


def differences(before: Mapping[str, Any], after: Mapping[str, Any], plan: Plan) -> Iterator[Difference]:
    """Yield what differs between two contents of a book, field by field in the order of the sheets.

    Parameters
    ----------
    before, after : mapping
        Contents, earlier and later.
    plan : Plan
        Where the fields of the later one stand.

    Yields
    ------
    Difference
        One for each stamp field and each cell.
    """
    for name, label in _STAMP.items():
        if before[name] != after[name]:
            yield Difference("", name, label, str(before[name]), str(after[name]))
    known = {f"{block.name}.{field.name}": (block, field) for block, field in (*plan.entered(), *plan.posted())}
    ours, theirs = before["entries"], after["entries"]
    for name in (*known, *sorted(ours.keys() - known.keys())):
        old, new = ours.get(name, []), theirs.get(name, [])
        cells = _cells(plan, *known[name]) if name in known else []
        for record in range(max(len(old), len(new))):
            was, now = (values[record] if record < len(values) else None for values in (old, new))
            if was != now:
                field = known[name][1] if name in known else None
                cell = cells[record] if record < len(cells) else None
                yield Difference(
                    cell.a1 if cell else "",
                    f"{name}[{record + 1}]" if len(cells) != 1 else name,
                    " ".join(field.label.split()) if field else name,
                    _shown(was, field, plan, before["units"]),
                    _shown(now, field, plan, after["units"]),
                )


def _cells(plan: Plan, block: Block, field: Field) -> list[Address]:
    return [cell for _, cell in plan.places(block, field)]


def _shown(value: str | float | None, field: Field | None, plan: Plan, system: System) -> str:
    """Return a value as the sheet shows it."""
    if value is None:
        return "blank"
    if field is None:
        return f"{value:.12g}" if isinstance(value, float) else value
    if field.unit == "clock" and isinstance(value, float):
        seconds = round(value * 24 * 60 * 60)
        return f"{seconds // 3600}:{seconds // 60 % 60:02d}:{seconds % 60:02d}"
    if isinstance(value, float):
        if field.unit == "share":
            return f"{value * 100:.12g} %"
        return f"{value:.12g} {units.symbol(field.unit, system)}".strip()
    if field.kind == "choice" and "." not in field.choices:
        words = {str(record["code"]): str(record["word"]) for record in plan.book.blocks[field.choices].records}
        return f"'{words.get(value, value)}'"
    return f"'{value}'" if field.unit == "text" else value
