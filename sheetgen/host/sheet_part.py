"""Our sheets as they stand in a host: with its style indices, texts of their own, and not chosen when the workbook opens."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from typing import Final

_CELL: Final = re.compile(rb'<c r="([A-Z]+\d+)"(?: s="(\d+)")?(?: t="s"><v>(\d+)</v></c>)?')
_ROW_STYLE: Final = re.compile(rb'(<row [^>]*?\bs=")(\d+)(?=")')
_COLUMNS: Final = re.compile(rb"<cols>(.*?)</cols>", re.DOTALL)
_COLUMN: Final = re.compile(rb'<col min="(\d+)" max="(\d+)"([^>]*?)/>')
_COLUMN_STYLE: Final = re.compile(rb'\sstyle="(\d+)"')
_DIFFERENTIAL: Final = re.compile(rb'(\sdxfId=")(\d+)(?=")')
_STRING: Final = re.compile(rb"<si>(.*?)</si>", re.DOTALL)
_LAST_COLUMN: Final = 16_384
# What the usual program gives a column without a width of its own; LibreOffice gives it a little less.
_DEFAULT_WIDTH: Final = b' width="9.140625"'

# The same in any program's sheets, whatever prefix it writes.
_ANY_STYLE: Final = re.compile(rb"""(<(?:\w+:)?(?:c|row|col)\s[^<>]*?\b(?:s|style)=["'])(\d+)(?=["'])""")
_ANY_DIFFERENTIAL: Final = re.compile(rb"""(\s(?:\w*D|d)xfId=["'])(\d+)(?=["'])""")


def shared_strings(data: bytes) -> list[bytes]:
    """Return what each of our shared strings holds, as it is written."""
    return _STRING.findall(data)


def styles_used(data: bytes) -> set[int]:
    """Return the cell formats that a sheet of any program uses, for cells, rows and columns [index]."""
    return {int(found[2]) for found in _ANY_STYLE.finditer(data)}


def differential_used(data: bytes) -> set[int]:
    """Return the differential formats that a part of any program uses, for rules, tables and filters [index]."""
    if b"xfId=" not in data:  # by far the most parts
        return set()
    return {int(found[2]) for found in _ANY_DIFFERENTIAL.finditer(data)}


def shifted(data: bytes, behind: int, by: int) -> bytes:
    """Return a sheet whose cell formats above one go down by a number [index, count]."""
    return _ANY_STYLE.sub(lambda found: _lower(found, behind, by), data)


def differential_shifted(data: bytes, behind: int, by: int) -> bytes:
    """Return a part whose differential formats above one go down by a number [index, count]."""
    return _ANY_DIFFERENTIAL.sub(lambda found: _lower(found, behind, by), data)


def _lower(found: re.Match[bytes], behind: int, by: int) -> bytes:
    index = int(found[2])
    return found[1] + b"%d" % (index - by if index > behind else index)


def in_host(data: bytes, strings: Sequence[bytes], formats: Mapping[int, int], differential: Mapping[int, int]) -> bytes:
    """Return a sheet of ours as it stands in a host.

    Parameters
    ----------
    data : bytes
        The sheet as our writer makes it.
    strings : sequence of bytes
        What its shared strings hold; each cell gets its own, so that the host's table stays as it is.
    formats, differential : mapping of int to int
        Index in the host of each cell format and differential format.
    """

    def cell(found: re.Match[bytes]) -> bytes:
        head = b'<c r="%b" s="%d"' % (found[1], formats[int(found[2] or 0)])
        if found[3] is None:
            return head
        return b'%b t="inlineStr"><is>%b</is></c>' % (head, strings[int(found[3])])

    made = _CELL.sub(cell, data)
    made = _ROW_STYLE.sub(lambda found: found[1] + b"%d" % formats[int(found[2])], made)
    made = _DIFFERENTIAL.sub(lambda found: found[1] + b"%d" % differential[int(found[2])], made)
    return _with_columns(made, formats).replace(b' tabSelected="1"', b"")


def _with_columns(data: bytes, formats: Mapping[int, int]) -> bytes:
    """Give every column our plain look: a host's may be unlocked, or coloured."""
    held = _COLUMNS.search(data)
    lines: list[bytes] = []
    free = 1
    for found in _COLUMN.finditer(held[1]) if held else ():
        low, high, rest = int(found[1]), int(found[2]), found[3]
        if low > free:
            lines.append(_column(free, low - 1, _DEFAULT_WIDTH, formats[0]))
        own = _COLUMN_STYLE.search(rest)
        lines.append(_column(low, high, _COLUMN_STYLE.sub(b"", rest), formats[int(own[1]) if own else 0]))
        free = high + 1
    if free <= _LAST_COLUMN:
        lines.append(_column(free, _LAST_COLUMN, _DEFAULT_WIDTH, formats[0]))
    columns = b"<cols>" + b"".join(lines) + b"</cols>"
    if held:
        return data[: held.start()] + columns + data[held.end() :]
    return data.replace(b"<sheetData", columns + b"<sheetData", 1)


def _column(low: int, high: int, rest: bytes, style: int) -> bytes:
    return b'<col min="%d" max="%d"%b style="%d"/>' % (low, high, rest, style)


def used_formats(sheets: Sequence[bytes]) -> list[int]:
    """Return the cell formats that sheets of ours use, in order, the plain one first [index]."""
    used = {0}
    for data in sheets:
        used |= styles_used(data)
    return sorted(used)
