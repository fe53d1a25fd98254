"""One pass over the XML of a part, nothing built: well-formed, no DOCTYPE, within the limits."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, Final
from xml.parsers import expat

import attrs

from sheetgen.reader.archive import SAVE, TRUST, refuse
from sheetgen.reader.package import MAIN

if TYPE_CHECKING:
    from sheetgen.findings import Refused
    from sheetgen.reader.limits import Limits

_SHARED: Final = {f"{namespace} sst": f"{namespace} si" for namespace in MAIN}
_SHORTEN: Final = "delete what lies outside the used area, or give a smaller workbook"
_ENCODINGS: Final = frozenset({"utf-8", "utf-16", "us-ascii", "utf8", "ascii"})


@attrs.define
class Tally:
    """What has been counted so far, over all parts of one workbook.

    Parameters
    ----------
    cells, merges, merged_cells, text, nodes : int
        See Limits [count].
    styles : set of str
        Style indices that cells name.
    """

    cells: int = 0
    merges: int = 0
    merged_cells: int = 0
    text: int = 0
    nodes: int = 0
    styles: set[str] = attrs.field(factory=set)


def over(code: str, place: str, what: str, count: int, limit: int) -> Refused:
    """Return the refusal for a count above its limit, saying by how much."""
    return refuse(code, place, f"{what}: {count:,}, {count - limit:,} over {limit:,}", _SHORTEN)


def check_xml(data: bytes, place: str) -> None:
    """Check that a part is well-formed XML without a DOCTYPE, and nothing more."""
    run(make_parser(place), data, place)


def looks_like_xml(data: bytes) -> bool:
    """Return whether a part begins like XML, in one of the encodings that are allowed."""
    return data[:64].replace(b"\x00", b"").lstrip(b"\xef\xbb\xbf\xff\xfe \t\r\n").startswith(b"<")


def check_loose(data: bytes, place: str) -> None:
    """Check a part that nobody parses for a DOCTYPE or ENTITY, in one or two bytes a letter."""
    letters = data.replace(b"\x00", b"")
    if b"<!DOCTYPE" in letters or b"<!ENTITY" in letters:
        raise refuse("xml-doctype", place, "the XML declares a document type or entities", TRUST)


def make_parser(place: str) -> Any:
    """Return a parser that refuses a DOCTYPE, and so every entity, and unusual encodings."""
    parser = expat.ParserCreate(namespace_separator=" ")
    parser.ordered_attributes = True
    parser.buffer_text = True

    def doctype(*_: object) -> None:
        raise refuse("xml-doctype", place, "the XML declares a document type or entities", TRUST)

    def declaration(_version: str, encoding: str | None, _standalone: int) -> None:
        if encoding is not None and encoding.casefold() not in _ENCODINGS:
            raise refuse("xml-encoding", place, f"the XML is written in {encoding[:40]!r}", SAVE)

    parser.StartDoctypeDeclHandler = doctype
    parser.EntityDeclHandler = doctype
    parser.XmlDeclHandler = declaration
    return parser


def run(parser: Any, data: bytes, place: str) -> None:
    """Feed a part to a parser; XML that is not well-formed is refused."""
    try:
        parser.Parse(data, True)  # noqa: FBT003 - expat takes no keyword
    except (expat.ExpatError, LookupError, UnicodeError) as error:
        raise refuse("xml-damaged", place, f"the XML is damaged ({error})", SAVE) from error


class Scan:
    """A pass over a part that will be parsed: counts its nodes and how deep they stand.

    Parameters
    ----------
    place : str
        What findings call the part.
    limits : Limits
        Profile.
    tally : Tally
        Counts of the whole workbook; this pass adds to them.
    """

    def __init__(self, place: str, limits: Limits, tally: Tally) -> None:
        self.place = place
        self.limits = limits
        self.tally = tally
        self.depth = 0

    def scan(self, data: bytes) -> None:
        """Run over the bytes of the part.

        Raises
        ------
        Refused
            It is damaged or breaks a limit.
        """
        parser = make_parser(self.place)
        parser.StartElementHandler = self.start
        parser.EndElementHandler = self.end
        if type(self).characters is not Scan.characters:
            parser.CharacterDataHandler = self.characters
        run(parser, data, self.place)

    def start(self, _name: str, attributes: list[str]) -> None:
        """Count an element and its attributes."""
        self.depth += 1
        self.tally.nodes += 1 + len(attributes) // 2
        self.check_nodes()

    def check_nodes(self) -> None:
        """Refuse too many nodes, or too many inside one another."""
        if self.depth > self.limits.depth:
            what = "XML elements inside one another"
            raise over("xml-depth", self.place, what, self.depth, self.limits.depth)
        if self.tally.nodes > self.limits.nodes:
            raise over("xml-nodes", self.place, "XML nodes", self.tally.nodes, self.limits.nodes)

    def end(self, _name: str) -> None:
        """Leave an element."""
        self.depth -= 1

    def characters(self, text: str) -> None:
        """Count text; here it does not matter."""


class StringScan(Scan):
    """A pass over the shared strings, which notes how long each is."""

    def __init__(self, place: str, limits: Limits, tally: Tally) -> None:
        super().__init__(place, limits, tally)
        self.lengths: list[int] = []
        self._item: str | None = None

    def start(self, name: str, attributes: list[str]) -> None:
        """Begin a string, or a piece of one."""
        super().start(name, attributes)
        if self.depth == 1:
            self._item = _SHARED.get(name)
        elif self.depth == 2 and name == self._item:
            self.lengths.append(0)

    def characters(self, text: str) -> None:
        """Add to the length of the string at hand."""
        if self.lengths:
            self.lengths[-1] += len(text)
            if self.lengths[-1] > self.limits.text:
                place = f"{self.place} string {len(self.lengths):,}"
                what = "characters in one text"
                raise over("text-long", place, what, self.lengths[-1], self.limits.text)
