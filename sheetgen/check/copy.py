"""A copy of a book for the program that recalculates it, in which empty cells are empty."""

from __future__ import annotations

import contextlib
import tempfile
import zipfile
from pathlib import Path
from typing import TYPE_CHECKING, Any

from lxml import etree

from sheetgen.reader.package import namespace_of, parse

if TYPE_CHECKING:
    from collections.abc import Iterator

    from sheetgen.reader.raw import RawBook


@contextlib.contextmanager
def readable(book: RawBook) -> Iterator[Path]:
    """Give a file that IronCalc reads as the other programs do: the book's own, or a copy for as long as it is needed.

    Some programs mark an empty cell as a number without a value; IronCalc takes it for a zero, and a blank that is
    counted changes every figure.
    """
    odd = {sheet.part for sheet in book.sheets if next(_empty_numbers(sheet.root), None) is not None}
    if not odd:
        yield book.path
        return
    with tempfile.TemporaryDirectory(prefix="sheetgen-") as folder:
        copy = Path(folder, book.path.name)
        # All parts, as they lie in the file: of a large workbook of a person's, the gate keeps our sheets and a few cells alone.
        with zipfile.ZipFile(book.path) as held, zipfile.ZipFile(copy, "w", zipfile.ZIP_STORED) as archive:
            for name in held.namelist():
                archive.writestr(name, _without(parse(held.read(name))) if name in odd else held.read(name))
        yield copy


def _empty_numbers(root: Any) -> Iterator[Any]:
    """Yield the cells that are marked as numbers and hold nothing."""
    namespace = namespace_of(root)
    for cell in root.iter(f"{{{namespace}}}c"):
        if cell.get("t") == "n" and not len(cell):
            yield cell


def _without(root: Any) -> bytes:
    for cell in _empty_numbers(root):
        del cell.attrib["t"]
    data: bytes = etree.tostring(root, xml_declaration=True, encoding="UTF-8", standalone=True)
    return data
