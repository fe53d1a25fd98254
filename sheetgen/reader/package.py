"""The zip around a workbook: its parts as they inflate, and who points to whom."""

from __future__ import annotations

import posixpath
from typing import TYPE_CHECKING, Any, Final
from urllib.parse import unquote

import attrs
from lxml import etree

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping

MAIN: Final = frozenset(
    {
        "http://schemas.openxmlformats.org/spreadsheetml/2006/main",
        "http://purl.oclc.org/ooxml/spreadsheetml/main",  # the strict dialect
    }
)
RELATION_ID: Final = (
    "{http://schemas.openxmlformats.org/officeDocument/2006/relationships}id",
    "{http://purl.oclc.org/ooxml/officeDocument/relationships}id",
)


@attrs.frozen
class Relationship:
    """One line of a relationships part.

    Parameters
    ----------
    id : str
        What the owning part calls it.
    kind : str
        Last word of its type, such as ``worksheet``.
    target : str
        Name of the part, or the address when external.
    external : bool
        Whether it points outside the file.
    """

    id: str
    kind: str
    target: str
    external: bool


@attrs.frozen
class Package:
    """The inflated parts, found by name whatever the case, as the packaging standard asks.

    Parameters
    ----------
    contents : mapping of str to bytes
        Part name without leading slash, and its bytes.
    """

    contents: Mapping[str, bytes]
    _names: dict[str, str] = attrs.field(init=False, repr=False, eq=False)

    def __attrs_post_init__(self) -> None:
        """Prepare the look-up that ignores case."""
        object.__setattr__(self, "_names", {name.casefold(): name for name in self.contents})

    def name(self, part: str) -> str | None:
        """Return the part's name as the zip spells it, or None."""
        return self._names.get(part.casefold())

    def tree(self, part: str) -> Any | None:
        """Return the root element of a part, or None where the part is missing."""
        name = self.name(part)
        return None if name is None else parse(self.contents[name])

    def relationships(self, part: str = "") -> tuple[Relationship, ...]:
        """Return what a part points to; without a part, what the package points to."""
        return read_relationships(self.tree(relationships_name(part)), part)


def relationships_name(part: str) -> str:
    """Return the name of the part that lists a part's relationships."""
    folder, base = posixpath.split(part)
    return posixpath.join(folder, "_rels", f"{base}.rels")


def owner_of(relationships: str) -> str:
    """Return the part whose relationships a part lists."""
    folder, base = posixpath.split(relationships)
    return posixpath.join(posixpath.dirname(folder), base.rpartition(".")[0])


def read_relationships(root: Any | None, part: str) -> tuple[Relationship, ...]:
    """Read the relationships of a part from the root of the part that lists them."""
    folder = posixpath.dirname(part)
    return () if root is None else tuple(_relationship(line, folder) for line in root)


def target_of(lines: Iterable[Relationship], kind: str) -> str:
    """Return the first part inside the file of one kind; empty where there is none."""
    return next((line.target for line in lines if line.kind == kind and not line.external), "")


def parse(data: bytes) -> Any:
    """Parse one part, without entities, network or huge trees.

    Raises
    ------
    lxml.etree.XMLSyntaxError
        The part is not well-formed XML.
    """
    parser = etree.XMLParser(
        resolve_entities=False,
        no_network=True,
        huge_tree=False,
        load_dtd=False,
        remove_comments=True,
        remove_pis=True,
    )
    return etree.fromstring(data, parser)


def local(tag: Any) -> str:
    """Return an element's name without its namespace."""
    return tag.rpartition("}")[2] if isinstance(tag, str) else ""


def namespace_of(root: Any) -> str:
    """Return the namespace of an element."""
    tag: str = root.tag
    return tag[1:].partition("}")[0] if tag.startswith("{") else ""


def resolve(folder: str, target: str) -> str:
    """Return the part name that a relationship's target means, seen from the owner's folder."""
    path = unquote(target.partition("#")[0])
    return posixpath.normpath(posixpath.join("/", folder, path)).lstrip("/")


def _relationship(line: Any, folder: str) -> Relationship:
    external = line.get("TargetMode", "Internal").casefold() == "external"
    target = line.get("Target", "")
    return Relationship(
        id=line.get("Id", ""),
        kind=line.get("Type", "").rstrip("/").rpartition("/")[2],
        target=target if external else resolve(folder, target),
        external=external,
    )
