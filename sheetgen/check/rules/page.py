"""Rules 19 and 20: each sheet prints well, keeps its header in view, and opens at its first input."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING, Final

from sheetgen.check.rules.subject import TRUE, corners

if TYPE_CHECKING:
    from collections.abc import Iterator

    from sheetgen.check.rules.subject import Subject
    from sheetgen.findings import Finding
    from sheetgen.reader.raw import RawSheet

_PAPERS: Final = {"1": "Letter", "9": "A4"}
_BY_UNITS: Final = {"us": "1", "metric": "9"}
# As many pages high as it takes, or one for a sheet that is a page.
_HIGH: Final = frozenset({"0", "1"})
_DATE: Final = re.compile(r"\d{4}-\d{2}-\d{2}|&D")


def page(subject: Subject) -> Iterator[Finding]:
    """Find what is wrong with the print set-up, the frozen rows and the cursor of each sheet."""
    for sheet in subject.sheets:
        for code, what, mend in (*_print(subject, sheet), *_footer(subject, sheet), *_view(subject, sheet)):
            yield subject.error(code, what, mend, sheet.name)


def _print(subject: Subject, sheet: RawSheet) -> Iterator[tuple[str, str, str]]:
    names = subject.book.sheet_names.get(sheet.name, {})
    if "_xlnm.Print_Area" not in names:
        yield "rule-19-area", "has no print area", "set the print area"
    if "_xlnm.Print_Titles" not in names:
        yield "rule-19-titles", "repeats no rows when printed", "repeat the title or header rows"
    root = sheet.root
    fit, setup = root.find("{*}sheetPr/{*}pageSetUpPr"), root.find("{*}pageSetup")
    wide = setup is not None and setup.get("fitToWidth", "1") == "1" and setup.get("fitToHeight", "1") in _HIGH
    if fit is None or fit.get("fitToPage") not in TRUE or not wide:
        yield "rule-19-fit", "is not fitted to one page wide", "fit it to 1 page wide, and to one or any number tall"
    paper = "1" if setup is None else setup.get("paperSize", "1")
    wanted = _BY_UNITS.get(subject.stamp("units"))
    if paper not in _PAPERS or paper != (wanted or paper):
        mend = f"use {_PAPERS[wanted] if wanted else 'Letter or A4'}"
        yield "rule-19-paper", f"is set for {_PAPERS.get(paper, f'paper {paper}')}", mend


def _footer(subject: Subject, sheet: RawSheet) -> Iterator[tuple[str, str, str]]:
    footer = sheet.root.findtext("{*}headerFooter/{*}oddFooter") or ""
    if "&P" not in footer or "&N" not in footer:
        yield "rule-19-footer", "the footer has no page x of y", "put &P / &N in the footer"
    if not _DATE.search(footer):
        yield "rule-19-footer", "the footer has no date", "put the date of the book in the footer"
    # in a footer && stands for one &
    if (book_id := subject.stamp("book_id")) and book_id not in footer.replace("&&", "&"):
        yield "rule-19-footer", "the footer has no book id", f"put {book_id} in the footer"


def _view(subject: Subject, sheet: RawSheet) -> Iterator[tuple[str, str, str]]:
    view = sheet.root.find("{*}sheetViews/{*}sheetView")
    pane = None if view is None else view.find("{*}pane")
    if pane is None or pane.get("state") not in {"frozen", "frozenSplit"} or not float(pane.get("ySplit", "0")):
        yield "rule-20-freeze", "no rows are frozen", "freeze the panes under the header"
    unlocked = subject.book.unlocked_styles
    if not subject.fresh or view is None or not any(cell.style in unlocked for cell in sheet.cells.values()):
        return
    active = pane.get("activePane", "topLeft") if pane is not None else "topLeft"
    cursors = [
        line.get("activeCell", "A1") for line in view.iterfind("{*}selection") if line.get("pane", "topLeft") == active
    ]
    found = corners(cursors[0] if cursors else "A1")
    if found is None or sheet.style_at(found[0], found[1]) not in unlocked:
        yield "rule-20-cursor", "the cursor is not in an input", "put the cursor in the first input"
