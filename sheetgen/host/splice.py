"""Edits of one XML part by bytes: what is not edited stays byte for byte as it was, and an addition can be undone.

An element that had to be made for the addition, or that held nothing before, is marked by a space in its end tag: to XML that
is nothing, and when all that was added is gone, the mark says how the element looked before.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from typing import Any, Final
from xml.parsers import expat
from xml.sax.saxutils import escape, unescape

import attrs

_START_TAG: Final = re.compile(rb"""<[^<>"']*(?:"[^"]*"[^<>"']*|'[^']*'[^<>"']*)*>""")
_TEXT: Final = {"&quot;": '"', "&apos;": "'"}
_MADE, _WAS_EMPTY = b" ", b"\t"


@attrs.define(eq=False)
class Element:
    """One element and the bytes it takes.

    Parameters
    ----------
    name : str
        Without its prefix.
    prefix : str
        With its colon, as it is written; empty where there is none.
    namespace : str
        What the prefix stands for.
    attributes : dict of str to str
        By local name, or ``namespace name`` where it has a namespace.
    start, inner, inner_end, end : int
        Where the start tag begins and ends, and where the end tag begins and ends [byte].
    children : list of Element
        Elements inside it, as deep as they are told apart.
    """

    name: str
    prefix: str
    namespace: str
    attributes: Mapping[str, str]
    start: int
    inner: int
    inner_end: int = 0
    end: int = 0
    children: list[Element] = attrs.field(factory=list, repr=False)

    @property
    def empty_tag(self) -> bool:
        """Whether it is written as one tag, ``<a/>``."""
        return self.inner_end < self.inner

    def child(self, name: str) -> Element | None:
        """Return the first child of a name."""
        return next((child for child in self.children if child.name == name), None)

    def whole(self, attribute: str) -> int:
        """Return an attribute as a whole number, 0 where it is none."""
        text = self.attributes.get(attribute, "")
        return int(text) if text.isascii() and text.isdigit() else 0


class Splice:
    """A part whose bytes are edited.

    Parameters
    ----------
    data : bytes
        The part, in UTF-8; the gate must have let it through.
    depth : int
        How deep its elements are told apart [count].
    """

    def __init__(self, data: bytes, depth: int = 3) -> None:
        self.data = data
        self._edits: list[tuple[int, int, bytes]] = []
        self.root = _read(data, depth)

    def result(self) -> bytes:
        """Return the part with all edits made."""
        pieces: list[bytes] = []
        at = 0
        for start, end, text in sorted(self._edits, key=lambda edit: edit[:2]):
            pieces += [self.data[at:start], text]
            at = end
        pieces.append(self.data[at:])
        return b"".join(pieces)

    def inside(self, elements: Iterable[Element]) -> bytes:
        """Return elements as they are written, one after the other."""
        return b"".join(self.data[element.start : element.end] for element in elements)

    def text(self, element: Element) -> str:
        """Return the text of an element that holds nothing else, as it means."""
        return unescape(self.data[element.inner : element.inner_end].decode(), _TEXT) if not element.empty_tag else ""

    def replace(self, start: int, end: int, text: bytes) -> None:
        """Put other bytes in the place of some."""
        self._edits.append((start, end, text))

    def set(self, element: Element, attribute: str, value: str) -> None:
        """Give an attribute another value; add it where the element has none."""
        tag = self.data[element.start : element.inner]
        found = re.search(rb"""\s%s\s*=\s*(?:"([^"]*)"|'([^']*)')""" % attribute.encode(), tag)
        if found is None:
            at = element.inner - (2 if element.empty_tag else 1)
            self.replace(at, at, f' {attribute}="{value}"'.encode())
            return
        group = 1 if found[1] is not None else 2
        self.replace(element.start + found.start(group), element.start + found.end(group), value.encode())

    def remove(self, element: Element) -> None:
        """Take an element out."""
        self.replace(element.start, element.end, b"")

    def append(self, container: Element, items: bytes) -> None:
        """Put something at the end of an element."""
        if container.empty_tag:
            tail = f"</{container.prefix}{container.name}".encode() + _WAS_EMPTY + b">"
            self.replace(container.inner - 2, container.inner, b">" + items + tail)
        else:
            self.replace(container.inner_end, container.inner_end, items)

    def make(self, parent: Element, name: str, items: bytes, before: Iterable[str], attributes: str = "") -> None:
        """Put a new element around something, before the first child that must come after it.

        Parameters
        ----------
        parent : Element
            Where it goes.
        name : str
            Its name; it has the prefix of its parent.
        items : bytes
            What it holds.
        before : iterable of str
            Names of the children that come after it.
        attributes : str
            Its attributes, each with a space before it.
        """
        later = frozenset(before)
        at = next((child.start for child in parent.children if child.name in later), parent.inner_end)
        tag = f"{parent.prefix}{name}"
        self.replace(at, at, f"<{tag}{attributes}>".encode() + items + f"</{tag}".encode() + _MADE + b">")

    def cut(self, container: Element, gone: Iterable[Element], filler: bytes = b"") -> None:
        """Take elements out of another; where that was made or opened for such, it becomes what it was.

        Parameters
        ----------
        container : Element
            What holds them; where it counts them, the count goes down.
        gone : iterable of Element
            Its children that go.
        filler : bytes
            What was put before the first that was added, and goes with the last.
        """
        held = {id(element) for element in gone}
        left = [child for child in container.children if id(child) not in held]
        mark = self.data[container.inner_end : container.end][-2:-1]
        bare = self.inside(left) == filler
        if bare and mark == _MADE:
            self.remove(container)
            return
        if bare and mark == _WAS_EMPTY:
            self.replace(container.inner - 1, container.end, b"/>")
            held = {id(element) for element in container.children}
        else:
            for element in container.children:
                if id(element) in held:
                    self.remove(element)
        if "count" in container.attributes:
            self.set(container, "count", str(max(container.whole("count") - len(held), 0)))


def attributes(pairs: Mapping[str, str]) -> str:
    """Return attributes as they are written, each with a space before it."""
    return "".join(f' {name}="{escape(value, _QUOTES)}"' for name, value in pairs.items())


_QUOTES: Final = {'"': "&quot;"}


def written(element: Any, prefix: str) -> bytes:
    """Return an lxml element, whose namespace is the only one, with another prefix before each tag."""
    name = prefix + element.tag.rpartition("}")[2]
    inside = escape(element.text or "").encode() + b"".join(written(child, prefix) for child in element)
    head = f"<{name}{attributes(dict(element.attrib))}".encode()
    return head + (b">" + inside + f"</{name}>".encode() if inside else b"/>")


def _read(data: bytes, most_depth: int) -> Element:
    parser = expat.ParserCreate(namespace_separator=" ")
    parser.namespace_prefixes = True
    path: list[Element] = []
    roots: list[Element] = []
    depth = 0

    def start(name: str, given: dict[str, str]) -> None:
        nonlocal depth
        depth += 1
        if depth > most_depth:
            return
        at = parser.CurrentByteIndex
        tag = _START_TAG.match(data, at)
        assert tag is not None
        parts = name.split(" ")
        namespace, local, prefix = (*parts, "", "")[:3] if len(parts) > 1 else ("", parts[0], "")
        held = {" ".join(key.split(" ")[:2]): value for key, value in given.items()}
        element = Element(local, f"{prefix}:" if prefix else "", namespace, held, at, tag.end())
        if path:
            path[-1].children.append(element)
        else:
            roots.append(element)
        path.append(element)

    def end(_name: str) -> None:
        nonlocal depth
        depth -= 1
        if depth >= most_depth:
            return
        element = path.pop()
        if data[element.inner - 2 : element.inner] == b"/>":
            element.inner_end, element.end = element.inner - 1, element.inner
        else:
            element.inner_end = parser.CurrentByteIndex
            element.end = data.index(b">", element.inner_end) + 1

    parser.StartElementHandler = start
    parser.EndElementHandler = end
    parser.Parse(data, True)  # noqa: FBT003 - expat takes no keyword
    return roots[0]

