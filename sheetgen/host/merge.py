"""The parts of our book put beside those of a host: sheets with their charts, names, styles, and who points to whom."""

from __future__ import annotations

import itertools
import posixpath
import re
from typing import Final

import attrs

from sheetgen.host import sheet_part, styles
from sheetgen.host.package import Package
from sheetgen.host.splice import Element, Splice, attributes, written
from sheetgen.reader.package import local, parse, relationships_name

_OFFICE: Final = "http://schemas.openxmlformats.org/officeDocument/2006/relationships"
_RELATION_TYPES: Final = "application/vnd.openxmlformats-package.relationships+xml"
_STYLE_TYPE: Final = "application/vnd.openxmlformats-officedocument.spreadsheetml.styles+xml"
_RELATIONSHIPS: Final = b'<Relationships xmlns="http://schemas.openxmlformats.org/package/2006/relationships"></Relationships>'
_FORMULA_CELL: Final = re.compile(rb'<c r="([A-Z]+\d+)"[^>]*><f>')
# The highest that the usual program takes.
_LAST_SHEET_ID: Final = 65_534
# Where the parts that our sheets bring along go; a kind that is not here is a fault of ours.
_FORMS: Final = {"drawing": "xl/drawings/drawing{}", "chart": "xl/charts/chart{}", "image": "xl/media/image{}"}
_AFTER_SHEETS: Final = (
    "functionGroups", "externalReferences", "definedNames", "calcPr", "oleSize", "customWorkbookViews", "pivotCaches",
    "smartTagPr", "smartTagTypes", "webPublishing", "fileRecoveryPr", "webPublishObjects", "extLst",
)  # fmt: skip


def merge(host: Package, workbook: str, guest: Package, *, recalculate: bool) -> None:
    """Put the sheets of a book of ours into a host.

    Parameters
    ----------
    host : Package
        The person's workbook; its parts are changed here, not in the file.
    workbook : str
        Its workbook part.
    guest : Package
        Our book, as our writer made it, with names that do not clash.
    recalculate : bool
        Whether a spreadsheet program is to reckon everything anew when it opens the workbook.

    Raises
    ------
    Refused
        The host has no room for our cell formats.
    """
    _Merge(host, workbook, guest).run(recalculate=recalculate)


@attrs.define(eq=False)
class _Merge:
    host: Package
    workbook: str
    guest: Package
    types: list[tuple[str, str]] = attrs.field(factory=list)

    def run(self, *, recalculate: bool) -> None:
        parts = self._guest_sheets()
        data = [self.guest.read(part) for _, part in parts]
        merged = self._styles(sheet_part.used_formats(data))
        strings = sheet_part.shared_strings(self.guest.read("xl/sharedStrings.xml"))
        book = Splice(self.host.read(self.workbook))
        sheets = book.root.child("sheets")
        assert sheets is not None
        numbers = _free_numbers({line.whole("sheetId") for line in sheets.children}, len(parts))
        lines = []
        chain = []
        placed = []
        for (name, part), one, number in zip(parts, data, numbers, strict=True):
            goal = self.host.free("xl/worksheets/sheet{}.xml")
            self.host.put(goal, sheet_part.in_host(one, strings, merged.formats, merged.differential))
            self._declare(goal, self.guest, part)
            self._bring_along(part, goal)
            placed.append(goal)
            lines.append((name, number))
            chain += [(place, number) for place in _FORMULA_CELL.findall(one)]
        ids = self._relate(self.workbook, [(f"{_OFFICE}/worksheet", goal) for goal in placed])
        book.append(sheets, b"".join(
            f"<{sheets.prefix}sheet{attributes({'name': name, 'sheetId': str(number), 'xmlns:r': _OFFICE, 'r:id': id_})}/>".encode()
            for (name, number), id_ in zip(lines, ids, strict=True)
        ))  # fmt: skip
        self._names(book, sheets)
        if recalculate:
            self._recalculate(book)
        self.host.put(self.workbook, book.result())
        self._chain(chain)
        self._types()

    def _guest_sheets(self) -> list[tuple[str, str]]:
        """Return title and part of each of our sheets, in tab order."""
        targets = {line.id: line.target for line in self.guest.relationships("xl/workbook.xml")}
        root = self.guest.tree("xl/workbook.xml")
        sheets = next(child for child in root if local(child.tag) == "sheets")
        return [(line.get("name"), targets[line.get(f"{{{_OFFICE}}}id")]) for line in sheets]

    def _styles(self, used: list[int]) -> styles.Merged:
        part = self.host.related(self.workbook, "styles")
        if part is None:
            part = self.host.free("xl/styles{}.xml") if self.host.spelt("xl/styles.xml") else "xl/styles.xml"
            self.host.put(part, styles.BLANK)
            self.types.append((part, _STYLE_TYPE))
            self._relate(self.workbook, [(f"{_OFFICE}/styles", part)])
        data = self.host.read(part)
        merged = styles.merge(data, self.guest.tree("xl/styles.xml"), used, self.host.path.name)
        self.host.put(part, merged.data)
        return merged

    def _bring_along(self, part: str, goal: str) -> None:
        """Copy what a part of ours points to, and its relationships, under names that are free in the host."""
        lines = self.guest.relationships(part)
        if not lines:
            return
        made = []
        for line in lines:
            copy = self.host.free(_FORMS[line.kind] + posixpath.splitext(line.target)[1])
            self.host.put(copy, self.guest.read(line.target))
            self._declare(copy, self.guest, line.target)
            self._bring_along(line.target, copy)
            made.append((f"{_OFFICE}/{line.kind}", copy, line.id))
        name = relationships_name(goal)
        inside = "".join(
            f"<Relationship{attributes({'Id': id_, 'Type': kind, 'Target': _seen_from(goal, target)})}/>" for kind, target, id_ in made
        )
        self.host.put(name, _RELATIONSHIPS.replace(b"></", b">" + inside.encode() + b"</"))
        self.types.append((name, _RELATION_TYPES))

    def _relate(self, owner: str, targets: list[tuple[str, str]]) -> list[str]:
        """Let a part of the host point to parts; return by which ids."""
        name = self.host.spelt(relationships_name(owner)) or relationships_name(owner)
        splice = Splice(self.host.read(name) if self.host.spelt(name) else _RELATIONSHIPS)
        taken = {line.attributes.get("Id", "") for line in splice.root.children}
        number = 0
        ids = []
        for _ in targets:
            number += 1
            while f"rId{number}" in taken:
                number += 1
            ids.append(f"rId{number}")
        lines = "".join(
            f"<{splice.root.prefix}Relationship{attributes({'Id': id_, 'Type': kind, 'Target': _seen_from(owner, target)})}/>"
            for id_, (kind, target) in zip(ids, targets, strict=True)
        )
        splice.append(splice.root, lines.encode())
        self.host.put(name, splice.result())
        return ids

    def _declare(self, name: str, package: Package, part: str) -> None:
        self.types.append((name, _type_of(package, part)))

    def _types(self) -> None:
        """Say of each new part what it holds, unless a rule of the host says the same; rules of its own stay as they are."""
        splice = Splice(self.host.read("[Content_Types].xml"))
        rules = [line.attributes for line in splice.root.children if line.name == "Default"]
        defaults = {line.get("Extension", "").casefold(): line.get("ContentType") for line in rules}
        lines = "".join(
            f"<{splice.root.prefix}Override{attributes({'PartName': f'/{name}', 'ContentType': kind})}/>"
            for name, kind in self.types
            if defaults.get(name.rpartition(".")[2].casefold()) != kind
        )
        splice.append(splice.root, lines.encode())
        self.host.put("[Content_Types].xml", splice.result())

    def _names(self, book: Splice, sheets: Element) -> None:
        there = len(sheets.children)
        root = self.guest.tree("xl/workbook.xml")
        lines = [line for group in root if local(group.tag) == "definedNames" for line in group]
        for line in lines:
            if line.get("localSheetId") is not None:
                line.set("localSheetId", str(int(line.get("localSheetId")) + there))
        items = b"".join(written(line, sheets.prefix) for line in lines)
        held = book.root.child("definedNames")
        if held is not None:
            book.append(held, items)
        else:
            book.make(book.root, "definedNames", items, _AFTER_SHEETS[_AFTER_SHEETS.index("definedNames") + 1 :])

    @staticmethod
    def _recalculate(book: Splice) -> None:
        held = book.root.child("calcPr")
        if held is None:
            book.make(book.root, "calcPr", b"", _AFTER_SHEETS[_AFTER_SHEETS.index("calcPr") + 1 :], ' fullCalcOnLoad="1"')
        else:
            book.set(held, "fullCalcOnLoad", "1")

    def _chain(self, cells: list[tuple[bytes, int]]) -> None:
        """Put our formula cells behind those of the host's calculation chain, where it has one."""
        part = self.host.related(self.workbook, "calcChain")
        if part is None:
            return
        splice = Splice(self.host.read(part))
        prefix = splice.root.prefix
        lines = "".join(f'<{prefix}c r="{place.decode()}" i="{number}"/>' for place, number in cells)
        splice.append(splice.root, lines.encode())
        self.host.put(part, splice.result())


def _free_numbers(taken: set[int], count: int) -> list[int]:
    """Return ids for new sheets: behind those of the host, or where there is no room any more, between them."""
    first = max(taken) + 1
    if first + count - 1 > _LAST_SHEET_ID:
        first = 1
    free = (number for number in itertools.count(first) if number not in taken)
    return list(itertools.islice(free, count))


def _type_of(package: Package, part: str) -> str:
    """Return what a book of ours says of a part: by its name, else by how the name ends."""
    lines = list(parse(package.read("[Content_Types].xml")))
    ending = part.rpartition(".")[2]
    found = [line for line in lines if line.get("PartName") == f"/{part}"] or [line for line in lines if line.get("Extension") == ending]
    return str(found[0].get("ContentType"))


def _seen_from(owner: str, target: str) -> str:
    """Return how a part names another in its relationships."""
    return posixpath.relpath(target, posixpath.dirname(owner) or ".")
