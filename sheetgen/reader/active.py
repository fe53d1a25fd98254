"""Content that acts or reaches out: macros, links to other files, embedded objects, connections."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

if TYPE_CHECKING:
    from collections.abc import Iterable

    from sheetgen.reader.package import Relationship

# (kind, what it begins with or holds), over the lower-case names of parts
_PART_NAMES: Final = (
    ("macros", "vbaproject"),
    ("macros", "xl/macrosheets/"),
    ("macros", "xl/dialogsheets/"),
    ("external link", "xl/externallinks/"),
    ("embedding", "xl/embeddings/"),
    ("embedding", "xl/activex/"),
    ("connection", "xl/connections."),
    ("connection", "xl/querytables/"),
    ("connection", "xl/model/"),
)
# over the lower-case content types; whatever the part is called
_CONTENT_TYPES: Final = (
    ("macros", "macroenabled"),
    ("macros", "vbaproject"),
    ("macros", "macrosheet"),
    ("macros", "dialogsheet"),
    ("external link", "externallink"),
    ("embedding", "oleobject"),
    ("embedding", "activex"),
    ("connection", "connections+xml"),
    ("connection", "querytable"),
)
# over the lower-case kinds of relationships
_RELATIONSHIPS: Final = {
    "vbaproject": "macros",
    "xlmacrosheet": "macros",
    "xlintlmacrosheet": "macros",
    "dialogsheet": "macros",
    "externallink": "external link",
    "externallinkpath": "external link",
    "oleobject": "embedding",
    "package": "embedding",
    "control": "embedding",
    "activexcontrolbinary": "embedding",
    "connections": "connection",
    "querytable": "connection",
}
MENDS: Final = {
    "macros": "save it as .xlsx without macros",
    "external link": "break the links (Data, Edit Links) and save it again",
    "embedding": "delete the embedded objects and controls and save it again",
    "connection": "delete the queries and connections and save it again",
}


def active_parts(names: Iterable[str]) -> list[tuple[str, str]]:
    """Return (kind, name) of parts whose name tells that they act or reach out."""
    return [(kind, name) for name in names for kind, mark in _PART_NAMES if mark in name.casefold()]


def active_types(types: Iterable[tuple[str, str]]) -> list[tuple[str, str]]:
    """Return (kind, part) for (part, content type) pairs that act or reach out."""
    return [(kind, part) for part, content_type in types for kind, mark in _CONTENT_TYPES if mark in content_type.casefold()]


def active_relationships(lines: Iterable[Relationship]) -> list[tuple[str, str]]:
    """Return (kind, target) of relationships that act or reach out; a hyperlink may."""
    found = []
    for line in lines:
        kind = _RELATIONSHIPS.get(line.kind.casefold())
        if kind is None and line.external and line.kind != "hyperlink":
            kind = "external link"
        if kind is not None:
            found.append((kind, line.target[:200]))
    return found
