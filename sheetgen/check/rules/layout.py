"""Rule 15: nothing is merged, title and description stand on top, and columns are wide enough."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING, Final

from sheetgen.check.gather import Gathered
from sheetgen.check.rules.widths import column_widths, number_text, room, text_width
from sheetgen.findings import Severity

if TYPE_CHECKING:
    from collections.abc import Iterator

    from sheetgen.check.rules.subject import Place, Subject
    from sheetgen.findings import Finding
    from sheetgen.reader.raw import RawCell, RawSheet

_BREAKS: Final = re.compile(r"\s+|(?<=-)")
_WIDEN: Final = "widen the column"
_SHOWN: Final = 30


def layout(subject: Subject) -> Iterator[Finding]:
    """Find merged cells, missing titles, numbers that show as #### and texts that are cut off."""
    numbers = Gathered(subject.book.path, "rule-15-width")
    texts = Gathered(subject.book.path, "rule-15-cut", Severity.LOOK)
    for sheet in subject.sheets:
        for merged in sheet.root.iterfind("{*}mergeCells/{*}mergeCell"):
            what = f"the cells {merged.get('ref')} are merged"
            yield subject.error("rule-15-merge", what, "centre across the selection instead", sheet.name)
        for row, name in ((1, "title"), (2, "description")):
            cell = sheet.cells.get((row, 1))
            if cell is None or cell.kind != "text" or not str(cell.value).strip():
                yield subject.error(f"rule-15-{name}", f"the sheet has no {name}", f"write its {name} here", sheet.name, (row, 1))
        widths = column_widths(sheet)
        _numbers(subject, sheet, widths, numbers)
        _texts(subject, sheet, widths, texts)
    yield from numbers
    yield from texts


def _numbers(subject: Subject, sheet: RawSheet, widths: dict[int, float], met: Gathered) -> None:
    """Try the largest and the smallest number of each format in a column: they stand for all of it."""
    ends: dict[tuple[int, int], tuple[float, Place, float, Place]] = {}
    for at, cell in sheet.cells.items():
        if cell.kind != "number":
            continue
        value = float(cell.value or 0)
        key = (at[1], cell.style)
        known = ends.get(key)
        if known is None:
            ends[key] = value, at, value, at
        elif value < known[0]:
            ends[key] = value, at, known[2], known[3]
        elif value > known[2]:
            ends[key] = known[0], known[1], value, at
    for (column, style), (least, low, most, high) in ends.items():
        look = subject.looks.of(style)
        space = room(widths.get(column, widths[0]))
        for value, at in {(least, low), (most, high)}:
            text = number_text(value, subject.book.formats[style])
            if text_width(text, look) > space:
                met.add(sheet.name, at, f"the column is too narrow for {text}", _WIDEN)


def _texts(subject: Subject, sheet: RawSheet, widths: dict[int, float], met: Gathered) -> None:
    known: dict[tuple[str, int], float] = {}
    for (row, column), cell in sheet.cells.items():
        text = cell.value
        # What a person typed may be as long as it likes: it is theirs, and whole in the cell.
        if cell.kind != "text" or not isinstance(text, str) or not text or cell.style in subject.book.unlocked_styles:
            continue
        # A helper made of somebody's words may be cut: it stands in full where it is meant to be read.
        if cell.formula is not None and subject.types[sheet.name] == "reference":
            continue
        look = subject.looks.of(cell.style)
        if look.across or not (look.wrap or _fills(sheet.cells.get((row, column + 1)))):
            continue
        need = known.get((text, cell.style))
        if need is None:
            pieces = _BREAKS.split(text) if look.wrap else text.split("\n")
            need = known[text, cell.style] = max(text_width(piece, look) for piece in pieces)
        if need > room(widths.get(column, widths[0])):
            shown = text if len(text) <= _SHOWN else text[: _SHOWN - 1] + "…"
            met.add(sheet.name, (row, column), f"the column is too narrow for '{shown}'", _WIDEN)


def _fills(cell: RawCell | None) -> bool:
    """Whether a cell stops the text to its left from running over; a formula does so even where it shows nothing."""
    return cell is not None and (cell.kind != "blank" or cell.formula is not None)
