"""One sheet of a book as a page to send: values and words only, blank rows closed up, nothing of the book behind it."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator
from pathlib import Path
from typing import Any

from sheetgen.book.contents import Contents, Value
from sheetgen.book.plan import ABOUT_ROW, STATE_ROW, TITLE_ROW, Address, PlacedPart, Plan
from sheetgen.book.screen import page
from sheetgen.book.stamp import Stamp
from sheetgen.book.style import EDGE, INK, Styles, number_format
from sheetgen.book.template import ENTERED, Field, Sheet
from sheetgen.book.write import Writer
from sheetgen.picture import Picture


def write_page(
    path: Path, contents: Contents, sheet: Sheet, *, made_on: dt.date, author: str = "", picture: Picture | None = None
) -> dict[Address, Value]:
    """Write one sheet of a book as a workbook of its own.

    Parameters
    ----------
    path : Path
        Where the file is made; it must not matter if it is left half written.
    contents : Contents
        What stands in the cells of the book.
    sheet : Sheet
        Which sheet.
    made_on : datetime.date
        Day written into the properties.
    author : str
        Firm, for the properties; blank for none.
    picture : Picture, optional
        The firm's.

    Returns
    -------
    dict of Address to str or float
        Every value of the book that stands on the page, by its cell there.
    """
    stamp = Stamp.of(contents.plan, "", made_on)
    writer = _PageWriter(path, contents, stamp, author, picture)
    writer.page(sheet)
    return writer.put


class _Plain(Styles):
    """Looks of a page that nobody types into: one look for every value."""

    def entered(self, form: str, *, linked: bool = False) -> Any:  # noqa: ARG002 - the book's own look has it
        return self._value(form)

    def computed(self, form: str, **more: Any) -> Any:
        return self._value(form, **more)

    def shown(self, form: str, **more: Any) -> Any:
        return self._value(form, **more)

    def constant(self, form: str, **more: Any) -> Any:
        return self._value(form, **more)

    @property
    def head(self) -> Any:
        """Header of a column: a line under it, no fill."""
        return self.get(bold=True, bottom=1, bottom_color=INK, text_wrap=True, valign="bottom")

    def _value(self, form: str, **more: Any) -> Any:
        words = form == "@" or form == number_format("date")
        return self.get(num_format=form, bottom=1, bottom_color=EDGE, align="left" if words else "right", **more)


class _Closed:
    """A worksheet whose dropped rows are closed up, and in which a formula is its value.

    Parameters
    ----------
    worksheet : xlsxwriter.worksheet.Worksheet
        What is written to.
    rows : dict of int to int
        New row by row of the book; rows that are not there are dropped [0-based].
    """

    def __init__(self, worksheet: Any, rows: dict[int, int]) -> None:
        self._worksheet = worksheet
        self.rows = rows

    def write_string(self, row: int, column: int, text: str, look: Any) -> None:
        if row in self.rows:
            self._worksheet.write_string(self.rows[row], column, text, look)

    def write_number(self, row: int, column: int, number: float, look: Any) -> None:
        if row in self.rows:
            self._worksheet.write_number(self.rows[row], column, number, look)

    def write_blank(self, row: int, column: int, _: None, look: Any) -> None:
        if row in self.rows:
            self._worksheet.write_blank(self.rows[row], column, None, look)

    def write_formula(self, row: int, column: int, _: str, look: Any, value: Value) -> None:
        if value is None or value == "":
            self.write_blank(row, column, None, look)
        elif isinstance(value, str):
            self.write_string(row, column, value, look)
        else:
            self.write_number(row, column, value, look)

    def write_url(self, row: int, column: int, _: str, look: Any, text: str) -> None:
        self.write_string(row, column, text, look)

    def data_validation(self, *_: Any) -> None:
        """Leave out what helps typing."""

    def set_row(self, row: int, height: float) -> None:
        if row in self.rows:
            self._worksheet.set_row(self.rows[row], height)

    def insert_image(self, row: int, column: int, name: str, look: dict[str, Any]) -> None:
        # The block beside it may have lost rows, never its first kept one.
        kept = next(self.rows[one] for one in sorted(self.rows) if one >= row)
        self._worksheet.insert_image(kept, column, name, look)

    def __getattr__(self, name: str) -> Any:
        return getattr(self._worksheet, name)


class _PageWriter(Writer):
    def page(self, sheet: Sheet) -> None:
        """Write the page."""
        self.put: dict[Address, Value] = {}
        self.styles = _Plain(self.workbook)
        title = self.plan.title(sheet)
        parts = [part for part in self.plan.parts if part.sheet == title]
        self.rows = _kept_rows(self.plan, self.contents, sheet, parts)
        worksheet = self.workbook.add_worksheet(title)
        self.sheets[title] = _Closed(worksheet, self.rows)
        made = dt.datetime.combine(self.stamp.made_on, dt.time(), tzinfo=dt.UTC).replace(tzinfo=None)
        self.workbook.set_properties({"title": title, "author": self.author, "created": made})
        self._sheet(sheet, parts)
        self.workbook.close()
        for part in parts:
            for field, record, row, column, value in _values(self.plan, self.contents, part):
                if row in self.rows and value not in (None, "") and field.kind != "stamp" and record >= 0:
                    self.put[Address(title, self.rows[row], column)] = value

    def _state_line(self, worksheet: Any) -> None:
        """Leave out what is for the contractor alone."""

    def _finish(self, worksheet: Any, sheet: Sheet, parts: list[PlacedPart], last_row: int, last_column: int) -> None:  # noqa: ARG002
        worksheet.hide_gridlines(2)
        page(worksheet, self.plan, sheet, (max(self.rows.values(), default=0), last_column), margin=0.6)
        worksheet.set_footer("&R&8&P / &N")


def _values(plan: Plan, contents: Contents, part: PlacedPart) -> Iterator[tuple[Field, int, int, int, Value]]:
    """Yield field, record, row, column and value of every cell of a part."""
    for field in part.fields:
        for place, cell in plan.places(part.block, field):
            if field.kind == "show":
                value = contents.shown(part.block, field, place)
            elif field.kind in ENTERED:
                value = contents.entered(field, place)
            elif field.kind == "formula":
                value = contents.formula(place)
            else:
                value = contents.value(part.block, field, place.record, None)
            yield field, place.record, cell.row, cell.column, value


def _kept_rows(plan: Plan, contents: Contents, sheet: Sheet, parts: list[PlacedPart]) -> dict[int, int]:
    """Return the new row of each row that says something."""
    kept = {TITLE_ROW, *range(plan.notes_rows[plan.title(sheet)], plan.notes_rows[plan.title(sheet)] + len(sheet.notes))}
    ends = set()
    for part in parts:
        body = {row for field, _, row, _, value in _values(plan, contents, part) if field.kind == "note" or value not in (None, "")}
        if not body:
            continue
        kept |= body | {row for row in (part.title_row, part.note_row, part.header_row) if row is not None}
        if part.header_row is not None and part.block.kind == "scenario" and part.block.over:
            kept.add(part.header_row - 1)
        ends.add(max(body))
    rows: dict[int, int] = {}
    new = 0
    for row in sorted(kept - {ABOUT_ROW, STATE_ROW}):
        rows[row] = new
        # A free row after the title, and after each part.
        new += 2 if row == TITLE_ROW or row in ends else 1
    return rows
