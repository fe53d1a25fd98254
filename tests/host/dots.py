"""A picture of one dot."""

from __future__ import annotations

import io
import struct
import zlib


def dot(colour: bytes = b"\x80\x40\x20") -> io.BytesIO:
    """Return a PNG of one dot in a colour."""

    def piece(kind: bytes, data: bytes) -> bytes:
        return struct.pack(">I", len(data)) + kind + data + struct.pack(">I", zlib.crc32(kind + data))

    head = struct.pack(">IIBBBBB", 1, 1, 8, 2, 0, 0, 0)
    return io.BytesIO(b"\x89PNG\r\n\x1a\n" + piece(b"IHDR", head) + piece(b"IDAT", zlib.compress(b"\0" + colour)) + piece(b"IEND", b""))
