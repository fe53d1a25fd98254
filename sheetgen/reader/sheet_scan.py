"""The gate's pass over one sheet: where cells stand, how many, how long, whether numbers are finite."""

from __future__ import annotations

import math
import re
from typing import TYPE_CHECKING, Final

from sheetgen.reader.archive import SAVE, refuse
from sheetgen.reader.package import MAIN
from sheetgen.reader.scan import Scan, Tally, over
from sheetgen.reader.shared import COLUMNS

if TYPE_CHECKING:
    from sheetgen.findings import Refused
    from sheetgen.reader.limits import Limits

_TYPES: Final = frozenset({"n", "s", "str", "inlineStr", "b", "e", "d"})
_RANGE: Final = re.compile(r"\$?([A-Z]{1,3})\$?(\d{1,7})(?::\$?([A-Z]{1,3})\$?(\d{1,7}))?")
# Elements that matter, by the name of the root: only its own namespace counts, as for the reader.
_WATCHED: Final = {
    f"{namespace} worksheet": {f"{namespace} {name}": name for name in ("sheetData", "row", "c", "v", "f", "is", "mergeCell")}
    for namespace in MAIN
}
# Where they stand: worksheet > sheetData > row > c > v. Nowhere else would the reader find them.
_DEPTHS: Final = {"sheetData": 2, "row": 3, "c": 4, "v": 5, "f": 5, "is": 5}


def is_number(text: str) -> bool:
    """Return whether text is a finite number as XML writes it (Python alone allows more)."""
    try:
        return math.isfinite(float(text)) and text.isascii() and "_" not in text
    except ValueError:
        return False


def is_whole(text: str) -> bool:
    """Return whether text is a whole number of at most seven plain digits."""
    return text.isascii() and text.isdecimal() and len(text) <= 7


class SheetScan(Scan):
    """A pass over a sheet.

    Parameters
    ----------
    place : str
        What findings call the sheet.
    limits : Limits
        Profile.
    tally : Tally
        Counts of the whole workbook.
    lengths : list of int
        Length of each shared string [count].
    """

    def __init__(self, place: str, limits: Limits, tally: Tally, lengths: list[int]) -> None:
        super().__init__(place, limits, tally)
        self._lengths = lengths
        self._watched: dict[str, str] = {}
        self._in_rows = False
        self._rows = 0
        self._row = 0
        self._row_text = "0"
        self._column = 0
        self._reference = ""
        self._type: str | None = None
        self._inside: str | None = None
        self._text: list[str] = []
        self._length = 0
        self._shared: str | None = None
        self._shared_lengths: dict[str, int] = {}

    def start(self, name: str, attributes: list[str]) -> None:
        """Note a cell's place, a row, a merged range; everything else is only counted."""
        # the count of the parent class, written out: this runs for every element of every sheet
        self.depth += 1
        tally = self.tally
        tally.nodes += 1 + len(attributes) // 2
        if tally.nodes > self.limits.nodes or self.depth > self.limits.depth:
            self.check_nodes()
        watched = self._watched.get(name)
        if watched is None:
            if self.depth == 1:
                self._start_root(name)
            elif self._inside in {"v", "f"}:
                raise self._misplaced("an element inside a value")
            return
        if self.depth != _DEPTHS.get(watched, self.depth) or (watched in {"row", "c"} and not self._in_rows):
            raise self._misplaced(f"an element {watched!r}")
        if watched == "c":
            self._start_cell(attributes)
        elif watched == "row":
            self._start_row(dict(zip(attributes[::2], attributes[1::2], strict=True)))
        elif watched == "mergeCell":
            self._merge(dict(zip(attributes[::2], attributes[1::2], strict=True)).get("ref", ""))
        elif watched == "sheetData":
            self._in_rows = True
        else:
            self._inside = watched
            self._text.clear()
            self._length = 0
            if watched == "is" and self._type != "inlineStr":
                raise refuse("cell-type", self._at(), "a cell of another kind holds a text of its own", SAVE)
            if watched == "f" and attributes:
                self._start_formula(dict(zip(attributes[::2], attributes[1::2], strict=True)))

    def end(self, name: str) -> None:
        """Check a value or a formula when it is complete."""
        self.depth -= 1
        watched = self._watched.get(name)
        if watched is None:
            return
        if watched == "v":
            self._end_value("".join(self._text))
            self._inside = None
        elif watched == "f":
            self._end_formula()
            self._inside = None
        elif watched == "is":
            self._inside = None
        elif watched == "sheetData":
            self._in_rows = False

    def characters(self, text: str) -> None:
        """Add to the text of the cell at hand."""
        if self._inside is None:
            return
        self._length += len(text)
        self.tally.text += len(text)
        self._text.append(text)
        limit = self.limits.formula if self._inside == "f" else self.limits.text
        if self._length > limit:
            what = "characters in one formula" if self._inside == "f" else "characters in one cell"
            raise over("text-long", self._at(), what, self._length, limit)

    def _at(self) -> str:
        return f"{self.place}!{self._reference[:12]}" if self._reference else self.place

    def _start_root(self, name: str) -> None:
        if name not in _WATCHED:
            raise refuse("sheet-root", self.place, "the sheet's part is something else", SAVE)
        self._watched = _WATCHED[name]

    def _start_row(self, attributes: dict[str, str]) -> None:
        text = attributes.get("r", str(self._row + 1))
        if not (is_whole(text) and is_whole(attributes.get("s", "0"))) or int(text) <= self._row:
            raise self._misplaced(f"row {text[:12]!r}")
        self._row = int(text)
        self._row_text = str(self._row)
        self._column = 0
        self._rows += 1
        # LibreOffice likes to write one empty row at the very end: only cells make a row far away
        if self._rows > self.limits.rows + 1:
            raise over("sheet-rows", self.place, "rows", self._rows, self.limits.rows)

    def _start_cell(self, attributes: list[str]) -> None:
        reference = kind = None
        for key, text in zip(attributes[::2], attributes[1::2], strict=True):
            if key == "r":
                reference = text
            elif key == "s":
                self.tally.styles.add(text)
            elif key == "t":
                kind = text
        column = self._column + 1
        self._reference = reference or ""
        if reference is not None:
            row_text = self._row_text
            column = COLUMNS.get(reference[: -len(row_text)], 0) if reference.endswith(row_text) else 0
            if column <= self._column:
                raise self._misplaced(f"cell {reference[:12]!r}")
        if column > self.limits.columns:
            raise over("sheet-columns", self._at(), "columns", column, self.limits.columns)
        if self._row > self.limits.rows:
            raise over("sheet-rows", self._at(), "rows", self._row, self.limits.rows)
        if kind is not None and kind not in _TYPES:
            raise refuse("cell-type", self._at(), f"a cell is of the kind {kind[:20]!r}", SAVE)
        self._column = column
        self._type = kind
        self.tally.cells += 1
        if self.tally.cells > self.limits.cells:
            raise over("book-cells", self.place, "cells", self.tally.cells, self.limits.cells)

    def _end_value(self, text: str) -> None:
        kind = self._type
        if kind == "s":
            if not is_whole(text) or int(text) >= len(self._lengths):
                what = f"a cell asks for shared text {text[:12]!r}, which does not exist"
                raise refuse("string-missing", self._at(), what, SAVE)
            self._add_text(self._lengths[int(text)])
        elif (kind is None or kind == "n") and text and not is_number(text):
            what = f"{text[:40]!r} is not a finite number"
            raise refuse("number-not-finite", self._at(), what, "type the number again")

    def _start_formula(self, attributes: dict[str, str]) -> None:
        self._shared = attributes.get("si", "") if attributes.get("t") == "shared" else None
        if "ref" in attributes:
            self._corners(attributes["ref"], "formula-range")

    def _end_formula(self) -> None:
        if self._shared is None:
            return
        if self._length:
            self._shared_lengths[self._shared] = self._length
        elif self._shared in self._shared_lengths:
            self._add_text(self._shared_lengths[self._shared])
        else:
            what = "a formula is shared with a cell that has none"
            raise refuse("formula-missing", self._at(), what, SAVE)
        self._shared = None

    def _add_text(self, length: int) -> None:
        self.tally.text += length
        if self.tally.text > self.limits.text_total:
            what = "characters in all cells"
            raise over("text-total", self.place, what, self.tally.text, self.limits.text_total)

    def _merge(self, reference: str) -> None:
        top, left, bottom, right = self._corners(reference, "merge-range")
        tally, limits = self.tally, self.limits
        tally.merges += 1
        tally.merged_cells += (bottom - top + 1) * (right - left + 1)
        if tally.merges > limits.merges:
            raise over("book-merges", self.place, "merged ranges", tally.merges, limits.merges)
        if tally.merged_cells > limits.merged_cells:
            what = "cells in merged ranges"
            raise over("merged-cells", self.place, what, tally.merged_cells, limits.merged_cells)

    def _corners(self, reference: str, code: str) -> tuple[int, int, int, int]:
        found = _RANGE.fullmatch(reference)
        left = COLUMNS.get(found[1], 0) if found else 0
        right = COLUMNS.get(found[3] or found[1], 0) if found else 0
        top = int(found[2]) if found else 0
        bottom = int(found[4] or found[2]) if found else 0
        if not (0 < left <= right and 0 < top <= bottom):
            raise refuse(code, self.place, f"{reference[:40]!r} is not a range", SAVE)
        for what, count, limit in (("rows", bottom, self.limits.rows), ("columns", right, self.limits.columns)):
            if count > limit:
                raise over(code, self.place, f"{what} of the range {reference}", count, limit)
        return top, left, bottom, right

    def _misplaced(self, what: str) -> Refused:
        return refuse("cell-place", self.place, f"{what} stands in the wrong place, or twice", SAVE)
