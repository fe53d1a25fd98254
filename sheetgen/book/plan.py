"""The plan of a book: every field's sheet and cell, and every defined name, from template, units and row counts.

One plan serves writer, checker and reader.
"""

from __future__ import annotations

import functools
from collections.abc import Iterator, Mapping
from typing import Final, NamedTuple

import attrs

from sheetgen.book.prefix import name_prefix
from sheetgen.book.template import PAIR, SCENARIOS, Block, Book, Field, Part, Sheet
from sheetgen.units import System

TITLE_ROW: Final = 0
ABOUT_ROW: Final = 1
STATE_ROW: Final = 2
FIRST_FREE_ROW: Final = 3
CHART_ROWS: Final = 18
LABEL, VALUE, UNIT, NOTE = 0, 1, 2, 3
CHECK_STATE, CHECK_VALUE, CHECK_TOLERANCE, CHECK_MEND = 1, 2, 3, 4


@functools.cache
def column_name(column: int) -> str:
    """Return the letters of a 0-based column [count]."""
    letters = ""
    number = column + 1
    while number:
        number, rest = divmod(number - 1, 26)
        letters = chr(65 + rest) + letters
    return letters


class Address(NamedTuple):  # a plain tuple: a book has tens of thousands
    """One cell: sheet title, 0-based row and column."""

    sheet: str
    row: int
    column: int

    @property
    def a1(self) -> str:
        """Return the cell as people write it: ``Takeoff!B7``."""
        return f"{self.sheet}!{column_name(self.column)}{self.row + 1}"


@attrs.frozen
class Spot:
    """Where the cells of one field stand: the first one, and the steps to the next record and scenario."""

    sheet: str
    row: int
    column: int
    record_rows: int
    record_columns: int
    scenario_columns: int
    records: int

    def cell(self, record: int = 0, scenario: int = 0) -> Address:
        """Return the cell of a 0-based record [count] and scenario [count]."""
        return Address(
            self.sheet,
            self.row + record * self.record_rows,
            self.column + record * self.record_columns + scenario * self.scenario_columns,
        )


@attrs.frozen
class PlacedPart:
    """A part of a sheet with its rows: title, note, header (None where there is none), first and last of the body."""

    sheet: str
    part: Part
    block: Block
    fields: tuple[Field, ...]
    title_row: int | None
    note_row: int | None
    header_row: int | None
    first_row: int
    last_row: int
    records: int
    width: int

    @property
    def layout(self) -> str:
        """Return how the part is laid out: the kind of its block, or rows where an across block is turned."""
        return layout_of(self.block, self.part)


def layout_of(block: Block, part: Part) -> str:
    """Return how a part of a block is laid out."""
    return "rows" if block.kind == "across" and part.turned else block.kind


class Place(NamedTuple):
    """One field of a block in one cell."""

    block: str
    field: str
    record: int
    scenario: int | None

    @property
    def name(self) -> str:
        """Return ``block.field``."""
        return f"{self.block}.{self.field}"


def _without_empty(book: Book, rows: Mapping[str, int]) -> Book:
    """Return a template without the tables that have no row in this book, and without the sheets that hold nothing else."""
    empty = {block.name for block in book.blocks.values() if block.kind == "rows" and rows.get(block.name, block.rows) == 0}
    if not empty:
        return book
    sheets = (attrs.evolve(sheet, parts=tuple(part for part in sheet.parts if part.block not in empty)) for sheet in book.sheets)
    blocks = {name: block for name, block in book.blocks.items() if name not in empty}
    return attrs.evolve(book, sheets=tuple(sheet for sheet in sheets if sheet.parts), blocks=blocks)


class Plan:
    """Every cell of a book.

    Parameters
    ----------
    book : Book
        The template.
    system : {'us', 'metric'}
        Units of the book.
    rows : Mapping of str to int
        Row counts that differ from the template's, by block [count].
    prefix : str
        Put before each sheet title and, made legal, before each defined name.
    """

    def __init__(self, book: Book, system: System, rows: Mapping[str, int] | None = None, prefix: str = "") -> None:
        self.row_counts = dict(rows or {})
        self.book = _without_empty(book, self.row_counts)
        self.system = system
        self.prefix = prefix
        self.parts: list[PlacedPart] = []
        self.spots: dict[tuple[str, str], Spot] = {}
        self.numbers: dict[str, Spot] = {}
        self.notes_rows: dict[str, int] = {}
        self.chart_rows: dict[str, list[int]] = {}
        self.used_rows: dict[str, int] = {}
        for sheet in self.book.sheets:
            self._lay(sheet)

    def defined(self, name: str) -> str:
        """Return a defined name as it is called in this book."""
        return f"{name_prefix(self.prefix)}{name}"

    def title(self, sheet: Sheet) -> str:
        """Return the title of a sheet in this book."""
        return f"{self.prefix}{sheet.title}"

    def records(self, block: Block) -> int:
        """Return how many records a block has prepared [count]."""
        if block.kind == "list":
            return len(block.records)
        if block.over:
            second = self.records(self.book.blocks[block.second]) if block.second else 1
            return self.records(self.book.blocks[block.over]) * second
        if block.kind in {"fields", "checks", "scenario"}:
            return 1
        return self.row_counts.get(block.name, block.rows)

    def pair(self, block: Block, record: int) -> dict[str, int]:
        """Return the two numbers, from 1, of a 0-based record of a cross block [count]."""
        over, second = divmod(record, self.records(self.book.blocks[block.second]))
        return dict(zip(PAIR, (over + 1, second + 1), strict=True))

    def spot(self, block: str, field: str) -> Spot:
        """Return where a field stands."""
        return self.spots[block, field]

    def cell(self, place: Place) -> Address:
        """Return the cell of a place."""
        return self.spots[place.block, place.field].cell(place.record, place.scenario or 0)

    def places(self, block: Block, field: Field) -> Iterator[tuple[Place, Address]]:
        """Yield every place of a field with its cell."""
        spot = self.spots[block.name, field.name]
        scenarios: tuple[int | None, ...] = tuple(range(len(SCENARIOS))) if block.kind == "scenario" else (None,)
        down, right = spot.record_rows, spot.record_columns
        for scenario in scenarios:
            sheet, row, column = spot.cell(0, scenario or 0)
            for record in range(spot.records):
                yield (
                    Place(block.name, field.name, record, scenario),
                    Address(sheet, row + record * down, column + record * right),
                )

    def entered(self) -> Iterator[tuple[Block, Field]]:
        """Yield every field that a person fills, with its block."""
        for block, field in self.book.fields():
            if field.kind in {"input", "choice"} and field.stands_in(self.system):
                yield block, field

    def posted(self) -> Iterator[tuple[Block, Field]]:
        """Yield every field that the tool takes over from filled books, with its block."""
        for block, field in self.book.fields():
            if field.kind == "posted" and field.stands_in(self.system):
                yield block, field

    def _lay(self, sheet: Sheet) -> None:
        title = self.title(sheet)
        row = FIRST_FREE_ROW
        self.notes_rows[title] = row
        row += len(sheet.notes) + 1
        rows = self.chart_rows[title] = [0] * len(sheet.charts)
        for part in sheet.parts:
            row = self._leave_room(sheet, part.block, row, rows)
            row = self._place(sheet, part, row) + (0 if part.above else 1)
        self.used_rows[title] = self._leave_room(sheet, "", row, rows)

    def _leave_room(self, sheet: Sheet, before: str, row: int, rows: list[int]) -> int:
        """Leave rows free for the charts that stand before a block, or after all parts; return the next row."""
        for number, chart in enumerate(sheet.charts):
            if chart.get("before", "") == before:
                rows[number] = row
                row += int(chart.get("rows", CHART_ROWS)) + 1
        return row

    def _place(self, on: Sheet, part: Part, row: int) -> int:
        sheet = self.title(on)
        block = self.book.blocks[part.block]
        fields = tuple(
            field
            for name in part.fields
            if (field := block.field(name)) is not None and field.stands_in(self.system)
        )
        title_row = note_row = header_row = None
        if part.above:
            title_row = row  # it stands in the row itself, left of the values
        elif part.title:
            title_row, row = row, row + 1
        if part.note:
            note_row, row = row, row + 1
        if block.kind != "fields" and not part.above and not part.plain:
            header_row, row = row, row + 1
            if block.kind == "scenario" and block.over:
                row += 1  # a second header row: the scenario stands above its group of columns
                header_row += 1
        records = self.records(block)
        height, width = self._over(on, part, fields, row) if part.above else self._spots(sheet, part, block, fields, row)
        self.parts.append(
            PlacedPart(
                sheet, part, block, fields, title_row, note_row, header_row, row, row + height - 1, records, width
            )
        )
        return row + height

    def _over(self, on: Sheet, part: Part, fields: tuple[Field, ...], row: int) -> tuple[int, int]:
        """Place one row of fields, each over its column of the table below."""
        table = next(one for one in on.parts if one.block == part.above)
        block = self.book.blocks[table.block]
        columns = [name for name in table.fields if (held := block.field(name)) is not None and held.stands_in(self.system)]
        for field in fields:
            column = columns.index(field.column or field.name) + (1 if table.numbered else 0)
            self.spots[part.block, field.name] = Spot(self.title(on), row, column, 1, 0, 0, 1)
        return 1, len(columns) + (1 if table.numbered else 0)

    def _spots(self, sheet: str, part: Part, block: Block, fields: tuple[Field, ...], row: int) -> tuple[int, int]:
        records = self.records(block)
        first = 1 if part.numbered else 0
        if part.numbered and layout_of(block, part) == "across":
            # The header row of an across block already counts the records.
            self.numbers[block.name] = Spot(sheet, row - 1, 2, 0, 1, 0, records)
        elif part.numbered:
            self.numbers[block.name] = Spot(sheet, row, 0, 1, 0, 0, records)
        if block.kind == "list":
            self.spots[block.name, "code"] = Spot(sheet, row, 0, 1, 0, 0, records)
            first = 1
        for index, field in enumerate(fields):
            if block.kind == "fields":
                spot = Spot(sheet, row + index, VALUE, 0, 0, 0, 1)
            elif block.kind == "checks":
                spot = Spot(sheet, row + index, CHECK_VALUE, 0, 0, 0, 1)
            elif layout_of(block, part) == "across":
                spot = Spot(sheet, row + index, 2, 0, 1, 0, records)
            elif block.kind == "scenario" and not block.over:
                spot = Spot(sheet, row + index, 2, 0, 0, 1, 1)
            elif block.kind == "scenario":
                spot = Spot(sheet, row, first + index, 1, 0, len(fields), records)
            else:
                spot = Spot(sheet, row, first + index, 1, 0, 0, records)
            self.spots[block.name, field.name] = spot
        if layout_of(block, part) == "across":
            return len(fields), 2 + records
        if block.kind in {"fields", "checks"}:
            return len(fields), 4 if block.kind == "fields" else 5
        if block.kind == "scenario" and not block.over:
            return len(fields), 2 + len(SCENARIOS)
        groups = len(SCENARIOS) if block.kind == "scenario" else 1
        return records, first + len(fields) * groups
