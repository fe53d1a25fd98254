"""Sheets that were renamed, moved, copied or deleted, rows and columns that were put in or taken out: all back in place.

Where everything that can be typed into is found again, it can still be read. Where not, the book is refused.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping
from typing import TYPE_CHECKING, Final, Literal

import attrs

from sheetgen.book.defined import defined_names
from sheetgen.book.linked import linked_to
from sheetgen.book.plan import column_name
from sheetgen.book.prefix import name_prefix
from sheetgen.findings import Report
from sheetgen.reader.align import Alignment, align
from sheetgen.reader.prefixes import sheet_of
from sheetgen.reader.prefixes import titles as book_titles
from sheetgen.reader.stamped import is_hosted, prefixes_in
from sheetgen.reader.twin import twin_of

if TYPE_CHECKING:
    from sheetgen.book.compile import Compiled
    from sheetgen.book.plan import Plan
    from sheetgen.book.template import Block
    from sheetgen.reader.raw import RawBook, RawSheet

Axis = Literal["rows", "columns"]
_BACK: Final = "undo that change, or go back to an earlier copy"
_SAFE: Final = "undo that change so that the figures of the book are right again; what was typed is read"
_SHOWN: Final = 5


@attrs.define
class Located:
    """The sheets of a book, each with its cells where the plan has them.

    Parameters
    ----------
    file : str
        Name of the file.
    sheets : dict of str to RawSheet
        By the title that the plan gives them; what stands in rows and columns that do not belong there is left out.
    astray : set of str
        Titles of sheets whose name, rows or columns are not as planned.
    tells_links : bool
        Whether Start tells the look of linked inputs, as it does where inputs were linked when the book was made.
    """

    file: str
    sheets: dict[str, RawSheet] = attrs.field(factory=dict)
    astray: set[str] = attrs.field(factory=set)
    tells_links: bool = False
    _now: dict[tuple[str, Axis], Mapping[int, int]] = attrs.field(factory=dict)
    _names: dict[str, str] = attrs.field(factory=dict)

    def where(self, sheet: str, row: int, column: int) -> str:
        """Return where a planned cell stands now, such as ``bid.xlsx Takeoff!B7`` [0-based row, 0-based column]."""
        row = self._now.get((sheet, "rows"), {}).get(row, row)
        column = self._now.get((sheet, "columns"), {}).get(column, column)
        return f"{self.file} {self._names.get(sheet, sheet)}!{column_name(column)}{row + 1}"

    def holds(self, sheet: str) -> bool:
        """Return whether a sheet, as it is called now, is one of this book."""
        return sheet.casefold() in {name.casefold() for name in self._names.values()}

    def take(self, title: str, sheet: RawSheet) -> None:
        """Take a sheet for the one that the plan calls so."""
        self.sheets[title] = sheet
        self._names[title] = sheet.name
        if sheet.name.casefold() != title.casefold():
            self.astray.add(title)

    def put_back(self, title: str, axis: Axis, lines: Alignment) -> None:
        """Put the rows or columns of a sheet back to where they belong."""
        planned = {now + 1: line + 1 for line, now in lines.now.items()}
        sheet = self.sheets[title]
        at = 0 if axis == "rows" else 1
        cells = {
            ((planned[where[0]], where[1]) if axis == "rows" else (where[0], planned[where[1]])): cell
            for where, cell in sheet.cells.items()
            if where[at] in planned
        }
        self.sheets[title] = attrs.evolve(sheet, cells=cells)
        self._now[title, axis] = lines.now
        self.astray.add(title)


def find_sheets(raw: RawBook, plan: Plan, report: Report) -> Located:
    """Find each sheet of the plan, by its name or, where it was renamed, by the title that stands on it.

    Parameters
    ----------
    raw : RawBook
        The book as it was saved.
    plan : Plan
        The plan of its stamp.
    report : Report
        Takes what is not as planned; a sheet that is gone is an error where something is typed into it. The sheets of a
        person's own workbook to which the book was added are theirs, and nothing is said of them.
    """
    located = Located(raw.path.name)
    titles = {plan.title(sheet): sheet.title for sheet in plan.book.sheets}
    known = {title.casefold() for title in titles}
    hosted = is_hosted(raw) or bool(plan.prefix)
    others = [sheet for sheet in _perhaps_ours(raw, plan, known, hosted=hosted) if sheet.name.casefold() not in known]
    typed_into = {plan.spot(block.name, field.name).sheet for block, field in (*plan.entered(), *plan.posted())}
    for title, heading in titles.items():
        place = f"{raw.path.name} {title}"
        found = raw.sheet(title)
        alike = [sheet for sheet in others if _heading(sheet) == heading] if found is None else []
        if found is not None:
            located.take(title, found)
        elif len(alike) == 1:
            located.take(title, alike[0])
            others.remove(alike[0])
            what = f"the sheet was renamed to '{alike[0].name}'"
            report.look("sheet-renamed", place, what, f"name it '{title}' again; what was typed is read")
        elif title in typed_into:
            mend = f"name it '{title}' again, or go back to an earlier copy"
            report.error("sheet-missing", place, "the sheet was renamed or deleted", mend)
        else:
            what = "the sheet was deleted; nothing is typed into it, so that all that was typed is read"
            report.look("sheet-missing", place, what, "go back to an earlier copy, or carry the book into a new one")
    _name_others(raw, others, set(titles.values()), report, hosted=hosted)
    located.tells_links = _tells_links(plan, located)
    return located


def _perhaps_ours(raw: RawBook, plan: Plan, known: Collection[str], *, hosted: bool) -> list[RawSheet]:
    """Return the sheets that can be those of a book, renamed or copied.

    In a book of its own all can be. In a person's own workbook those that the names of the book stand for, and those that are
    called as a program calls a copy; never what another book of ours beside it has.
    """
    beside = [prefix for prefix in prefixes_in(raw) if prefix != plan.prefix]
    if not (hosted or beside):
        return list(raw.sheets)
    names = {name: sheet_of(text).casefold() for name, text in raw.names.items()}
    mine = {names[name] for name in defined_names(plan) if name in names}
    theirs = {f"{prefix}{title}".casefold() for prefix in beside for title in book_titles()}
    before = tuple(name_prefix(prefix) for prefix in beside)
    theirs |= {sheet for name, sheet in names.items() if name.startswith(before)}
    tabs = {sheet.name.casefold(): sheet for sheet in raw.sheets}
    called = tuple(known)
    return [sheet for tab, sheet in tabs.items() if tab in mine or (tab not in theirs and tab.startswith(called))]


def _tells_links(plan: Plan, located: Located) -> bool:
    word = plan.book.words.get("legend_linked")
    start = located.sheets.get(plan.title(plan.book.sheets[0]))
    return word is not None and start is not None and any(cell.value == word for (_, column), cell in start.cells.items() if column == 1)


def _name_others(raw: RawBook, others: Iterable[RawSheet], headings: set[str], report: Report, *, hosted: bool) -> None:
    for sheet in others:
        place = f"{raw.path.name} {sheet.name}"
        heading = _heading(sheet)
        if heading in headings:
            what = f"looks like a copy of the sheet '{heading}'; what was typed into the copy is not read"
            report.look("sheet-copied", place, what, "type it into the sheet itself and delete the copy")
        elif not hosted:
            report.note("sheet-own", place, "is no sheet of this book and is not read")


def _heading(sheet: RawSheet) -> str:
    held = sheet.cells.get((1, 1))
    return "" if held is None or held.value is None else " ".join(str(held.value).split())


def put_back(raw: RawBook, compiled: Compiled, located: Located, title: str, report: Report) -> bool:
    """Put the rows or columns of one sheet back to where they belong; return whether it can be read.

    Parameters
    ----------
    raw : RawBook
        The book as it was saved.
    compiled : Compiled
        The template by which it was made.
    located : Located
        Its sheets; the one named gets its cells put back.
    title : str
        The sheet, on which something is not where it should be.
    report : Report
        Takes what was put in or taken out.
    """
    twin = twin_of(compiled, tells_links=located.tells_links)
    planned, present = twin.sheet(title), located.sheets[title]
    assert planned is not None
    for axis in ("rows", "columns"):
        lines = align(_fixed(planned, twin.unlocked_styles, axis), _fixed(present, raw.unlocked_styles, axis))
        if lines is None:
            continue
        before = len(report)
        _tell(compiled.plan, located, title, axis, lines, report)
        if lines.moved:
            located.put_back(title, axis, lines)
        return not any(finding.severity.name == "ERROR" for finding in list(report)[before:])
    return False


def _fixed(sheet: RawSheet, unlocked: frozenset[int], axis: Axis) -> list[tuple[tuple[int, str], ...]]:
    """Return what is fixed in each row or column: its words and numbers, and where it has formulas."""
    found: dict[int, list[tuple[int, str]]] = {}
    for (row, column), cell in sheet.cells.items():
        line, along = (row, column) if axis == "rows" else (column, row)
        if cell.style in unlocked or (cell.formula is not None and linked_to(cell.formula) is not None):
            continue  # what a person types, or takes over from a cell of their own
        if cell.formula is not None:
            found.setdefault(line, []).append((along, "="))
        elif cell.value not in (None, ""):
            text = f"{cell.value:.9g}" if isinstance(cell.value, float) else " ".join(str(cell.value).split())
            found.setdefault(line, []).append((along, text))
    return [tuple(sorted(found.get(line, ()))) for line in range(1, max(found, default=0) + 1)]


def _tell(plan: Plan, located: Located, title: str, axis: Axis, lines: Alignment, report: Report) -> None:
    """Report the lines that were put in and taken out of a sheet."""
    sheet = located.sheets[title]
    at = 0 if axis == "rows" else 1
    if lines.inserted:
        place, count = _place(located, sheet, axis, lines.inserted)
        typed = sorted(
            where for where, cell in sheet.cells.items()
            if where[at] - 1 in set(lines.inserted) and cell.value not in (None, "") and cell.formula is None
        )  # fmt: skip
        if typed:
            cells = ", ".join(f"{column_name(column - 1)}{row}" for row, column in typed[:_SHOWN])
            cells += f" and {len(typed) - _SHOWN} more" if len(typed) > _SHOWN else ""
            what = f"{count} put in, and what stands there ({cells}) belongs to no field"
            if axis == "rows":
                report.error("rows-inserted", place, what, f"type it into rows that were there before, and {_BACK}")
            else:
                report.look("columns-inserted", place, f"{what}: it is not read", _SAFE)
        else:
            report.look(f"{axis}-inserted", place, f"{count} put in", _SAFE)
    if lines.deleted:
        lost = _inputs_lost(plan, title, axis, lines.deleted)
        place, count = _place(located, sheet, axis, [_after(lines, line) for line in lines.deleted], len(lines.deleted))
        if lost:
            report.error(f"{axis}-deleted", place, f"{count} taken out, and with it what is typed under {lost}", _BACK)
        else:
            report.look(f"{axis}-deleted", place, f"{count} taken out, with what stood there", _SAFE)


def _after(lines: Alignment, line: int) -> int:
    """Return the present number of the first planned line that follows one that is gone."""
    return min((now for planned, now in lines.now.items() if planned > line), default=max(lines.now.values(), default=0) + 1)


def _place(located: Located, sheet: RawSheet, axis: Axis, lines: Iterable[int], many: int = 0) -> tuple[str, str]:
    """Return where lines stand, as people write it, and how many there are, in words."""
    numbers = list(lines)
    first, last = min(numbers), max(numbers)
    name = str if axis == "rows" else lambda number: column_name(number - 1)
    count = many or len(numbers)
    word = axis if count > 1 else axis[:-1]
    return f"{located.file} {sheet.name}!{name(first + 1)}:{name(last + 1)}", f"{count} {word} {'were' if count > 1 else 'was'}"


def _inputs_lost(plan: Plan, title: str, axis: Axis, gone: tuple[int, ...]) -> str:
    """Return the label of a field that cannot be read without these lines; empty where all others keep their place."""
    lines = set(gone)
    entered = (*plan.entered(), *plan.posted())
    for block, field in entered:
        spot = plan.spot(block.name, field.name)
        if spot.sheet != title:
            continue
        numbers = {cell.row if axis == "rows" else cell.column for _, cell in plan.places(block, field)}
        if numbers & lines and not (axis == "rows" and _stands_alone(plan, block)):
            return f"'{' '.join(field.label.split())}'"
    return ""


def _stands_alone(plan: Plan, block: Block) -> bool:
    """Return whether the rows of a table mean nothing by their number: no other table goes along with them."""
    sheets = {plan.spot(one.name, field.name).sheet for one, field in plan.entered() if one.name == block.name}
    alone = len(sheets) == 1 and block.kind == "rows" and not block.over
    return alone and not any(block.name in {other.over, other.second} for other in plan.book.blocks.values())
