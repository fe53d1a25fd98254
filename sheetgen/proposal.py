"""The page that goes to the customer: the Proposal of a filled bid as values and words, with nothing of the bid behind it."""

from __future__ import annotations

import datetime as dt
from pathlib import Path
from typing import Final

import attrs

from sheetgen.book.compile import compiled
from sheetgen.book.contents import Contents, Value
from sheetgen.book.page import write_page
from sheetgen.book.plan import Address
from sheetgen.build import picture_in, put_in_place
from sheetgen.check.book import Checked
from sheetgen.check.compare import Counts
from sheetgen.check.meet import contents_of
from sheetgen.csv_tables import put
from sheetgen.findings import Finding, Refused, Report, Severity
from sheetgen.picture import Picture
from sheetgen.reader.raw import read_raw
from sheetgen.reconcile import read_book

SHEET: Final = "proposal"
# Names that every workbook with a page may have.
_PAGE_NAMES: Final = frozenset({"_xlnm.Print_Area", "_xlnm.Print_Titles"})
_SAME: Final = 1e-9
# A place to write in, in a text of the firm.
_PLACE: Final = "___"


@attrs.frozen
class Made:
    """A page that was handed out.

    Parameters
    ----------
    path : Path
        The workbook.
    pdf : Path or None
        The same as PDF, where that was asked for.
    values : int
        Values of the book that stand on it, each read back from the file [count].
    findings : tuple of Finding
        What to look at.
    """

    path: Path
    pdf: Path | None
    values: int
    findings: tuple[Finding, ...]


def make_proposal(book: Path, out: Path, *, made_on: dt.date, picture: Picture | None = None, pdf: bool = False) -> Made:
    """Make the customer's page of a filled bid book.

    Parameters
    ----------
    book : Path
        The bid; it is never written to.
    out : Path
        Where the page goes.
    made_on : datetime.date
        Day written into the properties.
    picture : Picture, optional
        The firm's; that of the book unless given.
    pdf : bool
        Whether a PDF is made beside it, by LibreOffice.

    Returns
    -------
    Made
        The page.

    Raises
    ------
    Refused
        The book cannot be read or has no price, the page does not hold what the book says, or it cannot be written.
    """
    read, noted = read_book(book)
    stamp = read.filled.stamp
    # The page is not called by what stands before the sheets of a bid in a person's own workbook.
    contents = contents_of(compiled(stamp.kind, stamp.system, stamp.rows, stamp.version), read.job)
    sheet = contents.plan.book.sheet(SHEET)
    # A fixed price alone does not make a bid: the work behind it must be known too.
    if None in (read.values.scalar("contract.total"), read.values.scalar("price.net", "accepted")):
        what = "has no price yet, so there is nothing to propose"
        raise Refused([Finding("proposal-price", Severity.ERROR, book.name, what, "open Start: the steps say what is missing")])
    report = Report()
    report.extend(noted)
    if blanks := sum(_PLACE in (one.text or "") for one in read.job.texts):
        texts = "text has" if blanks == 1 else "texts have"
        what = f"{blanks} {texts} places that are not filled in, such as what local law sets"
        report.look("proposal-blanks", book.name, what, "fill them in on the sheet Rates, or in your rate book, before the page goes out")
    if picture is None:
        picture = picture_in(read.filled.raw, read.filled.compiled.plan)
    values: dict[Address, Value] = {}
    printed: list[bytes] = []

    def make(part: Path) -> None:
        values.update(write_page(part, contents, sheet, made_on=made_on, author=read.job.firm.name or "", picture=picture))

    def check(part: Path) -> Checked:
        if pdf:
            from sheetgen.check.office import pdf_of

            printed.append(pdf_of(part))
        return Checked(Counts(), tuple(_wrong(part, contents, values)))

    built = put_in_place(out, make, check)
    goal = out.with_suffix(".pdf") if pdf else None
    if goal is not None:
        put(goal, printed[0])
    return Made(out, goal, len(values), (*report, *built.findings))


def _wrong(path: Path, contents: Contents, values: dict[Address, Value]) -> list[Finding]:
    """Read a page back, and return what is not as it must be: a value, a formula, a name, a property."""
    raw = read_raw(path)
    found = []
    (sheet,) = raw.sheets
    for cell, value in values.items():
        held = sheet.cells.get((cell.row + 1, cell.column + 1))
        if held is None or not _same(held.value, value):
            found.append(_ours(f"{sheet.name}!{cell.a1}", "is not what the book says"))
    if any(cell.formula is not None for cell in sheet.cells.values()):
        found.append(_ours(sheet.name, "still holds a formula"))
    if raw.custom or {*raw.names, *(name for names in raw.sheet_names.values() for name in names)} - _PAGE_NAMES:
        found.append(_ours(sheet.name, "still holds names of the bid"))
    if not values:
        found.append(_ours(contents.plan.book.title, "has nothing to say"))
    return found


def _same(held: object, value: Value) -> bool:
    if isinstance(held, float) and isinstance(value, float):
        return abs(held - value) <= _SAME
    return held == value


def _ours(place: str, what: str) -> Finding:
    return Finding("proposal-page", Severity.ERROR, place, what, "tell the makers of sheetgen")
