"""The cells of one sheet part: what each holds, and the formula behind it."""

from __future__ import annotations

import datetime as dt
from typing import TYPE_CHECKING, Any, Final, Literal, NamedTuple

from sheetgen.reader.package import namespace_of
from sheetgen.reader.serial import to_serial
from sheetgen.reader.shared import COLUMNS, SharedFormula
from sheetgen.reader.text import item_text, unescape

if TYPE_CHECKING:
    from sheetgen.reader.formats import Formats

Kind = Literal["number", "text", "bool", "error", "blank"]
Place = tuple[int, int]

_TRUE: Final = frozenset({"1", "true"})


class RawCell(NamedTuple):
    """One cell as it was saved.

    A named tuple and not an attrs class: a book has tens of thousands, and this is three times as
    quick to make.

    Parameters
    ----------
    value : float, str, bool or None
        What it holds or, behind a formula, what was last computed; an error is its text.
    kind : str
        ``number``, ``text``, ``bool``, ``error`` or ``blank``.
    formula : str or None
        Without the equals sign, as the cell itself would have it.
    is_date : bool
        Whether the number is shown as a date or a time.
    style : int
        Index into the book's formats.
    array : bool
        Whether the formula is an array formula or a data table.
    """

    value: float | str | bool | None
    kind: Kind
    formula: str | None = None
    is_date: bool = False
    style: int = 0
    array: bool = False


def read_cells(root: Any, strings: list[str], formats: Formats, *, date1904: bool) -> tuple[dict[int, int], dict[Place, RawCell]]:
    """Read all cells of a sheet.

    Parameters
    ----------
    root : lxml element
        The sheet part.
    strings : list of str
        The book's shared strings.
    formats : Formats
        What the style indices mean.
    date1904 : bool
        Whether the book counts days from 1904.

    Returns
    -------
    row_styles : dict
        Style index of rows that have one of their own.
    cells : dict
        Cell by (row, column).
    """
    namespace = namespace_of(root)
    reading = _Reading(namespace, strings, formats.dates, date1904=date1904)
    row_tag = f"{{{namespace}}}row"
    for group in root.iterchildren(f"{{{namespace}}}sheetData"):
        row = 0
        for line in group.iterchildren(row_tag):
            row = int(line.get("r") or row + 1)
            if line.get("customFormat") in _TRUE:
                reading.row_styles[row] = int(line.get("s") or 0)
            reading.read_row(line, row)
    return reading.row_styles, reading.cells


class _Reading:
    """What is shared by the rows of one sheet while it is read."""

    def __init__(self, namespace: str, strings: list[str], dates: frozenset[int], *, date1904: bool) -> None:
        self.cells: dict[Place, RawCell] = {}
        self.row_styles: dict[int, int] = {}
        self._namespace = namespace
        self._strings = strings
        self._dates = dates
        self._date1904 = date1904
        self._shared: dict[str, SharedFormula] = {}
        self._blanks: dict[int, RawCell] = {}

    def read_row(self, line: Any, row: int) -> None:
        """Read the cells of one row; a cell without a reference stands after the one before."""
        value_tag, formula_tag = f"{{{self._namespace}}}v", f"{{{self._namespace}}}f"
        inline_tag, cell_tag = f"{{{self._namespace}}}is", f"{{{self._namespace}}}c"
        cells, blanks, dates, strings = self.cells, self._blanks, self._dates, self._strings
        column, digits = 0, len(str(row))
        for element in line.iterchildren(cell_tag):
            reference = element.get("r")
            # the gate has made sure that a reference names this row
            column = COLUMNS[reference[:-digits]] if reference else column + 1
            place = (row, column)
            style = int(element.get("s") or 0)
            text: str | None = None
            formula: str | None = None
            array = False
            for child in element:
                tag = child.tag
                if tag == value_tag:
                    text = child.text or ""
                elif tag == formula_tag:
                    formula, array = self._formula(child, place)
                elif tag == inline_tag:
                    text = item_text(child, self._namespace)
            kind = element.get("t")
            if text is None and formula is None:
                cell = blanks.get(style)
                if cell is None:
                    cell = blanks[style] = RawCell(None, "blank", None, False, style)  # noqa: FBT003
                cells[place] = cell
            elif kind == "s" and text is not None and formula is None:
                cells[place] = RawCell(strings[int(text)], "text", None, False, style)  # noqa: FBT003
            elif kind is None or kind == "n":
                number = float(text) if text else None
                shown: Kind = "blank" if number is None else "number"
                cells[place] = RawCell(number, shown, formula, number is not None and style in dates, style, array)
            else:
                value, meant, is_date = self._other(kind, text)
                cells[place] = RawCell(value, meant, formula, is_date, style, array)

    def _other(self, kind: str, text: str | None) -> tuple[float | str | bool | None, Kind, bool]:
        if text is None:
            return None, "blank", False
        if kind == "s":
            return self._strings[int(text)], "text", False
        if kind == "b":
            return text.strip() in _TRUE, "bool", False
        if kind == "e":
            return text, "error", False
        if kind == "d":
            serial = _iso_serial(text, date1904=self._date1904)
            return (text, "text", False) if serial is None else (serial, "number", True)
        return (text if kind == "inlineStr" else unescape(text)), "text", False

    def _formula(self, element: Any, place: Place) -> tuple[str, bool]:
        kind = element.get("t")
        text = element.text or ""
        if kind == "shared":
            index = element.get("si", "")
            if text:
                self._shared[index] = SharedFormula(text, *place)
            elif index in self._shared:
                text = self._shared[index].at(*place)
        elif kind == "dataTable":
            text = f"TABLE({element.get('r1', '')},{element.get('r2', '')})"
        return unescape(text), kind in {"array", "dataTable"}


def _iso_serial(text: str, *, date1904: bool) -> float | None:
    try:
        moment = dt.datetime.fromisoformat(text.strip())
    except ValueError:
        return None
    return to_serial(moment.replace(tzinfo=None), date1904=date1904)
