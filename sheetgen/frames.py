"""Filled books as pandas data frames: the tables of ``sheetgen reconcile``, one frame each."""

from __future__ import annotations

import datetime as dt
import os
from collections.abc import Iterable, Mapping
from pathlib import Path
from typing import Final

import attrs
import pandas as pd

from sheetgen.book.compile import shipped
from sheetgen.figures import TABLES, UNREAD, Row, measures
from sheetgen.post import posted
from sheetgen.reconcile import compare, reconcile
from sheetgen.sources import workbooks
from sheetgen.units import System, symbol

Name = str | os.PathLike[str]
# What pandas holds a column as, by its unit word; numbers else.
_KINDS: Final = {"": "string", "date": "datetime64[s]"}
# Where the columns of a table are called by name in the cost book, if not in the block of that name.
_BLOCKS: Final = {"progress": ("wip", "jobs")}
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
        What was found in the books: code, severity, place, what, mend.
    unread : DataFrame
        Every book that was not read: workbook, what, mend.
    """

    system: System
    tables: Mapping[str, pd.DataFrame] = attrs.field(repr=False)
    findings: pd.DataFrame = attrs.field(repr=False)
    unread: pd.DataFrame = attrs.field(repr=False)

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
    def other_costs(self) -> pd.DataFrame:
        """A row for each line of a job's log of other costs."""
        return self.tables["other_costs"]

    @property
    def progress(self) -> pd.DataFrame:
        """A row for each job: what it has earned by its cost, what is billed, and a loss still to come."""
        return self.tables["progress"]

    @property
    def columns(self) -> pd.DataFrame:
        """A row for each column of each table: table, column, unit, and what it is called in the cost book."""
        rows = [
            (table, name, _unit(measure, self.system), _label(table, name))
            for table in TABLES
            for name, measure in measures(table).items()
        ]
        return pd.DataFrame(rows, columns=["table", "column", "unit", "label"], dtype="string")


def read(
    paths: Name | Iterable[Name] = (),
    *,
    ledger: Name | None = None,
    units: System | None = None,
    as_of: dt.date | None = None,
    processes: int = 0,
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
    as_of : datetime.date, optional
        Day after which nothing counts: not what was logged, billed or decided later, nor a job that was bid later. Of a
        ledger, what was posted later.
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
        compared = compare(posted(Path(ledger), as_of), system=units, as_of=as_of)
    else:
        compared = reconcile(workbooks(named), system=units, as_of=as_of, processes=processes)
    return Books(
        compared.system,
        {table: _frame(table, rows) for table, rows in compared.tables.items()},
        pd.DataFrame([one.record() for one in compared.findings], columns=list(_FINDING), dtype="string"),
        pd.DataFrame(list(compared.unread), columns=list(UNREAD), dtype="string"),
    )


def _frame(table: str, rows: Iterable[Row]) -> pd.DataFrame:
    # Told to pandas, so that a column without a single known figure is still one of numbers.
    kinds = {name: _KINDS.get(measure, "float64") for name, measure in measures(table).items()}
    return pd.DataFrame(list(rows), columns=list(kinds)).astype(kinds)


def _unit(measure: str, system: System) -> str:
    if measure == "share":
        return "0 to 1"
    return symbol(measure, system) if measure not in {"", "date"} else ""


def _label(table: str, name: str) -> str:
    # What follows from the posted figures stands on a sheet of its own, with the fields of its own block.
    field = next((one for block in _BLOCKS.get(table, (table,)) if (one := shipped("cost").blocks[block].field(name))), None)
    return name.replace("_", " ") if field is None else " ".join(field.label.split())
