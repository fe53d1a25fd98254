"""Filled books as pandas data frames: the tables of ``sheetgen reconcile``, one frame each."""

from __future__ import annotations

import os
from collections.abc import Iterable, Mapping
from pathlib import Path
from typing import Final

import attrs
import pandas as pd

from sheetgen.book.compile import shipped
from sheetgen.figures import TABLES, Row, columns
from sheetgen.post import posted
from sheetgen.reconcile import compare, reconcile
from sheetgen.sources import workbooks
from sheetgen.units import System, symbol

Name = str | os.PathLike[str]
_FINDING: Final = ("code", "severity", "place", "what", "mend")


@attrs.frozen(eq=False)
class Books:
    """Jobs as data frames; a figure that is not known is missing, never zero.

    Parameters
    ----------
    system : {'us', 'metric'}
        Units of the figures.
    tables : mapping of str to DataFrame
        Frames by table; every one begins with workbook, book id, job number, job name and status.
    findings : DataFrame
        What was found in the books, and every book that was not read: code, severity, place, what, mend.
    """

    system: System
    tables: Mapping[str, pd.DataFrame] = attrs.field(repr=False)
    findings: pd.DataFrame = attrs.field(repr=False)

    @property
    def jobs(self) -> pd.DataFrame:
        """A row for each job: price, hours, bags, and what is over."""
        return self.tables["jobs"]

    @property
    def hours(self) -> pd.DataFrame:
        """A row for each job and task."""
        return self.tables["hours"]

    @property
    def materials(self) -> pd.DataFrame:
        """A row for each job and product, in packages."""
        return self.tables["materials"]

    @property
    def toppings(self) -> pd.DataFrame:
        """A row for each job and topping: thickness planned and laid."""
        return self.tables["toppings"]

    @property
    def columns(self) -> pd.DataFrame:
        """A row for each column of each table: table, column, unit, and what it is called in the cost book."""
        rows = [
            (table, name, _unit(measure, self.system), _label(table, name))
            for table, measured in TABLES.items()
            for name, measure in ((name, dict(measured).get(name, "")) for name in columns(table))
        ]
        return pd.DataFrame(rows, columns=["table", "column", "unit", "label"], dtype="string")


def read(
    paths: Name | Iterable[Name] = (), *, ledger: Name | None = None, units: System | None = None, processes: int = 0
) -> Books:
    """Read filled bid books, or the jobs that were posted to a ledger, as data frames.

    Parameters
    ----------
    paths : path or iterable of path
        Workbooks, and folders that stand for theirs. They are never written to.
    ledger : path, optional
        A ledger, instead of paths.
    units : {'us', 'metric'}, optional
        Units of the figures; those of the first book unless given.
    processes : int
        How many workers may read at once, each file with limits of time and memory; with 0 the script reads by itself
        [count]. A script that asks for workers must keep its own work under ``if __name__ == "__main__":``.

    Returns
    -------
    Books
        The tables, and findings; a book that cannot be read is named there and left out.

    Raises
    ------
    Refused
        A folder holds no workbook, or the ledger cannot be read.
    ValueError
        Neither paths nor a ledger are given, or both.

    Examples
    --------
    >>> books = sheetgen.read("jobs/")  # doctest: +SKIP
    >>> books.hours.groupby("task")["variance"].sum()  # doctest: +SKIP
    """
    named = [Path(paths)] if isinstance(paths, (str, os.PathLike)) else [Path(one) for one in paths]
    if bool(named) == (ledger is not None):
        raise ValueError("give paths of filled books, or a ledger")
    if ledger is not None:
        compared = compare(posted(Path(ledger)), system=units)
    else:
        compared = reconcile(workbooks(named), system=units, processes=processes)
    return Books(
        compared.system,
        {table: _frame(table, rows) for table, rows in compared.tables.items()},
        pd.DataFrame([one.record() for one in compared.findings], columns=list(_FINDING), dtype="string"),
    )


def _frame(table: str, rows: Iterable[Row]) -> pd.DataFrame:
    measures = dict(TABLES[table])
    # Told to pandas, so that a column without a single known figure is still one of numbers.
    kinds = {name: "float64" if measures.get(name) else "string" for name in columns(table)}
    return pd.DataFrame(list(rows), columns=list(kinds)).astype(kinds)


def _unit(measure: str, system: System) -> str:
    if measure == "share":
        return "0 to 1"
    return symbol(measure, system) if measure else ""


def _label(table: str, name: str) -> str:
    field = shipped("cost").blocks[table].field(name)
    return name.replace("_", " ") if field is None else " ".join(field.label.split())
