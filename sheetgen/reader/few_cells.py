"""A sheet of which only formulas and certain cells are left: a very large one is read without the rest of it."""

from __future__ import annotations

import re
from collections.abc import Collection, Iterator
from typing import Final

from sheetgen.reader.shared import column_letters

_ROWS: Final = re.compile(rb"<sheetData(?:\s[^<>]*)?>")
_FORMULA: Final = re.compile(rb"<f[\s>/]")
# Prefixes before tags, and cells that do not say where they are, are left to whoever reads the whole sheet.
_UNUSUAL: Final = re.compile(rb":(?:f|c|row)[\s>/]|<c(?:>|/>|\s+(?!r=)[^<>]*>)|</c\s")
_CELL: Final = re.compile(rb"""<c\sr=["']([A-Z]{1,3})([1-9]\d{0,6})["'][^<>]*>""")


def few_cells(data: bytes, wanted: Collection[tuple[int, int]]) -> bytes:
    """Return a sheet in which only formula cells, and certain others, are left.

    Parameters
    ----------
    data : bytes
        The sheet of any program.
    wanted : collection of (row, column)
        The others [1-based row, 1-based column].

    Returns
    -------
    bytes
        The sheet; with all of its cells, where they are written in an unusual way.
    """
    opened = _ROWS.search(data)
    end = data.rfind(b"</sheetData")
    if opened is None or end < opened.end() or _UNUSUAL.search(data, opened.end(), end):
        return data
    starts = {data.rfind(b"<c", 0, found.start()) for found in _FORMULA.finditer(data, opened.end(), end)}
    starts.update(_starts(data, wanted, opened.end(), end))
    made: list[bytes] = []
    row = b""
    for start in sorted(starts):
        cell = _CELL.match(data, start)
        if cell is None:
            return data
        if cell[2] != row:
            made.append((b"</row>" if row else b"") + b'<row r="%b">' % cell[2])
            row = cell[2]
        after = cell.end() if cell[0].endswith(b"/>") else data.index(b"</c>", start) + len(b"</c>")
        made.append(data[start:after])
    return data[: opened.end()] + b"".join(made) + (b"</row>" if row else b"") + data[end:]


def _starts(data: bytes, wanted: Collection[tuple[int, int]], start: int, end: int) -> Iterator[int]:
    for row, column in wanted:
        name = f"{column_letters(column)}{row}".encode()
        found = re.compile(rb"""<c\sr=["']%b["']""" % name).search(data, start, end)
        if found is not None:
            yield found.start()
