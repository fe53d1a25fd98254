"""Which column of a time clock's or supplier's CSV file is which field of the log."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING, Final

import attrs

from sheetgen import units
from sheetgen.book.template import ENTERED
from sheetgen.reader.typed_unit import offered, same_unit

if TYPE_CHECKING:
    from collections.abc import Mapping

    from sheetgen.book.plan import Plan
    from sheetgen.book.template import Block, Field
    from sheetgen.csv_rows import Table
    from sheetgen.findings import Report

_WITH_UNIT: Final = re.compile(r"(?P<name>.*\S)\s*[(\[](?P<unit>[^()\[\]]+)[)\]]\s*")
_ANY: Final[dict[str, tuple[str, ...]]] = {
    "date": ("day",),
    "zone": ("place", "room", "location"),
    "note": ("notes", "comment", "comments", "remark", "remarks"),
    "amount": ("net", "net amount", "amount net", "price", "cost", "total"),
    "tax": ("sales tax", "vat"),
    "receipt": ("receipt no", "receipt number", "invoice", "invoice no", "invoice number"),
}
# Plain words of the trade that time clocks and suppliers write over their columns.
_WORDS: Final[dict[str, dict[str, tuple[str, ...]]]] = {
    "hours_log": {
        "task": ("activity", "work", "work done"),
        "hours_each": ("hours", "hrs", "hours worked", "duration"),
        "people": ("workers", "crew size", "number of people"),
        "person": ("name", "employee", "worker", "crew"),
        "wage": ("rate", "pay rate", "hourly rate"),
        "area_done": ("area", "area finished"),
    },
    "materials_log": {
        "product": ("item", "material", "article"),
        "taken": ("quantity", "qty", "packages", "bags"),
        "opened": ("used",),
        "returned": ("returns",),
        "lot": ("lot no", "lot number"),
    },
    "costs_log": {
        "kind": ("type", "category"),
        "supplier": ("vendor", "shop", "from"),
    },
}
# Without these a row says nothing.
NEEDED: Final[dict[str, tuple[str, ...]]] = {
    "hours_log": ("task", "hours_each"),
    "materials_log": ("product",),
    "costs_log": ("amount",),
}


@attrs.frozen
class Column:
    """A column that is taken.

    Parameters
    ----------
    at : int
        Its number in the file [0-based].
    heading : str
        As the file has it.
    field : Field
        The field that it fills.
    symbol : str
        The unit in which its numbers stand.
    factor : float
        By which they are multiplied for the unit of the book [unit of the field per unit of the column].
    """

    at: int
    heading: str
    field: Field
    symbol: str
    factor: float


def columns_of(table: Table, block: Block, plan: Plan, report: Report) -> list[Column]:
    """Find the field of each column; report those that are left out, stand twice, or are missing.

    Parameters
    ----------
    table : Table
        The file.
    block : Block
        The log that takes its rows.
    plan : Plan
        The plan of the new book.
    report : Report
        Takes the findings.
    """
    fields = {field.name: field for field in block.fields if field.kind in ENTERED and field.stands_in(plan.system)}
    known = _known(block.name, fields)
    found: dict[str, Column] = {}
    there: set[str] = set()
    for at, heading in enumerate(table.header):
        place = f"{table.name} line 1, column {at + 1}"
        split = _WITH_UNIT.fullmatch(heading)
        field = known.get(_folded(heading)) or (known.get(_folded(split["name"])) if split else None)
        if field is None:
            if heading or any(cells[at].strip() for _, cells in table.rows):
                mend = f"nothing, if it is not needed; else call it one of: {', '.join(fields)}"
                report.look("log-column", place, f"'{heading}' is no field of the log: the column is left out", mend)
            continue
        if field.name in found:
            what = f"'{heading}' and '{found[field.name].heading}' both are '{field.label}'"
            report.error("log-column", place, what, "take one of them out, or give it another heading")
            continue
        there.add(field.name)
        symbol = units.symbol(field.unit, plan.system)
        unit = split["unit"].strip() if split and _folded(heading) not in known else ""
        factor: float | None = 1.0
        if unit and not same_unit(unit, symbol):
            factor = offered(1.0, unit, symbol)
        if factor is None:
            what = f"'{heading}' is in {unit}, and '{field.label}' in {symbol or 'words'}"
            mend = f"convert the column to {symbol}, and say so in its heading" if symbol else "take the unit out"
            report.error("log-unit", place, what, mend)
            continue
        found[field.name] = Column(at, heading, field, unit or symbol, factor)
    for name in NEEDED[block.name]:
        if name not in there and name in fields:
            what = f"no column is '{' '.join(fields[name].label.split())}'"
            report.error("log-column", f"{table.name} line 1", what, f"give a column the heading {name} or {fields[name].label}")
    return list(found.values())


def _known(block: str, fields: Mapping[str, Field]) -> dict[str, Field]:
    """Return the field by each heading that means it; the book's own words go before those of the trade."""
    known: dict[str, Field] = {}
    for name, field in fields.items():
        for word in (name, field.label):
            known.setdefault(_folded(word), field)
    for words in (_WORDS[block], _ANY):
        for name, others in words.items():
            for word in others if name in fields else ():
                known.setdefault(word, fields[name])
    return known


def _folded(heading: str) -> str:
    return " ".join(re.sub(r"[_.:#]", " ", heading).casefold().split())
