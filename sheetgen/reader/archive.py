"""The zip of a workbook, inflated under limits; what it declares about itself is never believed."""

from __future__ import annotations

import io
import re
import zipfile
import zlib
from typing import TYPE_CHECKING, Final

import attrs

from sheetgen.findings import Finding, Refused, Severity

if TYPE_CHECKING:
    from sheetgen.reader.limits import Limits

_CHUNK: Final = 256 * 1024
_END_RECORD: Final = b"PK\x05\x06"
_END_LENGTH: Final = 22
_LOCAL_HEADER: Final = 30
_ENCRYPTED: Final = 0x1
_HALF: Final = "the workbook is damaged, or was copied or sent only in half"
_AGAIN: Final = "get it again from where it came; an earlier copy will do too"
SAVE: Final = "open it in a spreadsheet program and save it again"
TRUST: Final = "do not open it; ask whoever sent it for the workbook itself"
_UNSAFE_NAME: Final = re.compile(r"^/|\\|^[A-Za-z]:|(^|/)\.{1,2}(/|$)|[\x00-\x1f\x7f]|//|^$")


def refuse(code: str, place: str, what: str, mend: str) -> Refused:
    """Return the exception for one thing that cannot be let through."""
    return Refused([Finding(code, Severity.ERROR, place, what, mend)])


@attrs.frozen
class Entry:
    """One entry of the zip.

    Parameters
    ----------
    name : str
        Its name.
    packed, unpacked : int
        How large it says it is [byte].
    """

    name: str
    packed: int
    unpacked: int


class Archive:
    """A zip whose directory has been checked, and whose entries inflate under the limits.

    Parameters
    ----------
    data : bytes
        The whole file.
    place : str
        What findings call it.
    limits : Limits
        Profile.
    """

    def __init__(self, data: bytes, place: str, limits: Limits) -> None:
        self._place = place
        self._limits = limits
        self._inflated = 0
        try:
            self._zip = zipfile.ZipFile(io.BytesIO(data))
        except (zipfile.BadZipFile, OSError, ValueError, NotImplementedError) as error:
            raise refuse("zip-damaged", place, _HALF, _AGAIN) from error
        if len(data) < _END_LENGTH or data[-_END_LENGTH:][:4] != _END_RECORD:
            raise refuse("zip-tail", place, "something follows the end of the workbook", SAVE)
        self._members = self._zip.infolist()
        self._check_directory()
        self.entries = tuple(Entry(member.filename, member.compress_size, member.file_size) for member in self._members)
        self._by_name = {member.filename: member for member in self._members}

    def _check_directory(self) -> None:
        limit = self._limits.parts
        if len(self._members) > limit:
            what = f"{len(self._members):,} parts, {len(self._members) - limit:,} over {limit:,}"
            raise refuse("zip-parts", self._place, what, "take out pictures, charts or sheets")
        seen: set[str] = set()
        end = 0
        for member in sorted(self._members, key=lambda entry: entry.header_offset):
            name = member.filename
            shown = f"{self._place} {name[:80]!r}"
            # zipfile cuts a name at a zero byte: only the original tells
            if _UNSAFE_NAME.search(member.orig_filename.rstrip("/")):
                raise refuse("zip-name", shown, "a part's name points out of the file", TRUST)
            if name.casefold() in seen:
                raise refuse("zip-duplicate", shown, "two parts have the same name", TRUST)
            seen.add(name.casefold())
            if member.flag_bits & _ENCRYPTED:
                raise refuse("zip-encrypted", shown, "a part is encrypted", "save it unencrypted")
            if member.compress_type not in {zipfile.ZIP_STORED, zipfile.ZIP_DEFLATED}:
                raise refuse("zip-method", shown, "a part is packed in an unusual way", SAVE)
            if member.header_offset < end:
                raise refuse("zip-overlap", shown, "two parts share the same bytes", TRUST)
            end = member.header_offset + _LOCAL_HEADER + len(member.filename) + member.compress_size

    def inflate(self, name: str, *, keep: bool = True) -> bytes:
        """Inflate one entry, stopping at the limits.

        Parameters
        ----------
        name : str
            Of the entry.
        keep : bool
            Whether the bytes are wanted; if not they are only counted and checked.

        Returns
        -------
        bytes
            Its content; empty if it was not to be kept.

        Raises
        ------
        Refused
            It is damaged, or larger than the limits allow.
        """
        member = self._by_name[name]
        shown = f"{self._place} {name}"
        chunks: list[bytes] = []
        length = 0
        try:
            with self._zip.open(member) as stream:
                while chunk := stream.read(_CHUNK):
                    length += len(chunk)
                    self._inflated += len(chunk)
                    self._check_growth(length, member.compress_size, shown)
                    if keep:
                        chunks.append(chunk)
        except (zipfile.BadZipFile, zlib.error, EOFError, OSError, NotImplementedError) as error:
            raise refuse("zip-damaged", shown, _HALF, _AGAIN) from error
        if length != member.file_size:
            raise refuse("zip-damaged", shown, "a part is shorter than it says", SAVE)
        return b"".join(chunks)

    def _check_growth(self, length: int, packed: int, shown: str) -> None:
        limits = self._limits
        if self._inflated > limits.unpacked:
            what = f"unpacks to {self._inflated:,} bytes or more, at least {self._inflated - limits.unpacked:,} over {limits.unpacked:,}"
            raise refuse("zip-unpacked", self._place, what, TRUST)
        if length > limits.ratio_from and length > packed * limits.ratio:
            what = f"unpacks to {length / max(packed, 1):,.0f} times its packed size or more; {limits.ratio} times is allowed"
            raise refuse("zip-ratio", shown, what, TRUST)
