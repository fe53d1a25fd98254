"""The cells of a workbook straight from its parts: values, formulas, styles, names, properties."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, Final

import attrs
from lxml import etree

from sheetgen.reader.archive import SAVE, refuse
from sheetgen.reader.cells import RawCell, read_cells
from sheetgen.reader.formats import Formats, read_formats
from sheetgen.reader.gate import Inspected, SheetPart, inspect
from sheetgen.reader.limits import BOOK, Limits
from sheetgen.reader.package import Package, Relationship, local, target_of
from sheetgen.reader.sheet_scan import is_whole
from sheetgen.reader.text import read_shared_strings

if TYPE_CHECKING:
    import os
    from pathlib import Path

    from sheetgen.reader.gate import Wanted

__all__ = ["RawBook", "RawCell", "RawSheet", "read_raw"]

_TRUE: Final = frozenset({"1", "true"})


@attrs.frozen
class RawSheet:
    """One worksheet.

    Parameters
    ----------
    name : str
        As its tab says.
    state : str
        ``visible``, ``hidden`` or ``veryHidden``.
    part : str
        Its name in the zip.
    root : lxml element
        The whole part, for rules about its structure.
    cells : dict
        Cell by (row, column), both from 1; only what the file writes down.
    protected : bool
        Whether the sheet's protection is on.
    """

    name: str
    state: str
    part: str
    root: Any = attrs.field(repr=False, eq=False)
    cells: dict[tuple[int, int], RawCell] = attrs.field(repr=False)
    protected: bool
    _row_styles: dict[int, int] = attrs.field(repr=False)
    _column_styles: tuple[tuple[int, int, int], ...] = attrs.field(repr=False)

    def style_at(self, row: int, column: int) -> int:
        """Return the style index of a place, whether or not a cell is written there."""
        cell = self.cells.get((row, column))
        if cell is not None:
            return cell.style
        if row in self._row_styles:
            return self._row_styles[row]
        for first, last, style in self._column_styles:
            if first <= column <= last:
                return style
        return 0


@attrs.frozen
class RawBook:
    """A workbook as it was saved, nothing interpreted.

    Parameters
    ----------
    path : Path
        Where it was read from.
    sheets : tuple of RawSheet
        Worksheets in tab order; chart sheets are left out.
    names : dict
        Text behind each defined name of the whole book, such as ``Start!$B$4``.
    sheet_names : dict
        The same for names that belong to one sheet, by that sheet.
    date1904 : bool
        Whether dates count from 1904.
    core, custom : dict
        Document properties; the core ones by their local name, such as ``title``.
    application : str or None
        The program that saved it, as it says itself.
    formats : tuple of str
        Number format by style index.
    unlocked_styles : frozenset of int
        Style indices whose cells may be typed into on a protected sheet.
    inspected : Inspected
        What the gate saw.
    """

    path: Path
    sheets: tuple[RawSheet, ...]
    names: dict[str, str]
    sheet_names: dict[str, dict[str, str]]
    date1904: bool
    core: dict[str, str]
    custom: dict[str, str]
    application: str | None
    formats: tuple[str, ...] = attrs.field(repr=False)
    unlocked_styles: frozenset[int] = attrs.field(repr=False)
    inspected: Inspected = attrs.field(repr=False, eq=False)

    def sheet(self, name: str) -> RawSheet | None:
        """Return a sheet by name, whatever its case, as a spreadsheet program would."""
        wanted = name.casefold()
        return next((sheet for sheet in self.sheets if sheet.name.casefold() == wanted), None)

    def cell(self, sheet: str, row: int, column: int) -> RawCell | None:
        """Return a cell, or None where the sheet or the cell is not written down."""
        found = self.sheet(sheet)
        return None if found is None else found.cells.get((row, column))

    def locked(self, sheet: str, row: int, column: int) -> bool:
        """Return whether a place is locked once its sheet is protected."""
        found = self.sheet(sheet)
        return found is None or found.style_at(row, column) not in self.unlocked_styles


def read_raw(path: str | os.PathLike[str], limits: Limits = BOOK, wanted: Wanted | None = None) -> RawBook:
    """Read a workbook that somebody saved, after the gate has let it through.

    Parameters
    ----------
    path : path-like
        The file; it is read once and never written.
    limits : Limits
        Which profile of the gate.
    wanted : callable, optional
        Told the root of the workbook part and the names of all tabs, returns those that are read; all by default. As the gate
        has it, some may be read as if they held only certain cells and formulas.

    Returns
    -------
    RawBook
        Sheets, names and properties.

    Raises
    ------
    Refused
        The gate refuses it, or a part cannot be parsed.
    """
    inspected = inspect(path, limits, wanted)
    try:
        return _read_book(inspected)
    except etree.XMLSyntaxError as error:
        what = f"the XML is damaged ({error.msg})"
        raise refuse("xml-damaged", inspected.path.name, what, SAVE) from error


def _read_book(inspected: Inspected) -> RawBook:
    package = inspected.package
    related = package.relationships(inspected.workbook)
    documents = package.relationships()

    def tree(lines: tuple[Relationship, ...], kind: str) -> Any | None:
        return package.tree(target_of(lines, kind))

    root = package.tree(inspected.workbook)
    formats = read_formats(tree(related, "styles"))
    strings = read_shared_strings(tree(related, "sharedStrings"))
    properties = _children(root, "workbookPr")
    date1904 = any(line.get("date1904") in _TRUE for line in properties)
    highest = max((int(text) for text in inspected.tally.styles), default=0)
    if highest >= len(formats.codes):
        what = f"a cell has the style {highest}, which does not exist"
        raise refuse("style-missing", inspected.path.name, what, SAVE)
    sheets = tuple(_read_sheet(package, sheet, strings, formats, date1904=date1904) for sheet in inspected.sheets)
    names, sheet_names = _defined_names(root, inspected.tabs)
    application = _texts(tree(documents, "extended-properties")).get("Application")
    return RawBook(
        path=inspected.path,
        sheets=sheets,
        names=names,
        sheet_names=sheet_names,
        date1904=date1904,
        core=_texts(tree(documents, "core-properties")),
        custom=_custom(tree(documents, "custom-properties")),
        application=application or None,
        formats=formats.codes,
        unlocked_styles=formats.unlocked,
        inspected=inspected,
    )


def _read_sheet(package: Package, sheet: SheetPart, strings: list[str], formats: Formats, *, date1904: bool) -> RawSheet:
    root = package.tree(sheet.part)
    protection = _children(root, "sheetProtection")
    rows, cells = read_cells(root, strings, formats, date1904=date1904)
    columns = tuple(
        (_whole(line.get("min")), _whole(line.get("max")), _whole(line.get("style")))
        for group in _children(root, "cols")
        for line in group
        if line.get("style")
    )
    return RawSheet(
        name=sheet.name,
        state=sheet.state,
        part=sheet.part,
        root=root,
        cells=cells,
        protected=any(line.get("sheet") in _TRUE for line in protection),
        row_styles=rows,
        column_styles=columns,
    )


def _whole(text: str | None) -> int:
    return int(text) if text and is_whole(text) else 0


def _children(root: Any, name: str) -> list[Any]:
    return [child for child in root if local(child.tag) == name]


def _defined_names(root: Any, tabs: tuple[str, ...]) -> tuple[dict[str, str], dict[str, dict[str, str]]]:
    names: dict[str, str] = {}
    sheet_names: dict[str, dict[str, str]] = {}
    for group in _children(root, "definedNames"):
        for line in group:
            where = line.get("localSheetId")
            if where is None:
                names[line.get("name", "")] = line.text or ""
            elif where.isdecimal() and int(where) < len(tabs):
                owner = sheet_names.setdefault(tabs[int(where)], {})
                owner[line.get("name", "")] = line.text or ""
    return names, sheet_names


def _texts(root: Any | None) -> dict[str, str]:
    if root is None:
        return {}
    return {local(line.tag): line.text for line in root if line.text and not len(line)}


def _custom(root: Any | None) -> dict[str, str]:
    if root is None:
        return {}
    return {line.get("name", ""): line[0].text or "" for line in root if len(line)}
