"""The text of strings as the file writes them: runs joined, escapes undone."""

from __future__ import annotations

import re
from typing import Any, Final

from sheetgen.reader.package import namespace_of

_ESCAPE: Final = re.compile(r"_x([0-9A-Fa-f]{4})_")
_SPACE: Final = "{http://www.w3.org/XML/1998/namespace}space"
_XML_BLANKS: Final = " \t\r\n"


def unescape(text: str) -> str:
    """Undo ``_x000D_`` and the like, which stand for characters that XML cannot hold."""
    if "_x" not in text:
        return text
    plain = _ESCAPE.sub(lambda found: chr(int(found[1], 16)), text)
    # two escapes may be the halves of one character; half a character is nothing
    return plain.encode("utf-16-le", "surrogatepass").decode("utf-16-le", "replace")


def element_text(element: Any) -> str:
    """Return the text of a ``t`` element; outer blanks count only where the file says so."""
    text = element.text or ""
    if text[:1] in _XML_BLANKS or text[-1:] in _XML_BLANKS:
        text = text if element.get(_SPACE) == "preserve" else text.strip(_XML_BLANKS)
    return unescape(text)


def item_text(item: Any, namespace: str) -> str:
    """Return the text of a shared or inline string, runs joined, phonetic guides left out."""
    plain, run = f"{{{namespace}}}t", f"{{{namespace}}}r"
    parts = []
    for child in item:
        if child.tag == plain:
            parts.append(element_text(child))
        elif child.tag == run:
            parts.extend(element_text(piece) for piece in child if piece.tag == plain)
    return "".join(parts)


def read_shared_strings(root: Any | None) -> list[str]:
    """Return the book's shared strings in their order."""
    if root is None:
        return []
    namespace = namespace_of(root)
    item = f"{{{namespace}}}si"
    return [item_text(child, namespace) for child in root if child.tag == item]
