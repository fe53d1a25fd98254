"""A comparison becomes a checked cost book."""

from __future__ import annotations

import datetime as dt
from pathlib import Path

from sheetgen.book.compile import compiled
from sheetgen.book.stamp import Stamp
from sheetgen.build import Built, hand_out, new_id
from sheetgen.check.meet import contents_of_tables
from sheetgen.check.recalculate import Program
from sheetgen.figures import Row
from sheetgen.reconcile import Comparison

_TABLES = ("jobs", "hours", "materials", "toppings", "findings")


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
    tables: dict[str, tuple[Row, ...]] = {**compared.tables, "findings": tuple(one.record() for one in compared.findings)}
    made = compiled("cost", compared.system, {name: max(len(tables[name]), 1) for name in _TABLES})
    contents = contents_of_tables(made, tables)
    return hand_out(contents, Stamp.of(made.plan, book_id or new_id(), made_on), out, program=program)
