"""Formulas of a person's sheet become the figures that they show."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from typing import Final
from xml.sax.saxutils import escape

from sheetgen.book.plan import column_name
from sheetgen.check.values import CellError, Value
from sheetgen.findings import Report

_CELL: Final = re.compile(
    rb"""<(?P<prefix>(?:\w+:)?)c\s(?:[^<>]*?\s)?r=["'](?P<name>[A-Z]{1,3}\d+)["'][^<>]*>\s*<(?P=prefix)f\b.*?</(?P=prefix)c\s*>""",
    re.DOTALL,
)
_FORMULA: Final = re.compile(rb"<((?:\w+:)?)f\b[^<>]*?(?:/>|>[^<]*</\1f\s*>)")
_VALUE: Final = re.compile(rb"<((?:\w+:)?)v\b[^<>]*?(?:/>|>[^<]*</\1v\s*>)")
_KIND: Final = re.compile(rb"""\st=(?:"[^"]*"|'[^']*')""")
_ARRAY: Final = re.compile(rb"""<(?:\w+:)?f\b[^<>]*\st=["'](?:array|dataTable)["']""")
# What no cell can hold but by a formula: a text that is empty, and errors as they go on into what reads them.
_CONSTANT: Final[Mapping[Value, str]] = {
    None: '""', "#N/A": "NA()", "#DIV/0!": "1/0", "#VALUE!": '""+1', "#NUM!": "SQRT(-1)", "#NAME?": "no_such_name", "#REF!": "#REF!",
}  # fmt: skip
_OTHER_ERROR: Final = "NA()"
Figures = Mapping[tuple[int, int], Value]


def with_figures(data: bytes, figures: Figures, place: str, report: Report) -> bytes:
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

    def figure(name: str, cell: bytes, value: Value) -> bytes:
        if _ARRAY.search(cell):
            report.error("host-array", f"{place}!{name}", "is an array formula that uses the bid", "put figures in its place yourself")
            return cell
        if isinstance(value, CellError):
            bare = _FORMULA.sub(b"", cell)
            if not _VALUE.search(bare):
                mend = "open the workbook in a spreadsheet program and save it"
                report.error("host-figure", f"{place}!{name}", "has no figure yet", mend)
            return bare
        return _holding(cell, value)

    made, left = _replaced(data, figures, figure)
    for name in left:
        report.error("host-figure", f"{place}!{name}", "cannot be found in the sheet", "put a figure in the place of its formula yourself")
    return made


def with_constants(data: bytes, figures: Figures) -> bytes:
    """Return a sheet in which some formulas give way to their results, for reckoning only: what reads them sees no difference.

    Parameters
    ----------
    data : bytes
        The sheet of any program.
    figures : mapping of (row, column) to value
        What each cell is to give [1-based row, 1-based column]: None an empty text, an error that error.
    """

    def constant(_: str, cell: bytes, value: Value) -> bytes:
        if value is not None and not isinstance(value, CellError):
            return _holding(cell, value)
        return _filled(cell, b"", b"f", escape(_CONSTANT.get(value, _OTHER_ERROR)).encode())

    return _replaced(data, figures, constant)[0]


def _replaced(data: bytes, figures: Figures, make: Callable[[str, bytes, Value], bytes]) -> tuple[bytes, list[str]]:
    """Replace formula cells; return the sheet, and which of them were not found."""
    wanted = {f"{column_name(column - 1)}{row}": value for (row, column), value in figures.items()}
    left = dict.fromkeys(wanted)

    def cell(found: re.Match[bytes]) -> bytes:
        name = found["name"].decode()
        if name not in left:
            return found[0]
        del left[name]
        return make(name, found[0], wanted[name])

    return _CELL.sub(cell, data), list(left)


def _holding(cell: bytes, value: Value) -> bytes:
    """Return a cell without its formula that holds a value."""
    return _filled(cell, b"", b"", b"") if value is None else _filled(cell, *_written(value))


def _filled(cell: bytes, kind: bytes, tag: bytes, text: bytes) -> bytes:
    """Return a cell with its look that holds one element, or none, in the place of what it held."""
    bare = _VALUE.sub(b"", _FORMULA.sub(b"", cell))
    head, sign, tail = bare.partition(b">")
    prefix = tail.rpartition(b"</")[2].partition(b"c")[0]
    inside = b"<%b>%b</%b>" % (prefix + tag, text, prefix + tag) if tag else b""
    return _KIND.sub(b"", head) + kind + sign + inside + tail


def _written(value: Value) -> tuple[bytes, bytes, bytes]:
    if isinstance(value, bool):
        return b' t="b"', b"v", str(int(value)).encode()
    if isinstance(value, str):
        return b' t="str"', b"v", escape(value).encode()
    return b"", b"v", repr(value).encode()
