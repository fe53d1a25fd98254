"""Small workbooks for the tests, written as people think of them: a cell, and what stands in it."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import xlsxwriter
from xlsxwriter.utility import xl_cell_to_rowcol

from sheetgen.reader.raw import RawBook, read_raw

if TYPE_CHECKING:
    from pathlib import Path

Cells = dict[str, Any]


def saved(path: Path, sheets: dict[str, Cells], names: dict[str, str] | None = None) -> Path:
    """Write a workbook; text from = on is a formula, from '= on is text, and a pair is a formula with its stored value."""
    book = xlsxwriter.Workbook(str(path))
    for name, cells in sheets.items():
        sheet = book.add_worksheet(name)
        for address, content in cells.items():
            row, column = xl_cell_to_rowcol(address)
            if isinstance(content, tuple):
                sheet.write_formula(row, column, content[0], None, content[1])
            elif isinstance(content, str) and content.startswith("="):
                sheet.write_formula(row, column, content, None, 0)
            elif isinstance(content, str):
                sheet.write_string(row, column, content.removeprefix("'"))
            else:
                sheet.write(row, column, content)
    for name, target in (names or {}).items():
        book.define_name(name, target)
    book.close()
    return path


def read(path: Path, sheets: dict[str, Cells], names: dict[str, str] | None = None) -> RawBook:
    return read_raw(saved(path, sheets, names))


def column(letter: str, first: int, formula: str, count: int) -> Cells:
    """A formula for each of ``count`` rows; {row}, {above} and {below} stand for the row numbers."""
    rows = range(first, first + count)
    return {f"{letter}{row}": formula.format(row=row, above=row - 1, below=row + 1) for row in rows}
