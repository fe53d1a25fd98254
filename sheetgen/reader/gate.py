"""The gate before every open: a workbook is looked at from outside before anything of it is built."""

from __future__ import annotations

import re
from collections.abc import Mapping
from pathlib import Path
from typing import TYPE_CHECKING, Any, Final

import attrs
from lxml import etree

from sheetgen.findings import Refused, Report
from sheetgen.reader.active import (
    MENDS,
    active_parts,
    active_relationships,
    active_types,
)
from sheetgen.reader.archive import SAVE, Archive, Entry, refuse
from sheetgen.reader.few_cells import few_cells
from sheetgen.reader.file import read_file
from sheetgen.reader.foreign import Foreign, foreign_file, foreign_package
from sheetgen.reader.limits import BOOK, Limits
from sheetgen.reader.package import (
    MAIN,
    RELATION_ID,
    Package,
    Relationship,
    local,
    namespace_of,
    owner_of,
    parse,
    read_relationships,
    relationships_name,
    target_of,
)
from sheetgen.reader.scan import Scan, StringScan, Tally, check_loose, check_xml, looks_like_xml
from sheetgen.reader.sheet_scan import SheetScan, is_whole

if TYPE_CHECKING:
    import os
    from collections.abc import Callable, Collection

_TYPES_PART: Final = "[Content_Types].xml"
# Relationships to parts that reading needs besides sheets and strings.
_READ: Final = frozenset({"styles", "core-properties", "extended-properties", "custom-properties"})
# A cell whose text is shared, or that hides what it is behind an entity.
_SHARES: Final = re.compile(rb"""\st\s*=\s*["'](?:s["']|[^"']*&)""")
_STATES: Final = frozenset({"visible", "hidden", "veryHidden"})
_WORKBOOK_TYPES: Final = frozenset(
    f"application/vnd.openxmlformats-officedocument.spreadsheetml.{kind}.main+xml" for kind in ("sheet", "template")
)


if TYPE_CHECKING:
    Cells = Collection[tuple[int, int]]
    Wanted = Callable[[Any, tuple[str, ...]], Collection[str] | Mapping[str, Cells | None]]


@attrs.frozen
class SheetPart:
    """A worksheet of the book.

    Parameters
    ----------
    name : str
        As its tab says.
    state : str
        ``visible``, ``hidden`` or ``veryHidden``.
    part : str
        Its name in the zip.
    """

    name: str
    state: str
    part: str


@attrs.frozen
class Inspected:
    """A workbook that the gate let through.

    Parameters
    ----------
    path : Path
        The file.
    limits : Limits
        Under which profile.
    size : int
        The file as it lies on the disk [byte].
    entries : tuple of Entry
        Every entry of the zip, looked into or not.
    workbook : str
        Name of the workbook part.
    tabs : tuple of str
        Names of all tabs, chart sheets too.
    sheets : tuple of SheetPart
        The worksheets that were looked into, in tab order.
    active : tuple of (str, str)
        Kind and place of active content that the profile tolerates.
    tally : Tally
        What was counted.
    package : Package
        The inflated parts that were looked into.
    """

    path: Path
    limits: Limits
    size: int
    entries: tuple[Entry, ...] = attrs.field(repr=False)
    workbook: str
    tabs: tuple[str, ...]
    sheets: tuple[SheetPart, ...]
    active: tuple[tuple[str, str], ...]
    tally: Tally
    package: Package = attrs.field(repr=False)


def inspect(path: str | os.PathLike[str], limits: Limits = BOOK, wanted: Wanted | None = None) -> Inspected:
    """Look at a workbook from outside.

    Parameters
    ----------
    path : path-like
        The file; it is read once.
    limits : Limits
        Profile: a book of ours, or a person's own workbook.
    wanted : callable, optional
        Told the root of the workbook part and the names of all tabs, returns those that are looked into; the others are
        listed and never parsed. All are looked into by default. Where it returns a mapping, a sheet with cells as its value
        [1-based row, 1-based column] is looked into as if it held only them and its formulas; one with None, whole.

    Returns
    -------
    Inspected
        What it holds, and the parts that may now be parsed.

    Raises
    ------
    Refused
        It is no workbook, damaged, unsafe or too large; the findings say which and by how much.
    """
    file = Path(path)
    data = read_file(file, limits)
    place = file.name
    _refuse_foreign(foreign_file(data), place)
    archive = Archive(data, place, limits)
    return _Gate(file, limits, len(data), archive, wanted).inspect()


def _refuse_foreign(found: Foreign | None, place: str) -> None:
    if found is not None:
        code, what, mend = found
        raise refuse(code, place, what, mend)


def _shares(data: bytes) -> bool:
    """Return whether a sheet may have texts in the common table; one in two bytes a letter always may."""
    return b"\x00" in data[:4] or data.startswith((b"\xff\xfe", b"\xfe\xff")) or _SHARES.search(data) is not None


class _Gate:
    """The steps of one inspection, from the directory inwards."""

    def __init__(self, path: Path, limits: Limits, size: int, archive: Archive, wanted: Wanted | None) -> None:
        self._path = path
        self._place = path.name
        self._limits = limits
        self._size = size
        self._archive = archive
        self._wanted = wanted
        self._names = {entry.name.casefold(): entry.name for entry in archive.entries}
        self._contents: dict[str, bytes] = {}
        self._tally = Tally()
        self._active: dict[tuple[str, str], None] = {}

    def inspect(self) -> Inspected:
        mimetype = self._archive.inflate(self._names["mimetype"]) if "mimetype" in self._names else b""
        _refuse_foreign(foreign_package(frozenset(self._names), mimetype), self._place)
        types = self._content_types()
        documents = self._relationships("")
        workbook = self._workbook(documents, types)
        lines = self._relationships(workbook)
        self._active.update(dict.fromkeys(active_parts(self._names.values())))
        self._active.update(dict.fromkeys(active_types(types.items())))
        self._refuse_active()
        tabs, sheets = self._tabs(workbook, lines)
        for kind in _READ:
            self._plain(target_of((*documents, *lines), kind))
        # Sheets that were added to a person's workbook carry their texts themselves: what is shared there is not looked into.
        shared = any(_shares(self._keep(sheet.part)) for sheet in sheets)
        lengths = self._strings(lines) if shared or self._limits.every_part else []
        for sheet in sheets:
            self._sheet(sheet, lengths)
        if self._limits.every_part:
            self._rest()
            self._refuse_active()
        return Inspected(
            path=self._path,
            limits=self._limits,
            size=self._size,
            entries=self._archive.entries,
            workbook=workbook,
            tabs=tabs,
            sheets=sheets,
            active=tuple(self._active),
            tally=self._tally,
            package=Package(self._contents),
        )

    def _refuse_active(self) -> None:
        report = Report()
        kinds: dict[str, list[str]] = {}
        for kind, where in self._active:
            if kind not in self._limits.tolerated:
                kinds.setdefault(kind, []).append(where)
        for kind, found in kinds.items():
            what = f"the workbook holds {kind.replace('link', 'links')}: {found[0]}"
            more = f" and {len(found) - 1:,} more" if len(found) > 1 else ""
            report.error(f"active-{kind.replace(' ', '-')}", self._place, what + more, MENDS[kind])
        if report.failed:
            raise Refused(report)

    def _plain(self, part: str) -> Any | None:
        """Scan a part that holds no cells, keep it and return its root; None where it is missing."""
        name = self._names.get(part.casefold())
        if name is None:
            return None
        if name not in self._contents:
            Scan(f"{self._place} {name}", self._limits, self._tally).scan(self._keep(name))
        try:
            return parse(self._keep(name))
        except etree.XMLSyntaxError as error:
            what = f"the XML is damaged ({error.msg})"
            raise refuse("xml-damaged", f"{self._place} {name}", what, SAVE) from error

    def _relationships(self, part: str) -> tuple[Relationship, ...]:
        lines = read_relationships(self._plain(relationships_name(part)), part)
        self._active.update(dict.fromkeys(active_relationships(lines)))
        return lines

    def _content_types(self) -> dict[str, str]:
        """Return the content type by lower-case part name, and by extension with its dot."""
        root = self._plain(_TYPES_PART)
        if root is None:
            what = "the list of content types is missing"
            raise refuse("types-missing", self._place, what, SAVE)
        types = {}
        for line in root:
            if local(line.tag) == "Override":
                part = line.get("PartName", "").lstrip("/").casefold()
                types[part] = line.get("ContentType", "")
            elif local(line.tag) == "Default":
                types["." + line.get("Extension", "").casefold()] = line.get("ContentType", "")
        return types

    def _workbook(self, documents: tuple[Relationship, ...], types: dict[str, str]) -> str:
        name = self._names.get(target_of(documents, "officeDocument").casefold())
        if name is None:
            raise refuse("workbook-missing", self._place, "the workbook part is missing", SAVE)
        extension = "." + name.rpartition(".")[2].casefold()
        declared = types.get(name.casefold(), types.get(extension, "")).casefold()
        if declared not in _WORKBOOK_TYPES and "macro" not in declared:
            what = f"its main part is declared as {declared[:80]!r}, not as a workbook"
            raise refuse("types-workbook", self._place, what, SAVE)
        return name

    def _tabs(self, workbook: str, lines: tuple[Relationship, ...]) -> tuple[tuple[str, ...], tuple[SheetPart, ...]]:
        root = self._plain(workbook)
        if root is None or local(root.tag) != "workbook" or namespace_of(root) not in MAIN:
            raise refuse("workbook-root", self._place, "the workbook part is something else", SAVE)
        targets = {line.id: line for line in lines if not line.external}
        tabs: list[str] = []
        sheets: list[SheetPart] = []
        for group in root:
            for tab in group if local(group.tag) == "sheets" else ():
                name = tab.get("name", "")
                line = targets.get(tab.get(RELATION_ID[0]) or tab.get(RELATION_ID[1]) or "")
                part = self._names.get(line.target.casefold()) if line else None
                place = f"{self._place} {name[:40]!r}"
                if not name or name.casefold() in {other.casefold() for other in tabs}:
                    raise refuse("sheet-name", place, "two sheets have the same name or none", SAVE)
                if line is None or part is None:
                    raise refuse("sheet-missing", place, "the sheet's part is missing", SAVE)
                tabs.append(name)
                if line.kind == "worksheet":
                    state = tab.get("state", "visible")
                    state = state if state in _STATES else "visible"
                    sheets.append(SheetPart(name, state, part))
        if not sheets:
            raise refuse("sheet-none", self._place, "the workbook has no sheet", SAVE)
        if self._wanted is not None:
            wanted = self._wanted(root, tuple(tabs))
            sheets = [sheet for sheet in sheets if sheet.name in wanted]
            few: Mapping[str, Cells | None] = wanted if isinstance(wanted, Mapping) else {}
            for sheet in sheets:
                if (cells := few.get(sheet.name)) is not None:
                    self._contents[sheet.part] = few_cells(self._archive.inflate(sheet.part), cells)
        return tuple(tabs), tuple(sheets)

    def _strings(self, lines: tuple[Relationship, ...]) -> list[int]:
        name = self._names.get(target_of(lines, "sharedStrings").casefold())
        if name is None:
            return []
        scan = StringScan(f"{self._place} {name}", self._limits, self._tally)
        scan.scan(self._keep(name))
        return scan.lengths

    def _sheet(self, sheet: SheetPart, lengths: list[int]) -> None:
        scan = SheetScan(f"{self._place} {sheet.name}", self._limits, self._tally, lengths)
        scan.scan(self._keep(sheet.part))
        if wrong := sorted(text[:12] for text in self._tally.styles if not is_whole(text)):
            what = f"a cell has the style {wrong[0]!r}"
            raise refuse("style-missing", f"{self._place} {sheet.name}", what, SAVE)

    def _keep(self, name: str) -> bytes:
        if name not in self._contents:
            self._contents[name] = self._archive.inflate(name)
        return self._contents[name]

    def _rest(self) -> None:
        """Look at the parts that reading does not need: pictures are only counted."""
        for name in self._names.values():
            if name in self._contents:
                continue
            if name.casefold().endswith(".rels"):
                self._relationships(owner_of(name))
                continue
            data = self._archive.inflate(name)
            place = f"{self._place} {name}"
            if name.casefold().endswith(".vml"):
                check_loose(data, place)  # Excel itself writes some that are not well-formed
            elif looks_like_xml(data) or name.casefold().endswith(".xml"):
                check_xml(data, place)
                self._contents[name] = data
