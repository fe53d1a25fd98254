"""The picture on a sheet of a book, as it lies in the file."""

from __future__ import annotations

import zipfile
from typing import TYPE_CHECKING

from sheetgen.reader.package import target_of

if TYPE_CHECKING:
    from sheetgen.reader.raw import RawBook


def picture_on(raw: RawBook, sheet: str) -> bytes | None:
    """Return the bytes of the first picture on a sheet.

    Parameters
    ----------
    raw : RawBook
        The book.
    sheet : str
        Title of the sheet.

    Returns
    -------
    bytes or None
        As they were saved, not yet looked at; None where the sheet has no picture.
    """
    found = raw.sheet(sheet)
    if found is None:
        return None
    package = raw.inspected.package
    drawing = target_of(package.relationships(found.part), "drawing")
    image = target_of(package.relationships(drawing), "image") if drawing else ""
    if not image:
        return None
    # The gate has measured every part of this file, and keeps only those that it looks into.
    with zipfile.ZipFile(raw.path) as opened:
        name = next((one for one in opened.namelist() if one.casefold() == image.casefold()), None)
        return None if name is None else opened.read(name)
