"""A workbook as a zip of parts: those that are not changed are copied as they lie there, without being unpacked."""

from __future__ import annotations

import itertools
import struct
import zipfile
import zlib
from collections.abc import Iterable
from pathlib import Path
from typing import IO, Any, Final

from sheetgen.reader.package import Relationship, parse, read_relationships, relationships_name, target_of

_LOCAL: Final = struct.Struct("<4s5H3L2H")
_CENTRAL: Final = struct.Struct("<4s6H3L5H2L")
_END: Final = struct.Struct("<4s4H2LH")
_VERSION: Final = 20
_SIZES_FOLLOW: Final = 0x8
_UTF8: Final = 0x800
_CHUNK: Final = 1024 * 1024
_FIRST_DAY: Final = (1980, 1, 1, 0, 0, 0)


class Package:
    """The parts of one workbook, and what is to become of them.

    Parameters
    ----------
    path : Path
        The file, which the gate must have let through; it is never written to.
    """

    def __init__(self, path: Path) -> None:
        self.path = path
        with zipfile.ZipFile(path) as zipped:
            self._entries = zipped.infolist()
        self._names = {entry.filename.casefold(): entry for entry in self._entries}
        self._new: dict[str, bytes] = {}
        self._gone: set[str] = set()

    @property
    def names(self) -> tuple[str, ...]:
        """The parts that there are now."""
        kept = [entry.filename for entry in self._entries if entry.filename not in self._gone]
        return (*kept, *(name for name in self._new if name.casefold() not in self._names))

    def spelt(self, name: str) -> str | None:
        """Return a part's name as the file spells it, None where there is no such part."""
        folded = name.casefold()
        entry = self._names.get(folded)
        if entry is not None and entry.filename not in self._gone:
            return entry.filename
        return next((new for new in self._new if new.casefold() == folded), None)

    def read(self, name: str) -> bytes:
        """Return a part as it is now.

        Raises
        ------
        KeyError
            There is no such part.
        """
        spelt = self.spelt(name)
        if spelt is None:
            raise KeyError(name)
        if spelt in self._new:
            return self._new[spelt]
        with zipfile.ZipFile(self.path) as zipped:
            return zipped.read(spelt)

    def put(self, name: str, data: bytes) -> None:
        """Give a part other bytes, or add it."""
        spelt = self.spelt(name) or name
        self._gone.discard(spelt)
        self._new[spelt] = data

    def remove(self, name: str) -> None:
        """Take a part out."""
        spelt = self.spelt(name)
        if spelt is not None:
            self._new.pop(spelt, None)
            self._gone.add(spelt)

    def free(self, form: str) -> str:
        """Return the first name of a form, such as ``xl/worksheets/sheet{}.xml``, that no part has."""
        return next(name for number in itertools.count(1) if self.spelt(name := form.format(number)) is None)

    def relationships(self, part: str = "") -> tuple[Relationship, ...]:
        """Return what a part points to; without a part, what the package points to."""
        name = self.spelt(relationships_name(part))
        return () if name is None else read_relationships(parse(self.read(name)), part)

    def related(self, part: str, kind: str) -> str | None:
        """Return the first part of a kind that a part points to, as the file spells it."""
        target = target_of(self.relationships(part), kind)
        return self.spelt(target) if target else None

    def tree(self, name: str) -> Any:
        """Return the root element of a part."""
        return parse(self.read(name))

    def save(self, goal: Path) -> None:
        """Write the workbook: unchanged parts as they lie in the old file, in their order, then the added ones."""
        with self.path.open("rb") as source, goal.open("wb") as out:
            central = [_copied(source, out, entry, self._new.get(entry.filename)) for entry in self._left()]
            known = {entry.filename for entry in self._entries}
            central += [_packed(out, name.encode(), data, _FIRST_DAY) for name, data in self._new.items() if name not in known]
            start = out.tell()
            directory = b"".join(central)
            out.write(directory)
            out.write(_END.pack(b"PK\x05\x06", 0, 0, len(central), len(central), len(directory), start, 0))

    def _left(self) -> Iterable[zipfile.ZipInfo]:
        return (entry for entry in self._entries if entry.filename not in self._gone)


def _copied(source: IO[bytes], out: IO[bytes], entry: zipfile.ZipInfo, data: bytes | None) -> bytes:
    """Write one entry, packed anew only where it has other bytes; return its line of the directory."""
    source.seek(entry.header_offset)
    header = _LOCAL.unpack(source.read(_LOCAL.size))
    name = source.read(header[-2])
    if data is not None:
        return _packed(out, name, data, entry.date_time, entry.flag_bits)
    source.seek(header[-1], 1)
    facts = (entry.compress_type, *_moment(entry.date_time), entry.CRC, entry.compress_size, entry.file_size)
    line = _head(out, name, entry.flag_bits & ~_SIZES_FOLLOW, facts, entry.external_attr)
    left = entry.compress_size
    while left:
        chunk = source.read(min(left, _CHUNK))
        if not chunk:
            raise OSError(f"{entry.filename} ends too early")
        out.write(chunk)
        left -= len(chunk)
    return line


def _packed(out: IO[bytes], name: bytes, data: bytes, when: tuple[int, ...], flags: int = 0) -> bytes:
    packer = zlib.compressobj(zlib.Z_DEFAULT_COMPRESSION, zlib.DEFLATED, -zlib.MAX_WBITS)
    packed = packer.compress(data) + packer.flush()
    facts = (zipfile.ZIP_DEFLATED, *_moment(when), zlib.crc32(data), len(packed), len(data))
    line = _head(out, name, flags & _UTF8, facts, 0)
    out.write(packed)
    return line


def _head(out: IO[bytes], name: bytes, flags: int, facts: tuple[int, ...], rights: int) -> bytes:
    """Write the header of an entry; return its line of the directory."""
    at = out.tell()
    out.write(_LOCAL.pack(b"PK\x03\x04", _VERSION, flags, *facts, len(name), 0) + name)
    return _CENTRAL.pack(b"PK\x01\x02", _VERSION, _VERSION, flags, *facts, len(name), 0, 0, 0, 0, rights, at) + name


def _moment(when: tuple[int, ...]) -> tuple[int, int]:
    """Return time and day as a zip writes them."""
    year, month, day, hour, minute, second = when
    return hour << 11 | minute << 5 | second // 2, max(year - 1980, 0) << 9 | month << 5 | day
