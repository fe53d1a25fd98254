"""What else of a person's workbook uses a bid: rules, charts, names and links, which cannot be left with a figure."""

from __future__ import annotations

import html
import re
from collections.abc import Iterable, Iterator
from typing import Final

from sheetgen.host.package import Package
from sheetgen.host.uses import Bid

# Formulas in any part, but for those of cells: rules, validations, charts, sparklines, columns of tables, controls.
_FORMULAS: Final = re.compile(
    rb"<(?:\w+:)?(?:formula|formula1|formula2|f|calculatedColumnFormula|totalsRowFormula|FmlaLink|FmlaRange|FmlaPict)(?:\s[^<>]*)?>([^<]+)</"
)
# Sheets and names that pivot tables and consolidated tables are made from.
_SOURCES: Final = re.compile(rb"""<(?:\w+:)?(?:worksheetSource|rangeSet|dataRef)\s[^<>]*?\b(?:sheet|name)=("[^"]+"|'[^']+')""")
# Links, shapes and controls that show a cell, and pictures of cells.
_LINKS: Final = re.compile(
    rb"""\s(?:location|textlink|cellRange|fmlaLink|fmlaRange|fmlaGroup|fmlaTxbx)=("[^"]+"|'[^']+')|\sTarget=("#[^"]+"|'#[^']+')"""
)
_READ: Final = (".xml", ".rels", ".vml")
_CELLS: Final = re.compile(rb"<(?:\w+:)?sheetData\b.*</(?:\w+:)?sheetData\s*>", re.DOTALL)


def uses(host: Package, bid: Bid, parts: Iterable[str]) -> Iterator[tuple[str, str]]:
    """Yield each part that uses a bid in anything but a cell, with what it uses.

    Parameters
    ----------
    host : Package
        The workbook.
    bid : Bid
        What the bid can be called by.
    parts : iterable of str
        The parts that stay.

    Yields
    ------
    tuple of (str, str)
        Part, and the first formula in it that uses the bid.
    """
    for part in parts:
        if not part.casefold().endswith(_READ):
            continue
        data = _CELLS.sub(b"", host.read(part))
        for found in (*_FORMULAS.findall(data), *((one or two)[1:-1] for one, two in _LINKS.findall(data))):
            text = html.unescape(found.decode("utf-8", "replace"))
            if bid.used_by(text):
                yield part, text
                break
        for found in _SOURCES.findall(data):
            text = html.unescape(found[1:-1].decode("utf-8", "replace"))
            quoted = text.replace("'", "''")
            if bid.used_by(f"'{quoted}'!A1") or bid.used_by(text):
                yield part, text
                break
