"""The picture on a sheet of a book, as it lies in the file."""

from __future__ import annotations

from typing import TYPE_CHECKING

from sheetgen.reader.archive import Archive
from sheetgen.reader.file import read_file
from sheetgen.reader.package import Relationship, parse, read_relationships, relationships_name, target_of
from sheetgen.reader.scan import check_xml

if TYPE_CHECKING:
    from sheetgen.reader.raw import RawBook


def picture_on(raw: RawBook, sheet: str) -> bytes | None:
    """Return the bytes of the first picture on a sheet.

    Parameters
    ----------
    raw : RawBook
        The book; the gate has let it through, and keeps no pictures, so that its file is opened again.
    sheet : str
        Title of the sheet.

    Returns
    -------
    bytes or None
        As they were saved, not yet looked at; None where the sheet has no picture.

    Raises
    ------
    Refused
        The file is no longer one that the gate lets through.
    """
    found = raw.sheet(sheet)
    if found is None:
        return None
    limits = raw.inspected.limits
    archive = Archive(read_file(raw.path, limits), raw.path.name, limits)
    names = {entry.name.casefold(): entry.name for entry in archive.entries}

    def lines(part: str) -> tuple[Relationship, ...]:
        name = names.get(relationships_name(part).casefold())
        if name is None:
            return ()
        data = archive.inflate(name)
        check_xml(data, f"{raw.path.name} {name}")
        return read_relationships(parse(data), part)

    drawing = target_of(lines(found.part), "drawing")
    image = names.get(target_of(lines(drawing), "image").casefold()) if drawing else None
    return None if image is None else archive.inflate(image)
