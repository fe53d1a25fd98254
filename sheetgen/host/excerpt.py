"""A few rows of a person's sheets, so that a cell of a very large sheet is read without the rest of it."""

from __future__ import annotations

import contextlib
import re
import tempfile
from collections.abc import Collection, Iterable, Iterator, Mapping
from pathlib import Path
from typing import Final

from sheetgen.book.linked import Target
from sheetgen.host.own_sheets import worksheets
from sheetgen.host.package import Package
from sheetgen.reader.package import target_of

_ROWS: Final = re.compile(rb"<((?:\w+:)?)sheetData(?:\s[^<>]*)?>")
_NUMBER: Final = re.compile(rb"""\sr=["']([1-9]\d{0,6})["']""")


@contextlib.contextmanager
def excerpt(host: Path, targets: Iterable[Target]) -> Iterator[Path]:
    """Give a copy of a workbook that holds, of the sheets with certain cells, only their rows.

    Parameters
    ----------
    host : Path
        The workbook; it is not written to.
    targets : iterable of Target
        The cells; their sheets must be there.

    Yields
    ------
    Path
        The copy, under the same name; it is gone afterwards.
    """
    rows: dict[str, set[int]] = {}
    for target in targets:
        rows.setdefault(target.sheet, set()).add(target.row)
    package = Package(host)
    parts: Mapping[str, str] = worksheets(package, target_of(package.relationships(), "officeDocument"))
    for sheet, wanted in rows.items():
        package.put(parts[sheet], rows_alone(package.read(parts[sheet]), wanted))
    with tempfile.TemporaryDirectory(prefix="sheetgen-excerpt-") as folder:
        copy = Path(folder, host.name)
        package.save(copy)
        yield copy


def rows_alone(data: bytes, wanted: Collection[int]) -> bytes:
    """Return a sheet with some of its rows [1-based]; with all of them, where rows do not say which they are.

    A formula that a cell shares with one of another row loses its text, and stays a formula.
    """
    opened = _ROWS.search(data)
    end = data.rfind(b"</%bsheetData" % opened[1]) if opened else -1
    if opened is None or end < 0:
        return data
    prefix, kept = opened[1], []
    for found in re.compile(rb"<%brow(?:\s[^<>]*)?>" % prefix).finditer(data, opened.end(), end):
        number = _NUMBER.search(found[0])
        if number is None:
            return data
        if int(number[1]) in wanted:
            after = data.find(b">", data.find(b"</%brow" % prefix, found.end())) + 1
            kept.append(found[0] if found[0].endswith(b"/>") else data[found.start() : after])
    alone = re.sub(rb"<(%bf)\s[^<>]*?(/?)>" % prefix, rb"<\1\2>", b"".join(kept))
    return data[: opened.end()] + alone + data[end:]
