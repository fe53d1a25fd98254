"""Files that are no xlsx workbook: what they are, so that the refusal can say it plainly."""

from __future__ import annotations

import re
from typing import Final

_OLE: Final = b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1"
_ZIP: Final = b"PK\x03\x04"
_BIFF: Final = re.compile(rb"\x09[\x00\x02\x04\x08].\x00", re.DOTALL)  # xls before 1995
_SAVE_AS: Final = "open it in a spreadsheet program and save it as .xlsx"

# (code, what it is, how to mend it)
Foreign = tuple[str, str, str]


def foreign_file(data: bytes) -> Foreign | None:
    """Return what a file is if it cannot be an xlsx workbook, else None.

    Parameters
    ----------
    data : bytes
        The whole file.

    Returns
    -------
    tuple of str, or None
        Code, what it is, and how to mend it.
    """
    head = data[:4096].lstrip(b"\xef\xbb\xbf \t\r\n")
    if data.startswith(_OLE):
        return _ole(data)
    if data.startswith(_ZIP):
        return None
    if _BIFF.match(data[:4]):
        return "file-xls", "this is an old .xls workbook", _SAVE_AS
    if data.startswith(b"%PDF"):
        return "file-other", "this is a PDF, not a workbook", "give the workbook it was made from"
    lowered = head[:1024].lower()
    if b"office:document" in lowered:
        return "file-ods", "this is a flat OpenDocument file", _SAVE_AS
    if lowered.startswith((b"<!doctype html", b"<html", b"<table", b"<?xml")):
        return "file-other", "this is a web page or an XML file, not a workbook", _SAVE_AS
    if head and b"\x00" not in head and b"PK" not in data[:2]:
        return "file-other", "this is a text file, not a workbook", _SAVE_AS
    return "zip-none", "this is not an .xlsx workbook, or its beginning is damaged", _SAVE_AS


def foreign_package(names: frozenset[str], mimetype: bytes) -> Foreign | None:
    """Return what a zip is if it holds another program's document, else None.

    Parameters
    ----------
    names : frozenset of str
        Its entries.
    mimetype : bytes
        Content of the entry ``mimetype``; empty where there is none.

    Returns
    -------
    tuple of str, or None
        Code, what it is, and how to mend it.
    """
    if mimetype.startswith(b"application/vnd.oasis.opendocument"):
        kind = "workbook (.ods)" if b"spreadsheet" in mimetype else "document"
        return "file-ods", f"this is an OpenDocument {kind}", _SAVE_AS
    lowered = {name.casefold() for name in names}
    if "xl/workbook.bin" in lowered:
        return "file-xlsb", "this is a binary workbook (.xlsb)", _SAVE_AS
    if any(name.endswith(".iwa") for name in lowered):
        return "file-numbers", "this is a Numbers document", "export it to Excel (.xlsx)"
    if any(name.startswith(("word/", "ppt/")) for name in lowered) and not any(name.startswith("xl/") for name in lowered):
        return "file-other", "this is a Word or PowerPoint file, not a workbook", ""
    return None


def _ole(data: bytes) -> Foreign:
    def holds(stream: str) -> bool:
        return stream.encode("utf-16-le") in data

    if holds("EncryptedPackage") or holds("EncryptionInfo"):
        return (
            "file-password",
            "this workbook is locked with a password to open it",
            "open it with the password, take the password off and save it again",
        )
    if holds("Workbook") or holds("Book"):
        return "file-xls", "this is an old .xls workbook", _SAVE_AS
    return "file-other", "this is another Office file, not an .xlsx workbook", _SAVE_AS
