"""The person's own sheets: where they are, and their formulas, found without building anything of the sheet."""

from __future__ import annotations

import html
import io
import re
from collections.abc import Iterator
from typing import Any, Final, NamedTuple

from lxml import etree

from sheetgen.host.package import Package
from sheetgen.reader.archive import SAVE, refuse
from sheetgen.reader.limits import Limits
from sheetgen.reader.package import RELATION_ID, local
from sheetgen.reader.scan import check_loose
from sheetgen.reader.shared import COLUMNS

# Formulas as most programs write them, without a prefix before the tag: by far the quickest to find is what begins with "<f".
_FORMULA: Final = re.compile(rb"<f(?:\s([^<>]*?))?(?:/>|>([^<]*)</f\s*>)")
_ANY_FORMULA: Final = re.compile(rb"<f[\s>/]")
_WITH_PREFIX: Final = re.compile(rb":f[\s>/]")
_CELL: Final = re.compile(rb"""<c\s(?:[^<>]*?\s)?r=["']([A-Z]{1,3})([1-9]\d{0,6})["'][^<>]*>\s*""")
_ANY_CELL: Final = re.compile(rb"<(?:\w+:)?c[\s>/]")
_SHARED: Final = re.compile(rb"""(?:^|\s)t=["']shared["']""")
_MARK: Final = re.compile(rb"""(?:^|\s)si=["'](\d+)["']""")


class FormulaAt(NamedTuple):
    """A formula cell as it is written: 1-based row and column [count], text, and the mark of those that share one."""

    row: int
    column: int
    text: str
    shared: str | None


def worksheets(host: Package, workbook: str) -> dict[str, str]:
    """Return the part of each worksheet by the name on its tab, in tab order."""
    lines = {line.id: line for line in host.relationships(workbook)}
    found: dict[str, str] = {}
    for group in host.tree(workbook):
        for tab in group if local(group.tag) == "sheets" else ():
            line = lines.get(tab.get(RELATION_ID[0], ""))
            part = host.spelt(line.target) if line is not None else None
            if line is not None and part is not None and line.kind == "worksheet":
                found[tab.get("name", "")] = part
    return found


def last_shown(host: Package, workbook: str) -> str:
    """Return the name on the last tab that is not hidden."""
    tabs = [tab for group in host.tree(workbook) if local(group.tag) == "sheets" for tab in group]
    shown = [tab for tab in tabs if tab.get("state", "visible") == "visible"]
    return str((shown or tabs)[-1].get("name", ""))


def formulas(host: Package, sheets: dict[str, str], limits: Limits) -> dict[str, list[FormulaAt]]:
    """Return the formula cells of sheets.

    Parameters
    ----------
    host : Package
        The workbook.
    sheets : dict of str to str
        Part of each sheet by its name.
    limits : Limits
        Profile of the gate: these sheets are given to a spreadsheet program.

    Raises
    ------
    Refused
        A sheet declares a document type, is damaged, or all together have too many cells.
    """
    found = {}
    most = 0
    for name, part in sheets.items():
        data = host.read(part)
        place = f"{host.path.name} {name}"
        check_loose(data, place)
        most += data.count(b"<c") + data.count(b":c")
        found[name] = _formulas(data, place)
    if most > limits.cells:
        cells = sum(1 for part in sheets.values() for _ in _ANY_CELL.finditer(host.read(part)))
        if cells > limits.cells:
            what = f"cells: {cells:,}, {cells - limits.cells:,} over {limits.cells:,}"
            raise refuse("book-cells", host.path.name, what, "delete what lies outside the used area, or give a smaller workbook")
    return found


def _formulas(data: bytes, place: str) -> list[FormulaAt]:
    end = data.rfind(b"sheetData>")
    if _WITH_PREFIX.search(data, 0, end) is None:
        quick = list(_quickly(data, end))
        if len(quick) == sum(1 for _ in _ANY_FORMULA.finditer(data, 0, end)):
            return quick
    # Prefixes, cells without an address, and texts that are written in an unusual way.
    try:
        return list(_slowly(data))
    except etree.XMLSyntaxError as error:
        raise refuse("xml-damaged", place, f"the XML is damaged ({error.msg})", SAVE) from error


def _quickly(data: bytes, end: int) -> Iterator[FormulaAt]:
    for found in _FORMULA.finditer(data, 0, end):
        cell = _CELL.fullmatch(data, data.rfind(b"<c", 0, found.start()), found.start())
        if cell is not None:
            text = html.unescape((found[2] or b"").decode("utf-8", "replace"))
            yield FormulaAt(int(cell[2]), COLUMNS.get(cell[1].decode(), 0), text, _mark(found[1] or b""))


def _mark(attributes: bytes) -> str | None:
    found = _MARK.search(attributes) if _SHARED.search(attributes) else None
    return found[1].decode() if found else None


def _slowly(data: bytes) -> Iterator[FormulaAt]:
    row = column = 0
    options: dict[str, Any] = {"resolve_entities": False, "no_network": True, "load_dtd": False}
    for event, element in etree.iterparse(io.BytesIO(data), events=("start", "end"), tag=("{*}row", "{*}c"), **options):
        name = local(element.tag)
        if event == "start" and name == "row":
            row, column = int(element.get("r", row + 1)), 0
        elif event == "end" and name == "c":
            letters = element.get("r", "").rstrip("0123456789")
            column = COLUMNS.get(letters, 0) if letters else column + 1
            formula = next((child for child in element if local(child.tag) == "f"), None)
            if formula is not None:
                shared = formula.get("si") if formula.get("t") == "shared" else None
                yield FormulaAt(row, column, formula.text or "", shared)
        elif event == "end":
            element.clear()
