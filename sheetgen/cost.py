"""A comparison becomes a checked cost book."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable, Iterable
from pathlib import Path

from sheetgen.book.compile import compiled
from sheetgen.book.stamp import Stamp
from sheetgen.build import Built, hand_out, new_id
from sheetgen.check.meet import contents_of_tables
from sheetgen.check.recalculate import Program
from sheetgen.engine.names import key
from sheetgen.figures import Row
from sheetgen.reconcile import Comparison

Rows = tuple[Row, ...]


def build_cost(compared: Comparison, out: Path, *, made_on: dt.date, book_id: str = "", program: Program = "ironcalc") -> Built:
    """Build, check and put in place a cost book.

    Parameters
    ----------
    compared : Comparison
        What was read and compared.
    out : Path
        Where the book goes.
    made_on : datetime.date
        Day written into the book.
    book_id : str
        Random unless given.
    program : {'ironcalc', 'libreoffice'}
        Which program recalculates.

    Returns
    -------
    Built
        The book and what was compared.

    Raises
    ------
    Refused
        The book does not pass, or cannot be written.
    """
    tables = tables_of_book(compared)
    made = compiled("cost", compared.system, {name: max(len(rows), 1) for name, rows in tables.items() if name != "report"})
    contents = contents_of_tables(made, tables)
    return hand_out(contents, Stamp.of(made.plan, book_id or new_id(), made_on), out, program=program)


def tables_of_book(compared: Comparison) -> dict[str, Rows]:
    """Return the rows that are posted to the cost book, by block.

    Parameters
    ----------
    compared : Comparison
        What was read and compared.

    Returns
    -------
    dict of str to tuple of dict
        The tables; besides, each task and each product once, the bids that were lost, and what was not read.
    """
    tables = compared.tables
    by_task, hours = _numbered(tables["hours"], "task", lambda row: row["change_order"] is None)
    by_product, materials = _numbered(tables["materials"], "product", lambda _: True)
    lost = [job for job in tables["jobs"] if job["status"] == "lost"]
    return {
        **{name: tables[name] for name in ("jobs", "toppings", "other_costs")},
        "hours": hours,
        "materials": materials,
        "by_task": by_task,
        "by_product": by_product,
        "lost": tuple({**job, "reason": job["reason_lost"]} for job in lost),
        "report": ({"as_of": compared.as_of, "books": float(compared.books)},),
        "unread": compared.unread,
        "findings": tuple(one.record() for one in compared.findings),
    }


def _numbered(rows: Iterable[Row], name: str, counts: Callable[[Row], bool]) -> tuple[Rows, Rows]:
    """Return each name once, in the order in which it is met first, and the rows with the number of theirs.

    Names are the same where only case and spaces differ: each job has its own list of tasks and products.
    """
    met: dict[str, tuple[float, Row]] = {}
    numbered = []
    for row in rows:
        number = None
        if counts(row):
            known = (key(row[name]) or "").lower()
            number, _ = met.setdefault(known, (len(met) + 1.0, {name: key(row[name])}))
        numbered.append({**row, f"{name}_no": number})
    return tuple(row for _, row in met.values()), tuple(numbered)
