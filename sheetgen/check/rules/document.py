"""Rules 2, 12 and 20: Start comes first and links to every sheet, nothing acts or hides, the properties are set."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, Final

from sheetgen.check.rules.subject import TRUE
from sheetgen.reader.active import MENDS

if TYPE_CHECKING:
    from collections.abc import Iterator

    from sheetgen.check.rules.subject import Subject
    from sheetgen.findings import Finding
    from sheetgen.reader.raw import RawSheet

_UNHIDE: Final = "show it, or name it on Start"


def document(subject: Subject) -> Iterator[Finding]:
    """Find what is wrong with the book as a whole; a host's own sheets and properties are its own affair."""
    yield from _hidden(subject)
    if not subject.whole:
        return
    for kind, where in subject.book.inspected.active:
        yield subject.error("rule-12-active", f"holds {kind.replace('link', 'links')}: {where}", MENDS[kind])
    yield from _properties(subject)
    yield from _start(subject)


def _hidden(subject: Subject) -> Iterator[Finding]:
    start = subject.start
    told = {cell.value for cell in start.cells.values() if cell.kind == "text"} if start else set()
    for sheet in subject.sheets:
        if sheet.state == "veryHidden" or (sheet.state == "hidden" and sheet.name not in told):
            yield subject.error("rule-12-hidden", "the sheet is hidden and Start does not say so", _UNHIDE, sheet.name)
        if subject.fresh:
            yield from _hidden_lines(subject, sheet)


def _hidden_lines(subject: Subject, sheet: RawSheet) -> Iterator[Finding]:
    filtered = sheet.root.find("{*}autoFilter") is not None
    for line in sheet.root.iterfind("{*}cols/{*}col"):
        if line.get("hidden") in TRUE:
            at = (1, int(line.get("min", "1")))
            yield subject.error("rule-12-hidden", "a column is hidden", "show it", sheet.name, at)
    for line in () if filtered else sheet.root.iterfind("{*}sheetData/{*}row"):
        if line.get("hidden") in TRUE:
            at = (int(line.get("r", "1")), 1)
            yield subject.error("rule-12-hidden", "a row is hidden", "show it", sheet.name, at)


def _properties(subject: Subject) -> Iterator[Finding]:
    book = subject.book
    wanted = (("title", book.core.get("title")), ("author", book.core.get("creator")), ("language", book.custom.get("Language")))
    for name, text in wanted:
        if not (text or "").strip():
            yield subject.error("rule-20-properties", f"the document has no {name}", f"set the document's {name}")


def _start(subject: Subject) -> Iterator[Finding]:
    tabs, start = subject.book.inspected.tabs, subject.start
    if start is None or tabs[0] != start.name:
        yield subject.error("rule-2-start", "the first sheet is not the start sheet", "put the start sheet first")
    if start is None:
        return
    linked = {_target(link) for link in start.root.iterfind("{*}hyperlinks/{*}hyperlink")}
    for sheet in subject.sheets:
        if sheet is not start and sheet.name.casefold() not in linked:
            yield subject.error("rule-2-link", f"no link leads to the sheet '{sheet.name}'", "add the link", start.name)
    if subject.fresh:
        root = subject.book.inspected.package.tree(subject.book.inspected.workbook)
        view = None if root is None else root.find("{*}bookViews/{*}workbookView")
        active = 0 if view is None else int(view.get("activeTab", "0"))
        if active >= len(tabs) or tabs[active] != start.name:
            yield subject.error("rule-20-active", "another sheet than Start is shown first", "make Start the active sheet")


def _target(link: Any) -> str:
    """Return the sheet that a link leads to, in lower case."""
    sheet: str = link.get("location", "").rpartition("!")[0]
    return sheet.removeprefix("'").removesuffix("'").replace("''", "'").casefold()
