"""A compiled template and its values become a workbook file. The only place that saves a workbook of ours."""

from __future__ import annotations

import datetime as dt
import itertools
import textwrap
from collections.abc import Callable
from pathlib import Path
from typing import Any

import xlsxwriter
from xlsxwriter.exceptions import FileCreateError
from xlsxwriter.worksheet import Worksheet

from sheetgen import units
from sheetgen.book import chart, cover, headers, letterhead
from sheetgen.book.contents import Contents, Value
from sheetgen.book.defined import defined_names
from sheetgen.book.linked import link_formula
from sheetgen.book.number_forms import cases, condition, plain_form
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
from sheetgen.book.style import Styles, default_width, number_format
from sheetgen.book.template import COMPUTED, ENTERED, SCENARIOS, TEXT_SIZE, Field, Sheet
from sheetgen.book.validate import rule
from sheetgen.book.widths import Widths
from sheetgen.picture import Picture

# Words beside a row that say what is wrong run over the empty cells to their right.
_STATE_LENGTH = 30
# Height of one line of plain text [point].
_LINE_HEIGHT = 15
# Widths count digits of 11 points; letters of plain text of the usual size are narrower [letter per digit].
_LETTERS = 1.14


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
        # Rows of the present sheet that are not as high as others, by number [point].
        self.heights: dict[int, float] = {}

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
        self.heights = {}
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
        high = letterhead.high(sum(self.heights.get(row, self.line) for row in self._rows_of(beside)))
        printed = {column: width for column, width in self.wide.columns.items() if column <= self.wide.printed}
        letterhead.put_picture(worksheet, picture, beside.first_row, high, printed, self.words)

    @property
    def line(self) -> float:
        """Height of a line of a text that is broken into lines [point]."""
        return _LINE_HEIGHT

    def _rows_of(self, part: PlacedPart) -> list[int]:
        """Return the rows of a block that are there to be seen."""
        return list(range(part.first_row, part.last_row + 1))

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
            headers.write(worksheet, self.styles, self.plan, part)
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
        """Make the rows higher whose texts are broken into lines or large: not every program does it by itself."""
        high = dict.fromkeys(self._rows_of(part), part.part.high)
        for field in part.fields:
            usual = self.wide.value if part.layout == "fields" else default_width(field.unit)
            width = int((field.width or usual) * _LETTERS * TEXT_SIZE / self.styles.size)
            for place, cell in self.plan.places(part.block, field) if field.wrap or part.part.letterhead else ():
                text = str(self.contents.value(part.block, field, place.record, place.scenario) or "")
                if cell.row not in high:
                    continue
                if part.part.letterhead:
                    high[cell.row] = letterhead.height(text, self._letter_size(field, text), self.wide.value)
                elif len(text) > width:
                    high[cell.row] = max(high[cell.row], self.line * len(textwrap.wrap(text, width)))
        if high and part.part.letterhead and self.picture is not None:
            # A picture is not cut by what comes under a short block.
            high[min(high)] += letterhead.high(sum(high.values())) - sum(high.values())
        for row, points in high.items():
            if points:
                self._high(worksheet, row, points)

    def _high(self, worksheet: Any, row: int, points: float) -> None:
        self.heights[row] = points
        worksheet.set_row(row, points)

    def _letter_size(self, field: Field, text: str) -> int:
        """Return the size of a line of a letterhead [point]."""
        return letterhead.size_of(text, self.wide.value, name=field.strong)

    def _labels(self, worksheet: Any, part: PlacedPart, field: Field) -> None:
        kind = part.layout
        if part.part.letterhead:
            return
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
        form = plain_form(field)
        wrapped = {"text_wrap": True} if field.wrap else {}
        if kind == "show" and (field.runs or field.name == "look"):
            self.wide.runs(self.plan.spot(block.name, field.name).column, field.runs or _STATE_LENGTH)
        if kind in ENTERED:
            self._inputs(worksheet, part, field, self.styles.entered(form, **wrapped))
        elif kind in COMPUTED:
            self._computed(worksheet, part, field, form)
        elif kind == "stamp":
            cell = self.plan.spot(block.name, field.name).cell()
            worksheet.write_string(cell.row, cell.column, self.stamp.texts()[field.name], self.styles.constant("@"))
        else:
            self._fixed(worksheet, part, field, self.styles.constant(form, **wrapped))
        self._cases(worksheet, part, field)

    def _computed(self, worksheet: Any, part: PlacedPart, field: Field, form: str) -> None:
        """Write the formulas of a field with their values."""
        block, kind = part.block, field.kind
        own: dict[str, Any] = {"align": "right"} if field.right else {}
        if field.strong if kind == "formula" else field.wrap:
            own["bold" if kind == "formula" else "text_wrap"] = True

        def look(form: str, **more: Any) -> Any:
            return (self.styles.computed if kind == "formula" else self.styles.shown)(form, **{**own, **more})

        usual = look(form)
        value_of: Callable[..., Value] = (
            self.contents.formula if kind == "formula" else lambda place: self.contents.shown(block, field, place)
        )
        text_of, put, same = self.contents.compiled.text, worksheet.write_formula, self._all_alike(part)
        for place, cell in self.plan.places(block, field):
            value = value_of(place)
            one = usual if same else self._look(part, field, place, value, look)
            put(cell.row, cell.column, text_of(place), one, "" if value is None else value)

    def _all_alike(self, part: PlacedPart) -> bool:
        """Return whether all cells of a field look the same."""
        return not part.part.strong and not part.part.letterhead

    def _look(self, part: PlacedPart, field: Field, place: Place, value: Value, look: Callable[..., Any]) -> Any:
        """Return the look of one cell, where those of a field are not all alike."""
        if part.part.letterhead:
            return self.styles.letter(self._letter_size(field, str(value or "")))
        base = self.book.blocks[part.block.base]
        bold = part.part.strong and base.records[place.record]["code"] in part.part.strong
        return look(self._form(field, value), **({"bold": True} if bold else {}))

    def _form(self, field: Field, value: Value) -> str:  # noqa: ARG002 - the cases of a book follow the value by themselves
        """Return the number format of one value."""
        return plain_form(field)

    def _cases(self, worksheet: Any, part: PlacedPart, field: Field) -> None:
        """Let the number formats of a field follow its numbers, whatever they become."""
        for scenario in range(len(SCENARIOS) if part.block.kind == "scenario" else 1):
            spot = self.plan.spot(part.block.name, field.name)
            first, last = spot.cell(0, scenario), spot.cell(spot.records - 1, scenario)
            for case in cases(field, self.plan.system):
                rule = {
                    "type": "formula", "criteria": condition(case, first.a1.rpartition("!")[2]),
                    "format": self.styles.only_form(case.form), "stop_if_true": True,
                }  # fmt: skip
                worksheet.conditional_format(first.row, first.column, last.row, last.column, rule)

    def _inputs(self, worksheet: Any, part: PlacedPart, field: Field, look: Any) -> None:
        typed: list[tuple[Place, Address]] = []
        for place, cell in self.plan.places(part.block, field):
            value = self.contents.entered(field, place)
            target = self.contents.links.get(place)
            if target is not None:
                linked = self.styles.entered(plain_form(field), linked=True)
                worksheet.write_formula(cell.row, cell.column, link_formula(field, target), linked, "" if value is None else value)
                continue
            typed.append((place, cell))
            if value is None:
                worksheet.write_blank(cell.row, cell.column, None, look)
            elif isinstance(value, str):
                worksheet.write_string(cell.row, cell.column, value, look)
            else:
                one = self.styles.entered(self._form(field, value)) if field.form else look
                worksheet.write_number(cell.row, cell.column, value, one)
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
