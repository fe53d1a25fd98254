"""Formulas of a person's sheet become the figures that they show."""

from __future__ import annotations

import re
from collections.abc import Mapping
from typing import Final
from xml.sax.saxutils import escape

from sheetgen.book.plan import column_name
from sheetgen.check.values import CellError, Value
from sheetgen.findings import Report

_FORMULA: Final = re.compile(rb"<((?:\w+:)?)f\b[^<>]*?(?:/>|>[^<]*</\1f\s*>)")
_VALUE: Final = re.compile(rb"<((?:\w+:)?)v\b[^<>]*?(?:/>|>[^<]*</\1v\s*>)")
_KIND: Final = re.compile(rb"""\st=(?:"[^"]*"|'[^']*')""")
_ARRAY: Final = re.compile(rb"""<(?:\w+:)?f\b[^<>]*\st=["'](?:array|dataTable)["']""")


def with_figures(data: bytes, figures: Mapping[tuple[int, int], Value], place: str, report: Report) -> bytes:
    """Return a sheet in which some cells hold a figure and no formula.

    Parameters
    ----------
    data : bytes
        The sheet of any program.
    figures : mapping of (row, column) to value
        What each cell is reckoned to be [1-based row, 1-based column]; an error, where a function is not known, leaves
        the figure that is stored.
    place : str
        What findings call the sheet.
    report : Report
        Takes the cells for which that cannot be done.
    """
    at = {f"{column_name(column - 1)}{row}": (row, column) for row, column in figures}
    left = dict(at)

    def cell(found: re.Match[bytes]) -> bytes:
        name = found["name"].decode()
        if name not in at:
            return found[0]
        del left[name]
        if _ARRAY.search(found[0]):
            report.error("host-array", f"{place}!{name}", "is an array formula that uses the bid", "put figures in its place yourself")
            return found[0]
        value = figures[at[name]]
        bare = _FORMULA.sub(b"", found[0])
        if isinstance(value, CellError):
            if not _VALUE.search(bare):
                mend = "open the workbook in a spreadsheet program and save it"
                report.error("host-figure", f"{place}!{name}", "has no figure yet", mend)
            return bare
        return _holding(bare, value)

    names = b"|".join(sorted(name.encode() for name in at))
    cells = rb"""<(?P<prefix>(?:\w+:)?)c\s[^<>]*?\br=["'](?P<name>%b)["'][^<>]*>.*?</(?P=prefix)c\s*>""" % names
    made = re.sub(cells, cell, data, flags=re.DOTALL)
    for name in left:
        report.error("host-figure", f"{place}!{name}", "cannot be found in the sheet", "put a figure in the place of its formula yourself")
    return made


def _holding(cell: bytes, value: Value) -> bytes:
    """Return a cell without a formula that holds a value."""
    bare = _VALUE.sub(b"", cell)
    head, sign, tail = bare.partition(b">")
    head = _KIND.sub(b"", head)
    prefix = tail.rpartition(b"</")[2].partition(b"c")[0]
    if value is None:
        return head + sign + tail
    kind, text = _written(value)
    return head + kind + sign + b"<%bv>%b</%bv>" % (prefix, text, prefix) + tail


def _written(value: Value) -> tuple[bytes, bytes]:
    if isinstance(value, bool):
        return b' t="b"', str(int(value)).encode()
    if isinstance(value, str):
        return b' t="str"', escape(value).encode()
    return b"", repr(value).encode()
