"""A compiled template and its values become a workbook file. The only place that saves a workbook of ours."""

from __future__ import annotations

import datetime as dt
import io
import itertools
import textwrap
from collections.abc import Callable
from pathlib import Path
from typing import Any

import xlsxwriter
from xlsxwriter.exceptions import FileCreateError
from xlsxwriter.worksheet import Worksheet

from sheetgen import units
from sheetgen.book import chart, cover
from sheetgen.book.contents import Contents, Value
from sheetgen.book.defined import defined_names
from sheetgen.book.linked import link_formula
from sheetgen.book.plan import (
    ABOUT_ROW,
    CHECK_MEND,
    CHECK_STATE,
    CHECK_TOLERANCE,
    LABEL,
    NOTE,
    STATE_ROW,
    TITLE_ROW,
    UNIT,
    Address,
    Place,
    PlacedPart,
    Plan,
    column_name,
)
from sheetgen.book.screen import protect, set_up
from sheetgen.book.stamp import Stamp
from sheetgen.book.states import check_state_formula, state_formula
from sheetgen.book.style import EDGE, HEAD_FILL, Styles, default_width, number_format
from sheetgen.book.template import SCENARIOS, Block, Field, Sheet
from sheetgen.book.validate import rule
from sheetgen.book.widths import Widths
from sheetgen.picture import Picture

# Words beside a row that say what is wrong run over the empty cells to their right.
_STATE_LENGTH = 30
# Height of a plain row, and the most width of the firm's picture [pixel].
_ROW_PIXELS, _PICTURE_PIXELS = 20, 260
# Height of one line of plain text [point].
_LINE_HEIGHT = 15
# Widths count digits of 11 points; letters of plain text are narrower [letter per digit].
_LETTERS = 1.1


def write(path: Path, contents: Contents, stamp: Stamp, author: str = "", picture: Picture | None = None) -> None:
    """Write a workbook; the same contents and stamp give the same bytes.

    Parameters
    ----------
    path : Path
        Where the file is made; it must not matter if it is left half written.
    contents : Contents
        What stands in the cells.
    stamp : Stamp
        What the book says of itself.
    author : str
        Firm of the rate book; "sheetgen" where it is blank.
    picture : Picture, optional
        The firm's, where a sheet has a place for it.

    Raises
    ------
    KeyError
        A formula has no engine value.
    OSError
        The file cannot be written.
    """
    try:
        Writer(path, contents, stamp, author, picture).write()
    except FileCreateError as error:
        # The library wraps what the system says; the step that hands the book out asks for the system's own.
        raise error.args[0] from error


class _Sheet(Worksheet):  # type: ignore[misc]  # the library carries no types
    def _prepare_formula(self, formula: str, expand_future_functions: bool = False) -> str:  # noqa: ARG002, FBT001, FBT002
        # The library looks for 29 newer functions in each formula; the whitelist has none of them.
        return formula.removeprefix("=")


class _Book(xlsxwriter.Workbook):  # type: ignore[misc]  # the library carries no types
    worksheet_class = _Sheet


class Writer:
    """Writes a book; `page` writes one sheet of it.

    Parameters
    ----------
    path, contents, stamp, author, picture
        As `write` takes them.
    """

    def __init__(self, path: Path, contents: Contents, stamp: Stamp, author: str, picture: Picture | None) -> None:
        self.picture = picture
        self.contents = contents
        self.plan: Plan = contents.plan
        self.book = self.plan.book
        self.stamp = stamp
        self.workbook: Any = _Book(
            str(path),
            {"strings_to_formulas": False, "strings_to_urls": False, "strings_to_numbers": False, "in_memory": True},
        )
        self.styles = Styles(self.workbook)
        self.author = author or "sheetgen"
        self.sheets: dict[str, Any] = {}
        self.words = self.book.words
        self.wide = Widths(self.plan, self.book.sheets[0])

    def write(self) -> None:
        """Write every sheet."""
        for sheet in self.book.sheets:
            self.sheets[self.plan.title(sheet)] = self.workbook.add_worksheet(self.plan.title(sheet))
        self._properties()
        self._names()
        parts: dict[str, list[PlacedPart]] = {}
        for part in self.plan.parts:
            parts.setdefault(part.sheet, []).append(part)
        for sheet in self.book.sheets:
            self._sheet(sheet, parts.get(self.plan.title(sheet), []))
        self.workbook.close()

    def _properties(self) -> None:
        # The time is the day of the stamp: a clock would make two equal books differ.
        made = dt.datetime.combine(self.stamp.made_on, dt.time(), tzinfo=dt.UTC).replace(tzinfo=None)
        self.workbook.set_properties({"title": self.book.title, "author": self.author, "created": made})
        for name, text in self.stamp.properties().items():
            self.workbook.set_custom_property(name, text, "text")
        self.workbook.set_custom_property("Language", self.words.get("language", "en-US"), "text")

    def _names(self) -> None:
        for name, (first, last) in defined_names(self.plan).items():
            sheet = first.sheet.replace("'", "''")
            start = f"${column_name(first.column)}${first.row + 1}"
            end = f"${column_name(last.column)}${last.row + 1}"
            self.workbook.define_name(name, f"='{sheet}'!{start}" + ("" if first == last else f":{end}"))

    def _sheet(self, sheet: Sheet, parts: list[PlacedPart]) -> None:
        worksheet = self.sheets[self.plan.title(sheet)]
        self.wide = Widths(self.plan, sheet)
        self.styles.size = sheet.size
        worksheet.write_string(TITLE_ROW, 0, sheet.title, self.styles.title)
        self._run(worksheet, ABOUT_ROW, 0, sheet.about, self.styles.about)
        self._state_line(worksheet)
        row = self.plan.notes_rows[self.plan.title(sheet)]
        for number, note in enumerate(sheet.notes):
            self._run(worksheet, row + number, 0, note, self.styles.note)
        for part in parts:
            self._part(worksheet, part)
            self.wide.add(part)
        for column, width in self.wide.columns.items():
            worksheet.set_column(column, column, width)
        last_row = self.plan.used_rows[self.plan.title(sheet)]
        if sheet.type == "start":
            last_row = cover.write(worksheet, self.styles, self.contents, last_row, self._run)
        chart.add(self.workbook, worksheet, sheet, self.plan, self.contents)
        if self.picture is not None and sheet.picture:
            self._picture(worksheet, self.picture, next(part for part in parts if part.block.name == sheet.picture))
        self._finish(worksheet, sheet, parts, last_row, self.wide.last_column())

    def _picture(self, worksheet: Any, picture: Picture, beside: PlacedPart) -> None:
        """Put the firm's picture beside a block of fields, as high as the block."""
        high = (beside.last_row - beside.first_row + 1) * _ROW_PIXELS
        scale = min(high / picture.height, _PICTURE_PIXELS / picture.width)
        look = {
            "image_data": io.BytesIO(picture.data), "x_scale": scale, "y_scale": scale,
            "description": self.words["picture"], "object_position": 2,
        }  # fmt: skip
        worksheet.insert_image(beside.first_row, UNIT, f"picture.{picture.kind}", look)

    def _run(self, worksheet: Any, row: int, column: int, text: str, look: Any) -> None:
        """Write text that may run over the empty cells to its right."""
        worksheet.write_string(row, column, text, look)
        self.wide.runs(column, len(text))

    def _state_line(self, worksheet: Any) -> None:
        worksheet.write_string(STATE_ROW, 0, self.words["checks"], self.styles.unit)
        cell = state_formula(self.plan)
        value = self.contents.master_state()
        worksheet.write_formula(STATE_ROW, 1, cell, self.styles.state, value)

    def _finish(self, worksheet: Any, sheet: Sheet, parts: list[PlacedPart], last_row: int, last_column: int) -> None:
        protect(worksheet, parts)
        set_up(worksheet, self.plan, sheet, parts, (last_row, last_column))
        made = self.stamp.made_on.isoformat()
        # The space parts the size from an id that begins with a digit.
        worksheet.set_footer(f"&L&8 {self.stamp.book_id} · {made}&C&8&A&R&8&P / &N")

    def _part(self, worksheet: Any, part: PlacedPart) -> None:
        if part.title_row is not None:
            worksheet.write_string(part.title_row, 0, part.part.title, self.styles.part)
        if part.note_row is not None:
            self._run(worksheet, part.note_row, 0, part.part.note, self.styles.part_note)
        if part.header_row is not None:
            self._headers(worksheet, part)
        if part.part.numbered and part.layout != "across":
            number = self.styles.constant("0")
            for record in range(part.records):
                worksheet.write_number(part.first_row + record, 0, record + 1, number)
        if part.block.kind == "list":
            for record, values in enumerate(part.block.records):
                worksheet.write_string(part.first_row + record, 0, str(values["code"]), self.styles.constant("@"))
        for field in part.fields:
            self._labels(worksheet, part, field)
            self._cells(worksheet, part, field)
        self._heights(worksheet, part)

    def _heights(self, worksheet: Any, part: PlacedPart) -> None:
        """Make the rows higher whose texts are broken into lines: not every program does it by itself."""
        lines: dict[int, int] = {}
        for field in part.fields:
            width = int((field.width or default_width(field.unit)) * _LETTERS)
            for place, cell in self.plan.places(part.block, field) if field.wrap else ():
                text = str(self.contents.value(part.block, field, place.record, place.scenario) or "")
                if len(text) > width:
                    lines[cell.row] = max(lines.get(cell.row, 1), len(textwrap.wrap(text, width)))
        for row, count in lines.items():
            worksheet.set_row(row, _LINE_HEIGHT * count)

    def _headers(self, worksheet: Any, part: PlacedPart) -> None:
        row, head, kind = part.header_row, self.styles.head, part.layout
        words = self.words
        assert row is not None
        if part.part.numbered and kind != "across":
            worksheet.write_string(row, 0, words["number_header"], head)
        if kind == "checks":
            for column, word in enumerate(("check", "state", "value", "tolerance", "mend")):
                worksheet.write_string(row, column, words[f"{word}_header"], head)
            return
        if kind == "list":
            worksheet.write_string(row, 0, words["code_header"], head)
        if kind == "across" or (kind == "scenario" and not part.block.over):
            worksheet.write_string(row, 0, words["label_header"], head)
            worksheet.write_string(row, 1, words["unit_header"], head)
            count = part.records if kind == "across" else len(SCENARIOS)
            for number in range(count):
                if kind == "across":
                    worksheet.write_number(row, 2 + number, number + 1, self._counted(part.block, number))
                else:
                    worksheet.write_string(row, 2 + number, words[SCENARIOS[number]], head)
            return
        groups = len(SCENARIOS) if kind == "scenario" else 1
        lines = 1
        for field in part.fields:
            text = self._titled(field)
            width = field.width or default_width(field.unit)
            lines = max(lines, -(-len(text) // max(int(width) - 1, 1)) + text.count("\n"))
            for group in range(groups):
                cell = self.plan.spot(part.block.name, field.name).cell(0, group)
                worksheet.write_string(row, cell.column, text, head)
        worksheet.set_row(row, 14 * min(max(lines, 2), 5))
        if kind == "scenario":
            for group in range(groups):
                first = self.plan.spot(part.block.name, part.fields[0].name).cell(0, group).column
                for column in range(first, first + len(part.fields)):
                    text = words[SCENARIOS[group]] if column == first else ""
                    worksheet.write_string(row - 1, column, text, self.styles.group)

    def _counted(self, block: Block, record: int) -> Any:
        """Return the look of a number over a column of an across block, which formulas may use: it shows as words."""
        listed = self.book.blocks[block.over] if block.over else None
        word = listed.records[record]["word"] if listed and listed.kind == "list" else None
        form = f'"{word}"' if word else f'"{block.heading} "0' if block.heading else "0"
        return self.styles.get(bold=True, bg_color=HEAD_FILL, border=1, border_color=EDGE, num_format=form)

    def _titled(self, field: Field) -> str:
        symbol = units.symbol(field.unit, self.plan.system)
        return f"{field.label}\n{symbol}" if symbol else field.label

    def _labels(self, worksheet: Any, part: PlacedPart, field: Field) -> None:
        kind = part.layout
        if kind not in {"fields", "checks", "across"} and not (kind == "scenario" and not part.block.over):
            return
        row = self.plan.spot(part.block.name, field.name).row
        if field.link:
            target = self.plan.title(self.book.sheet(field.link))
            worksheet.write_url(row, LABEL, f"internal:'{target}'!A1", self.styles.link, field.label)
        else:
            worksheet.write_string(row, LABEL, field.label, self.styles.strong if field.strong else self.styles.label)
        if kind == "checks":
            self._check(worksheet, part, field, row)
            return
        # A share carries its percent sign in the cell itself.
        symbol = "" if field.unit == "share" and kind == "fields" else units.symbol(field.unit, self.plan.system)
        if symbol:
            worksheet.write_string(row, UNIT if kind == "fields" else 1, symbol, self.styles.unit)
        if kind == "fields" and field.note:
            self._run(worksheet, row, NOTE, field.note, self.styles.note)

    def _check(self, worksheet: Any, part: PlacedPart, field: Field, row: int) -> None:
        spot = self.plan.spot(part.block.name, field.name)
        value = self.contents.value(part.block, field, 0, None)
        tolerance = self.styles.constant(number_format("number"))
        worksheet.write_number(row, CHECK_TOLERANCE, field.tolerance, tolerance)
        worksheet.write_formula(
            row, CHECK_STATE, check_state_formula(self.plan, part.block, spot), self.styles.state,
            self.contents.check_state(part.block, field, value) or "",
        )  # fmt: skip
        self._run(worksheet, row, CHECK_MEND, field.note, self.styles.note)

    def _cells(self, worksheet: Any, part: PlacedPart, field: Field) -> None:
        block, kind = part.block, field.kind
        form = number_format(field.unit, field.name)
        wrapped = {"text_wrap": True} if field.wrap else {}
        if kind == "show" and (field.runs or field.name == "look"):
            self.wide.runs(self.plan.spot(block.name, field.name).column, field.runs or _STATE_LENGTH)
        if kind in {"input", "choice"}:
            self._inputs(worksheet, part, field, self.styles.entered(form))
        elif kind in {"formula", "show"}:
            strong = {"bold": True} if field.strong else {}
            look = self.styles.computed(form, **strong) if kind == "formula" else self.styles.shown(form, **wrapped)
            value_of: Callable[..., Value] = (
                self.contents.formula if kind == "formula" else lambda place: self.contents.shown(block, field, place)
            )
            text_of, put = self.contents.compiled.text, worksheet.write_formula
            for place, cell in self.plan.places(block, field):
                value = value_of(place)
                put(cell.row, cell.column, text_of(place), look, "" if value is None else value)
        elif kind == "stamp":
            cell = self.plan.spot(block.name, field.name).cell()
            worksheet.write_string(cell.row, cell.column, self.stamp.texts()[field.name], self.styles.constant("@"))
        else:
            self._fixed(worksheet, part, field, self.styles.constant(form, **wrapped))

    def _inputs(self, worksheet: Any, part: PlacedPart, field: Field, look: Any) -> None:
        typed: list[tuple[Place, Address]] = []
        for place, cell in self.plan.places(part.block, field):
            value = self.contents.entered(field, place)
            target = self.contents.links.get(place)
            if target is not None:
                linked = self.styles.entered(number_format(field.unit, field.name), linked=True)
                worksheet.write_formula(cell.row, cell.column, link_formula(field, target), linked, "" if value is None else value)
                continue
            typed.append((place, cell))
            if value is None:
                worksheet.write_blank(cell.row, cell.column, None, look)
            elif isinstance(value, str):
                worksheet.write_string(cell.row, cell.column, value, look)
            else:
                worksheet.write_number(cell.row, cell.column, value, look)
        # A linked cell has no rule: each run of cells between such has one of its own.
        for _, run in itertools.groupby(enumerate(typed), lambda item: item[1][0].record - item[0]):
            cells = [cell for _, (_, cell) in run]
            first, last = cells[0], cells[-1]
            validation = rule(field, self.plan, first.a1.rpartition("!")[2])
            worksheet.data_validation(first.row, first.column, last.row, last.column, validation)

    def _fixed(self, worksheet: Any, part: PlacedPart, field: Field, look: Any) -> None:
        for place, cell in self.plan.places(part.block, field):
            value = self.contents.value(part.block, field, place.record, None)
            if isinstance(value, str):
                worksheet.write_string(cell.row, cell.column, value, look)
            elif value is not None:
                worksheet.write_number(cell.row, cell.column, value, look)
            elif field.kind == "posted":
                worksheet.write_blank(cell.row, cell.column, None, look)
