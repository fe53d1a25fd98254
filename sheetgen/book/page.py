"""One sheet of a book as a page to send: values and words only, blank rows closed up, nothing of the book behind it."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any, Final

from sheetgen.book.contents import Contents, Value
from sheetgen.book.number_forms import form_of
from sheetgen.book.plan import ABOUT_ROW, STATE_ROW, TITLE_ROW, Address, Place, PlacedPart, Plan
from sheetgen.book.screen import page
from sheetgen.book.sheaf import breaks
from sheetgen.book.stamp import Stamp
from sheetgen.book.style import EDGE, INK, QUIET, Styles, number_format
from sheetgen.book.template import ENTERED, Field, Sheet
from sheetgen.book.write import Writer
from sheetgen.picture import Picture

_MARGINS: Final = (0.6, 0.5)
# Heights of the title, of a free row, of one between what belongs together, and of a plain one; the air of a row of a table [point].
_TITLE_HIGH, _FREE_HIGH, _NEAR_HIGH, _PLAIN_HIGH, _AIR = 27.0, 6.5, 3.0, 14.0, 2.5
_LEADING: Final = 1.23
_MOST_FOOTER: Final = 100


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
    writer.firm = author
    writer.page(sheet)
    return writer.put


class _Plain(Styles):
    """Looks of a page that nobody types into: dark words, quiet labels, thin lines between rows, no fill, so that it prints black."""

    # The line under each row of the present part: none, or a thin one; where words of a row stand that others make higher.
    line, stand = 0, "vcenter"
    before_unit, head_letters = ", ", 1.2

    def entered(self, form: str, *, linked: bool = False, **more: Any) -> Any:  # noqa: ARG002 - the book's own look has it
        return self._value(form, **more)

    def computed(self, form: str, **more: Any) -> Any:
        return self._value(form, **more)

    def shown(self, form: str, **more: Any) -> Any:
        return self._value(form, **more)

    def constant(self, form: str, **more: Any) -> Any:
        return self._value(form, **more)

    def head(self, align: str = "left") -> Any:
        """Header of a column: quiet and small, nearer to its numbers than to the title."""
        return self.get(font_color=QUIET, font_size=self.size - 1, text_wrap=True, valign="bottom", align=align)

    @property
    def free(self) -> Any:
        """A cell that carries nothing but the line under its row."""
        return self.get(bottom=self.line, bottom_color=EDGE)

    @property
    def rule(self) -> Any:
        """A cell of the line under a letterhead."""
        return self.get(top=2, top_color=INK)

    @property
    def title(self) -> Any:
        """Title of the page."""
        return self.get(bold=True, font_size=18)

    @property
    def part(self) -> Any:
        """Title of a part."""
        return self.get(bold=True, font_size=self.size + 2, bottom=1, bottom_color=INK, valign="bottom")

    @property
    def label(self) -> Any:
        """Label of a field."""
        return self.get(font_color=QUIET, text_wrap=True, valign="top")

    def _value(self, form: str, **more: Any) -> Any:
        words = form == "@" or form == number_format("date")
        align = "left" if words else "right"
        return self.get(**{"num_format": form, "bottom": self.line, "bottom_color": EDGE, "align": align, "valign": self.stand, **more})


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
        self.plain = worksheet
        self.rows = rows
        # By new row [point].
        self.heights = {**dict.fromkeys(range(max(rows.values(), default=0) + 1), _FREE_HIGH), **dict.fromkeys(rows.values(), _PLAIN_HIGH)}

    def write_string(self, row: int, column: int, text: str, look: Any) -> None:
        if row in self.rows:
            self.plain.write_string(self.rows[row], column, text, look)

    def write_number(self, row: int, column: int, number: float, look: Any) -> None:
        if row in self.rows:
            self.plain.write_number(self.rows[row], column, number, look)

    def write_blank(self, row: int, column: int, _: None, look: Any) -> None:
        if row in self.rows:
            self.plain.write_blank(self.rows[row], column, None, look)

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

    def conditional_format(self, *_: Any) -> None:
        """Leave out what follows a number that may change: here none does."""

    def set_row(self, row: int, height: float) -> None:
        if row in self.rows:
            self.heights[self.rows[row]] = height

    def insert_image(self, row: int, column: int, name: str, look: dict[str, Any]) -> None:
        # The block beside it may have lost rows, never its first kept one.
        kept = next(self.rows[one] for one in sorted(self.rows) if one >= row)
        self.plain.insert_image(kept, column, name, look)

    def __getattr__(self, name: str) -> Any:
        return getattr(self.plain, name)


class _PageWriter(Writer):
    firm = ""

    def page(self, sheet: Sheet) -> None:
        """Write the page."""
        self.put: dict[Address, Value] = {}
        self.styles: _Plain = _Plain(self.workbook)
        title = self.plan.title(sheet)
        parts = [part for part in self.plan.parts if part.sheet == title]
        self.rows = _kept_rows(self.plan, self.contents, sheet, parts)
        self.columns = max((part.width for part in parts), default=0)
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

    @property
    def line(self) -> float:
        return self.styles.size * _LEADING

    def _rows_of(self, part: PlacedPart) -> list[int]:
        return [row for row in super()._rows_of(part) if row in self.rows]

    def _part(self, worksheet: Any, part: PlacedPart) -> None:
        table = part.header_row is not None
        self.styles.line, self.styles.stand = int(table), "vcenter" if table else "bottom" if part.part.high else "top"
        for row in self._rows_of(part):
            self._across(worksheet, row, self.styles.free)
        if part.title_row is not None:
            self._across(worksheet, part.title_row, self.styles.part)
            worksheet.set_row(part.title_row, _PLAIN_HIGH + _AIR)
            if part.part.plain and part.title_row in self.rows:
                worksheet.heights[self.rows[part.title_row] + 1] = _NEAR_HIGH
        if part.part.plain and part.title_row is None and (rows := self._rows_of(part)):
            # Without a title it goes on with what is above it.
            worksheet.heights[self.rows[rows[0]] - 1] = _NEAR_HIGH
        super()._part(worksheet, part)
        for row in () if part.part.letterhead else self._rows_of(part):
            # Every row of a table has air, of other parts those that are broken into lines: so one sees where the next begins.
            if table or worksheet.heights[self.rows[row]] > max(_PLAIN_HIGH, part.part.high):
                worksheet.set_row(row, worksheet.heights[self.rows[row]] + _AIR)

    def _across(self, worksheet: Any, row: int, look: Any) -> None:
        for column in range(self.columns):
            worksheet.write_blank(row, column, None, look)

    def _all_alike(self, part: PlacedPart) -> bool:  # noqa: ARG002 - in a book most fields are
        return False

    def _look(self, part: PlacedPart, field: Field, place: Place, value: Value, look: Callable[..., Any]) -> Any:
        if part.part.plain and field is part.fields[0]:
            return look(self._form(field, value), font_color=QUIET)
        return super()._look(part, field, place, value, look)

    def _form(self, field: Field, value: Value) -> str:
        form = form_of(field, self.plan.system, value)
        return f'{form};"−"{form}' if isinstance(value, float) and value < 0 and ";" not in form else form

    def _finish(self, worksheet: Any, sheet: Sheet, parts: list[PlacedPart], last_row: int, last_column: int) -> None:  # noqa: ARG002
        worksheet.hide_gridlines(2)
        worksheet.set_row(TITLE_ROW, _TITLE_HIGH)
        for part in parts:
            if part.part.letterhead and (rows := self._rows_of(part)):
                under = max(map(self.rows.__getitem__, rows)) + 1
                for column in range(self.columns):
                    worksheet.plain.write_blank(under, column, None, self.styles.rule)
        for row, high in worksheet.heights.items():
            worksheet.plain.set_row(row, high)
        widths = [width for column, width in self.wide.columns.items() if column <= last_column]
        worksheet.set_h_pagebreaks(breaks(self.plan.system, widths, worksheet.heights, self._together(parts), _MARGINS))
        page(worksheet, self.plan, sheet, (max(self.rows.values(), default=0), last_column), margins=_MARGINS)
        said = f"{self.firm} · {sheet.title}" if self.firm and len(self.firm) <= _MOST_FOOTER else sheet.title
        worksheet.set_footer(f"&L&8 {said.replace('&', '&&')}&R&8&P / &N")

    def _together(self, parts: list[PlacedPart]) -> list[list[int]]:
        """Return the rows of each part on the page, with its title and headers; one that goes on with the part above is of it."""
        found: list[list[int]] = []
        for part in parts:
            rows = (part.title_row, part.note_row, part.header_row, *self._rows_of(part))
            kept = sorted(self.rows[row] for row in rows if row is not None and row in self.rows)
            if found and part.part.plain and part.title_row is None:
                found[-1].extend(kept)
            else:
                found.append(kept)
        return found


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
    # Rows after which one stays free: the last of each part, and the title of one without headers.
    ends = {part.title_row for part in parts if part.part.plain}
    for part in parts:
        body = {row for field, _, row, _, value in _values(plan, contents, part) if field.kind == "note" or value not in (None, "")}
        if not body:
            continue
        kept |= body | {row for row in (part.title_row, part.note_row, part.header_row) if row is not None}
        if part.header_row is not None and part.block.kind == "scenario" and part.block.over:
            kept.add(part.header_row - 1)
        ends.add(max(body))
    # A letterhead comes before the title of the page.
    first = {row for part in parts if part.part.letterhead for row in range(part.first_row, part.last_row + 1)}
    rows: dict[int, int] = {}
    new = 0
    for row in sorted(kept - {ABOUT_ROW, STATE_ROW}, key=lambda row: (row not in first, row)):
        rows[row] = new
        new += 2 if row in ends else 1
    return rows
