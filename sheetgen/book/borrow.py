"""Blocks as they are written: on a sheet's own file, or taken from a sheet of another book, so that no text stands twice."""

from __future__ import annotations

import tomllib
from collections.abc import Iterator, Mapping
from pathlib import Path
from typing import Any, Final

import attrs

from sheetgen.book.lines import Lines
from sheetgen.book.template import Where
from sheetgen.findings import Report

BORROW: Final = "from"
BORROW_KEYS: Final = frozenset({"kind", "sheet", "blocks", "fields", "leave", "beside", "title", "note", "field"})


@attrs.frozen
class WrittenField:
    """The keys of one field, with the file in which they stand and the place there: number of block and of field."""

    file: str
    lines: Lines
    at: tuple[int, int]
    keys: Mapping[str, Any]

    @property
    def name(self) -> str:
        """Return the field's name, as it is written."""
        return str(self.keys.get("name", ""))


@attrs.frozen
class WrittenBlock:
    """The keys of one block, with its fields and where it stands."""

    where: Where
    keys: Mapping[str, Any]
    fields: tuple[WrittenField, ...]

    @property
    def name(self) -> str:
        """Return the block's name, as it is written."""
        return str(self.keys.get("name", ""))


def written(path: Path, raw: Mapping[str, Any]) -> Iterator[WrittenBlock]:
    """Yield the blocks of a sheet's file in its order.

    Parameters
    ----------
    path : Path
        The file.
    raw : mapping
        What stands in it.
    """
    lines = Lines(path)
    for number, keys in enumerate(raw.get("block", ())):
        fields = tuple(WrittenField(path.name, lines, (number, at), one) for at, one in enumerate(keys.get("field", ())))
        yield WrittenBlock(Where(path.name, lines.line(number)), keys, fields)


def borrowed(block: WrittenBlock, templates: Path, report: Report) -> Iterator[WrittenBlock]:
    """Yield what a block of the kind ``from`` takes from a sheet of another book.

    Parameters
    ----------
    block : WrittenBlock
        Names the *sheet* as ``book/NN-sheet`` and its *blocks*; of their fields it takes those in *fields*, or all but those in
        *leave*. A field that it has itself stands in the place of the one of the same name, *title* and *note* likewise.
        Fields of the same block on other sheets come *beside* as last columns: ``book/NN-sheet.field``.
    templates : Path
        Folder with a folder for each kind of book.
    report : Report
        Takes what is wrong.

    Notes
    -----
    A part of which no field is taken is left out.
    """
    keys, where = block.keys, block.where
    names = tuple(keys.get("blocks", ()))
    own = {field.name: field for field in block.fields}
    found = _sheet(where, str(keys.get("sheet", "")), names, templates, report)
    there = {field.name for one in found for field in one.fields}
    for key, known in (("blocks", {one.name for one in found}), ("fields", there), ("leave", there)):
        for name in keys.get(key, ()):
            if name not in known:
                report.error("template-from", where.at(), f"'{keys.get('sheet')}' has no '{name}'", f"mend the list {key}")
    for name in sorted(own.keys() - there):
        report.error("template-from", where.at(), f"'{name}' stands for no field there", "name it as there")
    if len(names) > 1 and (own or "beside" in keys):
        report.error("template-from", where.at(), "has fields for one of several blocks", "take one block at a time")
    beside = _beside(block, names, templates, report)
    words = {key: keys[key] for key in ("title", "note") if key in keys}
    for one in found:
        kept = tuple(own.get(field.name, field) for field in one.fields if _taken(field.name, keys))
        if kept or not one.fields:
            yield attrs.evolve(one, keys={**one.keys, **words}, fields=(*kept, *beside))


def _sheet(where: Where, sheet: str, names: tuple[str, ...], templates: Path, report: Report) -> list[WrittenBlock]:
    """Return the blocks of these names on a sheet of another book."""
    path = templates / f"{sheet}.toml"
    try:
        raw = tomllib.loads(path.read_text(encoding="utf-8"))
    except (OSError, UnicodeDecodeError, tomllib.TOMLDecodeError) as error:
        report.error("template-from", where.at(), f"cannot take from '{sheet}': {error}", "name a sheet as book/NN-sheet")
        return []
    return [one for one in written(path, raw) if one.name in names]


def _beside(block: WrittenBlock, names: tuple[str, ...], templates: Path, report: Report) -> list[WrittenField]:
    """Return the fields that come as last columns, from other sheets than the block itself."""
    found = []
    for source in block.keys.get("beside", ()):
        sheet, _, name = str(source).rpartition(".")
        fields = [field for one in _sheet(block.where, sheet, names, templates, report) for field in one.fields if field.name == name]
        if not fields:
            report.error("template-from", block.where.at(), f"'{sheet}' has no '{name}'", "mend the list beside")
        found.extend(fields)
    return found


def _taken(name: str, keys: Mapping[str, Any]) -> bool:
    return name in keys["fields"] if "fields" in keys else name not in keys.get("leave", ())
