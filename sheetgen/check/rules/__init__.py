"""Rules that any book of ours can be held to from its file alone; each code begins with the rule's number."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from sheetgen.check.look import read_looks
from sheetgen.check.rules.charts import charts
from sheetgen.check.rules.colours import colours
from sheetgen.check.rules.document import document
from sheetgen.check.rules.inputs import inputs
from sheetgen.check.rules.layout import layout
from sheetgen.check.rules.model import model
from sheetgen.check.rules.page import page
from sheetgen.check.rules.subject import Subject
from sheetgen.check.rules.validations import validations
from sheetgen.check.rules.values import values

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping

    from sheetgen.findings import Finding
    from sheetgen.reader.raw import RawBook

RULES: Final = (model, values, document, inputs, validations, colours, layout, charts, page)


def rules(book: RawBook, types: Mapping[str, str], *, fresh: bool = True) -> Iterator[Finding]:
    """Hold a book to the rules of form, accessibility and print.

    Parameters
    ----------
    book : RawBook
        The saved book.
    types : mapping of str to str
        Type of each sheet of ours by name; other sheets are a host's and are left alone.
    fresh : bool
        Whether the book comes straight from us; if not, a person may have moved the cursor, chosen another
        sheet, or hidden rows and columns.

    Yields
    ------
    Finding
        Errors, and looks where a text is cut off; none for a book that keeps the rules.
    """
    subject = Subject(book, types, read_looks(book), fresh)
    for rule in RULES:
        yield from rule(subject)
