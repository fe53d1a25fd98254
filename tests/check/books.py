"""A small book that keeps every rule, and ways to break it."""

from __future__ import annotations

import datetime as dt
from typing import TYPE_CHECKING, Any

import xlsxwriter

if TYPE_CHECKING:
    from pathlib import Path

TYPES = {"Start": "start", "Inputs": "inputs", "Sums": "calculation", "Checks": "checks"}
INPUT = {"bg_color": "#FFF6DA", "border": 1, "locked": False}
VALIDATION = {
    "validate": "decimal", "criteria": "between", "minimum": 0, "maximum": 100,
    "input_title": "Length", "input_message": "In feet.", "error_title": "Length", "error_message": "0 to 100 ft.",
}  # fmt: skip


class Sound:
    """The book; change it through ``book``, ``sheets`` and ``form`` before ``save``."""

    def __init__(self, path: Path, *, rows: int = 5, validation: dict[str, Any] | None = None, print_area: bool = True, chart: bool = True, without: str = "") -> None:
        self.path = path
        self.book = xlsxwriter.Workbook(str(path))
        self.sheets = {name: self.book.add_worksheet(name) for name in TYPES}
        self.without = without
        self._made: dict[tuple[Any, ...], Any] = {}
        state = self.form(num_format="@")
        entered, computed = self.form(num_format="0.00", **INPUT), self.form(num_format="0.00")
        for name, sheet in self.sheets.items():
            sheet.write_string(0, 0, "" if without == "title" else f"{name} sheet")
            if without != "description":
                sheet.write_string(1, 0, "What this sheet is for")
            if name == "Checks":
                sheet.write_string(3, 1, "OK", state)
            elif without != "state" or name != "Sums":
                sheet.write_formula(2, 1, "=the_state" if name == "Start" else "=Checks!$B$4", state, "OK")
            if without != "protect":
                sheet.protect()
            if without != "freeze":
                sheet.freeze_panes(3, 0)
            if print_area:
                sheet.print_area(0, 0, 30, 5)
            if without != "repeat":
                sheet.repeat_rows(0, 1)
            if without != "fit":
                sheet.fit_to_pages(1, 0)
            sheet.set_paper(5 if without == "paper" else 1)
            sheet.set_footer("" if without == "footer" else "&Lbook 2026-01-01&R&P / &N")
        for number, name in enumerate(TYPES):
            if name != "Start" and without != "links":
                self.sheets["Start"].write_url(4 + number, 0, f"internal:'{name}'!A1", self.form(font_color="#0B5394"), name)
        inputs, sums = self.sheets["Inputs"], self.sheets["Sums"]
        for row in range(rows):
            inputs.write_number(3 + row, 1, row + 1.0, entered)
            sums.write_formula(3 + row, 1, f"=Inputs!B{row + 4}*factor", computed, 2.0 * (row + 1))
        inputs.data_validation(3, 1, 2 + rows, 1, validation or VALIDATION)
        inputs.set_selection("B4" if without != "cursor" else "A1")
        inputs.write_number(3, 3, 2.0, computed)
        self.book.define_name("the_state", "=Checks!$B$4")
        self.book.define_name("factor", "=Inputs!$D$4")
        self.book.define_name("numbers", f"=Inputs!$B$4:$B${3 + rows}")
        if without != "properties":
            self.book.set_properties({"title": "Sound", "author": "Firm", "created": dt.datetime(2026, 1, 1)})  # noqa: DTZ001
            self.book.set_custom_property("Language", "en-US", "text")
        self.sheets["Sums" if without == "active" else "Start"].activate()
        if chart:
            self._chart(without)

    def _chart(self, without: str) -> None:
        drawn = self.book.add_chart({"type": "column"})
        drawn.add_series({"values": "=Sums!$B$4:$B$8"})
        if without != "chart title":
            drawn.set_title({"name": "Sums"})
        else:
            drawn.set_title({"none": True})
        drawn.set_x_axis({"name": "Row"})
        if without != "axis title":
            drawn.set_y_axis({"name": "Area in ft²"})
        self.sheets["Sums"].insert_chart(12, 0, drawn, {} if without == "alt" else {"description": "Sums by row"})

    def form(self, **properties: Any) -> Any:
        return self.book.add_format(properties)

    def save(self) -> Path:
        self.book.close()
        return self.path
