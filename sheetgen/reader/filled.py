"""A filled book becomes entries by field name, through the plan of its stamp; what cannot be read is a finding."""

from __future__ import annotations

import datetime as dt
import math
from pathlib import Path
from typing import Any

import attrs

from sheetgen import units
from sheetgen.book.compile import Compiled
from sheetgen.book.plan import Address, PlacedPart, column_name
from sheetgen.book.stamp import Stamp
from sheetgen.book.template import COMPUTED, Block, Field
from sheetgen.book.validate import bounds
from sheetgen.findings import Finding, Report
from sheetgen.reader.cell_text import Typed, as_clock, as_date, as_number, as_text
from sheetgen.reader.raw import RawBook, RawSheet, read_raw
from sheetgen.reader.stamped import plan_of, read_stamp


@attrs.frozen
class Filled:
    """What a person typed into a book.

    Parameters
    ----------
    path : Path
        The file.
    stamp : Stamp
        What the book says of itself.
    compiled : Compiled
        The template by which it was made.
    raw : RawBook
        The file's cells.
    entries : dict of (block, field) to tuple
        One value per record: number in the units of the book, text, date, code of a list, or None.
    findings : tuple of Finding
        What could not be read, with sheet and cell.
    """

    path: Path
    stamp: Stamp
    compiled: Compiled = attrs.field(repr=False)
    raw: RawBook = attrs.field(repr=False)
    entries: dict[tuple[str, str], tuple[Any, ...]] = attrs.field(repr=False)
    findings: tuple[Finding, ...]


def read_filled(path: Path) -> Filled:
    """Read a book that a person filled.

    Parameters
    ----------
    path : Path
        The file; it is never written to.

    Returns
    -------
    Filled
        Entries, and findings where something could not be read.

    Raises
    ------
    Refused
        The file does not pass the gate, or is not a book that this tool knows.
    """
    raw = read_raw(path)
    stamp = read_stamp(raw)
    compiled = plan_of(stamp, raw)
    reader = _Reader(raw, compiled)
    reader.places()
    entries = {} if reader.report.failed else reader.entries()
    return Filled(path, stamp, compiled, raw, entries, tuple(reader.report))


class _Reader:
    def __init__(self, raw: RawBook, compiled: Compiled) -> None:
        self.raw = raw
        self.compiled = compiled
        self.plan = compiled.plan
        self.report = Report()
        self.sheets: dict[str, RawSheet] = {}
        self.codes: dict[str, dict[str, str]] = {}

    def where(self, sheet: str, row: int, column: int) -> str:
        return f"{self.raw.path.name} {sheet}!{column_name(column)}{row + 1}"

    # Is everything where the plan says?

    def places(self) -> None:
        """Find every sheet, and prove by its fixed words that nothing has moved."""
        for sheet in self.plan.book.sheets:
            title = self.plan.title(sheet)
            found = self.raw.sheet(title)
            if found is None:
                self.report.error(
                    "sheet-missing", f"{self.raw.path.name} {title}", "the sheet was renamed or deleted",
                    f"name it '{title}' again, or go back to an earlier copy",
                )  # fmt: skip
            else:
                self.sheets[title] = found
        moved: set[str] = set()
        for part in self.plan.parts:
            if part.sheet in self.sheets and part.sheet not in moved and not self._stands(part):
                moved.add(part.sheet)

    def _stands(self, part: PlacedPart) -> bool:
        for cell, word in self._anchors(part):
            held = self.sheets[part.sheet].cells.get((cell.row + 1, cell.column + 1))
            said = "" if held is None or held.value is None else str(held.value)
            if word is None:
                if held is not None and held.formula is not None:
                    continue
                what = "a formula is expected here and there is none"
            elif _one_line(said) == _one_line(word):
                continue
            else:
                what = f"'{word}' is expected here and '{said[:40]}' is found"
            self.report.error(
                "sheet-moved", self.where(cell.sheet, cell.row, cell.column),
                f"{what}: rows or columns were put in or taken out, or fixed text was changed",
                "undo that change, or go back to an earlier copy",
            )  # fmt: skip
            return False
        return True

    def _anchors(self, part: PlacedPart) -> list[tuple[Address, str | None]]:
        """Return cells whose words are known, and (None) the last formula of each column of a table."""
        found: list[tuple[Address, str | None]] = []
        if part.title_row is not None:
            found.append((Address(part.sheet, part.title_row, 0), part.part.title))
        labelled = part.layout in {"fields", "checks", "across"} or (part.layout == "scenario" and not part.block.over)
        for field in part.fields:
            spot = self.plan.spot(part.block.name, field.name)
            if labelled:
                found.append((Address(part.sheet, spot.row, 0), field.label))
            elif part.header_row is not None:
                symbol = units.symbol(field.unit, self.plan.system)
                label = f"{field.label}\n{symbol}" if symbol else field.label
                found.append((Address(part.sheet, part.header_row, spot.column), label))
            if field.kind in COMPUTED and part.block.kind != "fields":
                found.append((spot.cell(spot.records - 1), None))
        return found

    # What was typed?

    def entries(self) -> dict[tuple[str, str], tuple[Any, ...]]:
        """Return what was typed, by field, a value per record."""
        found = {}
        for block, field in (*self.plan.entered(), *self.plan.posted()):
            cells = self.sheets[self.plan.spot(block.name, field.name).sheet].cells
            found[block.name, field.name] = tuple(
                self._entry(field, cells, cell) for _, cell in self.plan.places(block, field)
            )
        self._twins(found)
        return found

    def _entry(self, field: Field, cells: Any, cell: Address) -> Any:
        held = cells.get((cell.row + 1, cell.column + 1))
        if held is None or (held.value is None and held.formula is None):
            return None
        place = self.where(cell.sheet, cell.row, cell.column)
        if held.formula is not None:
            self.report.note(
                "input-formula", place, f"'{field.label}' holds a formula; its last value {held.value!r} is used",
                "type the number itself to be sure",
            )  # fmt: skip
        if field.kind == "choice" or field.unit in {"text", "code"}:
            typed = as_text(held)
        elif field.unit == "date":
            typed = as_date(held, self.raw.date1904)
        elif field.unit == "clock":
            typed = as_clock(held)
        elif field.no_limit and _same_words(held.value, self.plan.book.words["no_limit"]):
            return math.inf
        else:
            symbol = units.symbol(field.unit, self.plan.system)
            typed = as_number(held, symbol, share=field.unit == "share")
        return self._accepted(field, typed, place)

    def _accepted(self, field: Field, typed: Typed, place: str) -> Any:
        if typed.problem:
            self.report.error("input-unread", place, f"'{field.label}': {typed.problem}", typed.mend or "type it anew")
            return None
        if typed.note:
            self.report.note("input-read", place, f"'{field.label}': {typed.note}")
        value = typed.value
        if value is None or value == "":
            return None
        if field.kind == "choice" and "." not in field.choices:
            return self._code(field, str(value))
        if isinstance(value, float) and field.kind != "posted" and field.unit != "clock":
            least, most = bounds(field, self.plan)
            if not least <= value <= most:
                self.report.error(
                    "input-bounds", place, f"'{field.label}' is {value:g}, but {least:g} to {most:g} is allowed",
                    "type a number within the bounds",
                )  # fmt: skip
                return None
        if isinstance(value, dt.datetime):
            return value.date()
        return value

    def _code(self, field: Field, word: str) -> str:
        """Return the code behind a word of a list; a word that is not in it stays as typed, for the engine to refuse."""
        if field.choices not in self.codes:
            records = self.plan.book.blocks[field.choices].records
            self.codes[field.choices] = {_one_line(r["word"]).casefold(): str(r["code"]) for r in records}
        return self.codes[field.choices].get(_one_line(word).casefold(), word)

    def _twins(self, found: dict[tuple[str, str], tuple[Any, ...]]) -> None:
        """Report names that stand twice in a list from which others choose: they would be one and the same."""
        sources = {field.choices for _, field in self.plan.entered() if "." in field.choices}
        for source in sorted(sources):
            block_name, field_name = source.split(".")
            block: Block = self.plan.book.blocks[block_name]
            field = block.field(field_name)
            assert field is not None
            seen: dict[str, int] = {}
            for record, name in enumerate(found[block_name, field_name]):
                key = _one_line(name).casefold() if name is not None else ""
                if key and key in seen:
                    cell = self.plan.spot(block_name, field_name).cell(record)
                    self.report.look(
                        "name-twice", self.where(cell.sheet, cell.row, cell.column),
                        f"'{name}' is already the name in row {seen[key] + 1} of the table", "give each its own name",
                    )  # fmt: skip
                seen.setdefault(key, record)


def _one_line(text: object) -> str:
    """Return a text without doubled, leading and trailing spaces."""
    return " ".join(str(text).split())


def _same_words(typed: object, words: str) -> bool:
    return _one_line(typed).casefold() == words.casefold()
