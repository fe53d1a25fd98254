"""A CSV file of another program: its header and rows as text, whatever separates the cells and however it is encoded."""

from __future__ import annotations

import csv
import io
from typing import TYPE_CHECKING, Final

import attrs

from sheetgen.findings import Finding, Refused, Severity
from sheetgen.reader.file import read_file
from sheetgen.reader.limits import BOOK

if TYPE_CHECKING:
    from pathlib import Path

_SEPARATORS: Final = (",", ";", "\t", "|")
_MARKS: Final = ((b"\xef\xbb\xbf", "utf-8-sig"), (b"\xff\xfe", "utf-16"), (b"\xfe\xff", "utf-16"))
# As this tool and others write a text that must not be taken for a formula.
_INERT: Final = ("'=", "'+", "'-", "'@")


@attrs.frozen
class Table:
    """Rows of text.

    Parameters
    ----------
    name : str
        Of the file.
    header : tuple of str
        Headings, in order.
    rows : tuple of (int, tuple of str)
        Line of the file and cells of each row that is not blank; as many cells as headings [no].
    """

    name: str
    header: tuple[str, ...]
    rows: tuple[tuple[int, tuple[str, ...]], ...]


def read_table(path: Path) -> Table:
    """Read a CSV file.

    Parameters
    ----------
    path : Path
        Cells separated by commas, semicolons, tabs or bars; UTF-8, UTF-16 with its mark, or Windows' western letters.

    Raises
    ------
    Refused
        It cannot be read, or has no rows; every row that has not as many cells as the header is named.
    """
    text = _text(read_file(path, BOOK), path.name)
    first = next((line for line in text.splitlines() if line.strip()), "")
    separator = max(_SEPARATORS, key=lambda one: (first.count(one), -_SEPARATORS.index(one)))
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=separator, strict=True)
    found: list[tuple[int, list[str]]] = []
    try:
        found.extend((reader.line_num, row) for row in reader if any(cell.strip() for cell in row))
    except csv.Error as error:
        raise _refused(f"{path.name} line {reader.line_num}", f"is no CSV: {error}", "save it again as CSV, UTF-8") from error
    if len(found) < 2:
        raise _refused(path.name, "has no rows", "give a header line and one line per entry")
    (_, header), *rows = found
    wrong = [
        _finding(f"{path.name} line {line}", f"has {len(row)} cells, the header has {len(header)}",
                 "put one cell under each heading; put a text that holds a separator in quotes")
        for line, row in rows
        if len(row) != len(header)
    ]  # fmt: skip
    if wrong:
        raise Refused(wrong)
    return Table(path.name, tuple(map(str.strip, header)), tuple((line, tuple(map(_plain, row))) for line, row in rows))


def _text(data: bytes, name: str) -> str:
    encoding = next((encoding for mark, encoding in _MARKS if data.startswith(mark)), "utf-8")
    try:
        text = data.decode(encoding)
    except UnicodeDecodeError:
        text = data.decode("cp1252", "replace")
    if "\x00" in text:
        raise _refused(name, "is no text", "save it as CSV, UTF-8")
    return text


def _plain(cell: str) -> str:
    return cell[1:] if cell.startswith(_INERT) else cell


def _finding(place: str, what: str, mend: str) -> Finding:
    return Finding("csv-file", Severity.ERROR, place, what, mend)


def _refused(place: str, what: str, mend: str) -> Refused:
    return Refused([_finding(place, what, mend)])
