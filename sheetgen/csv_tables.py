"""The tables of a comparison as CSV files that no spreadsheet program runs anything from."""

from __future__ import annotations

import csv
import datetime as dt
import io
import secrets
from typing import TYPE_CHECKING, Any, Final

from sheetgen.figures import UNREAD, columns
from sheetgen.findings import Finding, Refused, Severity
from sheetgen.reason import reason_of
from sheetgen.reconcile import Comparison

if TYPE_CHECKING:
    from pathlib import Path

_RISKY: Final = ("=", "+", "-", "@", "\t", "\r")


def inert(text: str) -> str:
    """Return a text that no spreadsheet program takes for a formula when it opens a CSV file."""
    return f"'{text}" if text.startswith(_RISKY) else text


def write_csv(comparison: Comparison, folder: Path) -> list[Path]:
    """Write each table, and the books not read, as a CSV file: UTF-8, decimal points, blanks where a figure is not known.

    Raises
    ------
    Refused
        A file cannot be written; the files that are there are whole, old or new.
    """
    written = []
    tables = {name: (columns(name), rows) for name, rows in comparison.tables.items()} | {"unread": (UNREAD, comparison.unread)}
    try:
        folder.mkdir(parents=True, exist_ok=True)
        for table, (names, rows) in tables.items():
            text = io.StringIO()
            writer = csv.writer(text, lineterminator="\n")
            writer.writerow(names)
            for row in rows:
                writer.writerow([_plain(row[name]) for name in names])
            goal = folder / f"{table}.csv"
            put(goal, text.getvalue().encode())
            written.append(goal)
    except OSError as error:
        raise Refused(
            [Finding("output-write", Severity.ERROR, str(folder), f"cannot be written: {reason_of(error)}",
                     "close the file elsewhere, free some space, or choose another folder")]
        ) from error  # fmt: skip
    return written


def put(goal: Path, content: bytes) -> None:
    """Replace a file in one step."""
    part = goal.with_name(f".{goal.name}.{secrets.token_hex(4)}.part")
    try:
        part.write_bytes(content)
        part.replace(goal)
    finally:
        part.unlink(missing_ok=True)


def _plain(value: Any) -> str:
    if value is None:
        return ""
    if isinstance(value, float):
        rounded = round(value, 6)
        return str(int(rounded)) if rounded.is_integer() else repr(rounded)
    if isinstance(value, dt.date):
        return value.isoformat()
    return inert(str(value))
