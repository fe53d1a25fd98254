"""The parts of our sheets taken out of a workbook again: what only they need goes, everything else stays as it is."""

from __future__ import annotations

import re
from collections.abc import Callable, Collection, Iterable, Mapping
from typing import Final

import attrs

from sheetgen.host import sheet_part, styles
from sheetgen.host.package import Package
from sheetgen.host.splice import Element, Splice
from sheetgen.reader.package import relationships_name

_OFFICE_ID: Final = "http://schemas.openxmlformats.org/officeDocument/2006/relationships id"
_TEXT_CELL: Final = re.compile(rb"""<(?:\w+:)?c\s[^<>]*?\bt=["']s["'][^<>]*>\s*<(?:\w+:)?v>(\d+)</""")
_NO_TEXT: Final = "<{0}si><{0}t/></{0}si>"


def take_apart(host: Package, workbook: str, ours: Collection[str], names: Collection[str], emptied: Mapping[str, Collection[str]]) -> None:
    """Take sheets and names out of a workbook.

    Parameters
    ----------
    host : Package
        The workbook; its parts are changed here, not in the file.
    workbook : str
        Its workbook part.
    ours : collection of str
        The sheets, as their tabs say.
    names : collection of str
        The defined names.
    emptied : mapping of str to collection of str
        By sheet that stays, the cells whose formula is gone, such as ``B4``.
    """
    _Removal(host, workbook, frozenset(ours), frozenset(names), emptied).run()


@attrs.define(eq=False)
class _Removal:
    host: Package
    workbook: str
    ours: frozenset[str]
    names: frozenset[str]
    emptied: Mapping[str, Collection[str]]
    gone: list[str] = attrs.field(factory=list)

    def run(self) -> None:
        book = Splice(self.host.read(self.workbook))
        sheets = book.root.child("sheets")
        assert sheets is not None
        targets = {line.id: line for line in self.host.relationships(self.workbook)}
        parts = {line.attributes["name"]: targets[line.attributes[_OFFICE_ID]].target for line in sheets.children}
        mine = [line for line in sheets.children if line.attributes["name"] in self.ours]
        worksheets = {line.target for line in targets.values() if line.kind == "worksheet"}
        self._styles({name: part for name, part in parts.items() if part in worksheets})
        self._strings([parts[name] for name in parts if name in self.ours], [part for name, part in parts.items() if name not in self.ours])
        self._chain(sheets.children)
        self._parts([parts[line.attributes["name"]] for line in mine])
        self._book(book, sheets, mine)
        self._contents()
        self._types()

    def _styles(self, sheets: Mapping[str, str]) -> None:
        """Cut our formats off, where they still stand one behind the other and nobody else uses them."""
        part = self.host.related(self.workbook, "styles")
        if part is None:
            return
        mine = [held for name, held in sheets.items() if name in self.ours]
        theirs = [held for name, held in sheets.items() if name not in self.ours]
        data = self.host.read(part)
        cells = self._block(mine, theirs, sheet_part.styles_used)
        if cells is not None and cells.start > 0:
            data = styles.cut(data, cells.start, len(cells))
            self._lower(theirs, cells, sheet_part.styles_used, sheet_part.shifted)
        known = {held.casefold() for held in (*mine, *theirs, part)}
        others = [*theirs, *(name for name in self.host.names if name.endswith(".xml") and name.casefold() not in known)]
        rules = self._block(mine, others, sheet_part.differential_used)
        bare = None if rules is None else styles.cut_differential(data, rules.start, len(rules))
        if rules is not None and bare is not None:
            data = bare
            self._lower(others, rules, sheet_part.differential_used, sheet_part.differential_shifted)
        if data == styles.BLANK:
            self._unrelate(part)
        else:
            self.host.put(part, data)

    def _block(self, mine: Iterable[str], theirs: Iterable[str], used: Callable[[bytes], set[int]]) -> range | None:
        """Return the indices that only our sheets use; None where there are none, or they are no block any more."""
        ours = set().union(*(used(self.host.read(part)) for part in mine))
        if not ours or ours != set(range(min(ours), max(ours) + 1)):
            return None
        if any(ours & used(self.host.read(part)) for part in theirs):
            return None
        return range(min(ours), max(ours) + 1)

    def _lower(
        self, parts: Iterable[str], cut: range, used: Callable[[bytes], set[int]], shift: Callable[[bytes, int, int], bytes]
    ) -> None:
        """Let the parts that use what stands behind a cut, which are other books of ours, count without it."""
        for part in parts:
            data = self.host.read(part)
            if any(index >= cut.stop for index in used(data)):
                self.host.put(part, shift(data, cut.stop - 1, len(cut)))

    def _strings(self, mine: Iterable[str], theirs: Iterable[str]) -> None:
        """Empty the shared texts that only our sheets use, after a program has put them into the common table."""
        part = self.host.related(self.workbook, "sharedStrings")
        if part is None:
            return
        cells = [int(found) for sheet in mine for found in _TEXT_CELL.findall(self.host.read(sheet))]
        if not cells:
            return
        gone = set(cells).difference(*(map(int, _TEXT_CELL.findall(self.host.read(sheet))) for sheet in theirs))
        splice = Splice(self.host.read(part))
        items = [line for line in splice.root.children if line.name == "si"]
        left = len(items)
        while left and left - 1 in gone:
            left -= 1
        for index in gone & set(range(len(items))):
            # Others are found by their place in the table, so that only what stands at its end can go.
            nothing = b"" if index >= left else _NO_TEXT.format(items[index].prefix).encode()
            splice.replace(items[index].start, items[index].end, nothing)
        for attribute, count in (("count", splice.root.whole("count") - len(cells)), ("uniqueCount", left)):
            if attribute in splice.root.attributes:
                splice.set(splice.root, attribute, str(max(count, 0)))
        self.host.put(part, splice.result())

    def _chain(self, sheets: Iterable[Element]) -> None:
        """Take the cells that have no formula any more out of the calculation chain."""
        part = self.host.related(self.workbook, "calcChain")
        if part is None:
            return
        numbers = {line.attributes["name"]: line.attributes.get("sheetId", "") for line in sheets}
        gone = {numbers[name] for name in self.ours if name in numbers}
        emptied = {(numbers[name], cell) for name, cells in self.emptied.items() for cell in cells}
        splice = Splice(self.host.read(part))
        sheet = ""
        out: list[Element] = []
        bare = ""
        for line in splice.root.children:
            named = line.attributes.get("i")
            sheet = named or sheet
            if sheet in gone or (sheet, line.attributes.get("r", "")) in emptied:
                out.append(line)
                bare = sheet
                continue
            if named is None and bare == sheet:
                splice.set(line, "i", sheet)  # it had its sheet from a line that is gone
            bare = ""
        splice.cut(splice.root, out)
        if len(out) == len(splice.root.children):
            self._unrelate(part)
        elif out:
            self.host.put(part, splice.result())

    def _parts(self, mine: Iterable[str]) -> None:
        """Remove our sheets, and what nothing else points to."""
        for part in mine:
            self._unrelate(part)
        wanted = self._reached()
        for part in [*self._reached_from(self.gone)]:
            if part.casefold() not in wanted:
                self._remove(part)

    def _unrelate(self, part: str) -> None:
        """Remove a part to which the workbook points."""
        name = self.host.spelt(relationships_name(self.workbook))
        assert name is not None
        splice = Splice(self.host.read(name))
        lines = self.host.relationships(self.workbook)
        ids = {line.id for line in lines if not line.external and line.target.casefold() == part.casefold()}
        splice.cut(splice.root, [line for line in splice.root.children if line.attributes.get("Id") in ids])
        self.host.put(name, splice.result())
        self.gone.append(part)

    def _reached(self) -> set[str]:
        """Return every part to which the workbook or the package leads, in lower case."""
        return {part.casefold() for part in self._reached_from(["", self.workbook])}

    def _reached_from(self, starts: Iterable[str]) -> list[str]:
        waiting = list(starts)
        found: dict[str, str] = {part.casefold(): part for part in waiting}
        while waiting:
            for line in self.host.relationships(waiting.pop()):
                if not line.external and line.target.casefold() not in found:
                    found[line.target.casefold()] = line.target
                    waiting.append(line.target)
        return [part for part in found.values() if part]

    def _remove(self, part: str) -> None:
        if part not in self.gone:
            self.gone.append(part)
        self.host.remove(part)
        self.gone.append(relationships_name(part))
        self.host.remove(relationships_name(part))

    def _book(self, book: Splice, sheets: Element, mine: list[Element]) -> None:
        positions = [number for number, line in enumerate(sheets.children) if line in mine]
        book.cut(sheets, mine)
        held = book.root.child("definedNames")
        if held is not None:
            out = []
            for line in held.children:
                local = line.attributes.get("localSheetId")
                if (local is None and line.attributes.get("name", "") in self.names) or (local is not None and int(local) in positions):
                    out.append(line)
                elif local is not None and (lower := sum(position < int(local) for position in positions)):
                    book.set(line, "localSheetId", str(int(local) - lower))
            book.cut(held, out)
        views = book.root.child("bookViews")
        for view in views.children if views is not None else ():
            for attribute in ("activeTab", "firstSheet"):
                number = view.whole(attribute)
                lower = number if number in positions else sum(position < number for position in positions)
                if lower:
                    book.set(view, attribute, str(number - lower))
        self.host.put(self.workbook, book.result())

    def _contents(self) -> None:
        """Take our sheets and names out of the table of contents that some programs keep among the document's properties."""
        part = self.host.related("", "extended-properties")
        if part is None:
            return
        splice = Splice(self.host.read(part), depth=5)
        pairs, titles = (splice.root.child(name) for name in ("HeadingPairs", "TitlesOfParts"))
        if pairs is None or titles is None or not pairs.children or not titles.children:
            return
        counts = [line.children[0] for line in pairs.children[0].children[1::2] if line.children]
        lines = titles.children[0].children
        gone = [self._is_ours(splice.text(line)) for line in lines]
        if not any(gone) or sum(int(splice.text(count)) for count in counts) != len(lines):
            return
        first = 0
        for count in counts:
            held = int(splice.text(count))
            splice.replace(count.inner, count.inner_end, str(held - sum(gone[first : first + held])).encode())
            first += held
        for line, out in zip(lines, gone, strict=True):
            if out:
                splice.remove(line)
        splice.set(titles.children[0], "size", str(len(lines) - sum(gone)))
        self.host.put(part, splice.result())

    def _is_ours(self, title: str) -> bool:
        """Return whether a title is that of a sheet of ours, of a name, or of a name on one of our sheets."""
        sheet = title.rpartition("!")[0]
        return title in self.ours or title in self.names or sheet.strip("'").replace("''", "'") in self.ours

    def _types(self) -> None:
        splice = Splice(self.host.read("[Content_Types].xml"))
        gone = {f"/{part}".casefold() for part in self.gone}
        splice.cut(splice.root, [line for line in splice.root.children if line.attributes.get("PartName", "").casefold() in gone])
        self.host.put("[Content_Types].xml", splice.result())
