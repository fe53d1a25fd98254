"""Hours of a time clock and receipts of suppliers go into the log of a book: a new book, with these rows added."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping
from pathlib import Path
from typing import Any, Final

import attrs

from sheetgen.book.compile import planned
from sheetgen.carry import Carried, carry_job, read_for_carrying, with_new_fields
from sheetgen.check.recalculate import Program
from sheetgen.csv_rows import read_table
from sheetgen.findings import Finding, Refused, Report, Severity
from sheetgen.log_rows import added_rows

# The table that takes the rows of each kind of file.
LOGS: Final = {"hours": "hours_log", "materials": "materials_log", "costs": "costs_log"}


@attrs.frozen
class Logged:
    """A book with rows added to its log.

    Parameters
    ----------
    carried : Carried
        The new book, and what became of what was in the old one.
    added : mapping of str to int
        Rows added, by table [count].
    findings : tuple of Finding
        Columns left out, and rows that were there already.
    """

    carried: Carried
    added: Mapping[str, int]
    findings: tuple[Finding, ...]


def log(
    path: Path, files: Mapping[str, Path], out: Path, *, made_on: dt.date, book_id: str = "", program: Program = "ironcalc"
) -> Logged:
    """Carry a bid book into a new one and add the rows of CSV files to its log.

    Parameters
    ----------
    path : Path
        A filled bid book; it is never written to.
    files : mapping of {'hours', 'materials', 'costs'} to Path
        CSV files.
    out : Path
        Where the new book goes.
    made_on : datetime.date
        Day written into the new book; what is dated later is told.
    book_id : str
        That of the old book unless given.
    program : {'ironcalc', 'libreoffice'}
        Which program recalculates.

    Returns
    -------
    Logged
        The book, and what was added.

    Raises
    ------
    Refused
        A row of a file cannot be used: all such rows are named, and there is no output. Or the book cannot be carried.
    """
    filled = read_for_carrying(path)
    if filled.stamp.kind != "bid":
        what = f"is a book of kind '{filled.stamp.kind}' and has no log"
        raise Refused([Finding("stamp-kind", Severity.ERROR, path.name, what, "give a filled bid book")])
    job = with_new_fields(filled)
    plan = planned("bid", job.system)
    report = Report()
    added: dict[str, int] = {}
    changes: dict[str, Any] = {}
    for kind, file in files.items():
        block = LOGS[kind]
        if block not in plan.book.blocks or not hasattr(job, block):
            what = f"cannot be added: books of this version have no table for {kind}"
            report.error("log-table", file.name, what, "type them into the book as it allows")
            continue
        try:
            records = added_rows(read_table(file), block, job, plan, made_on, report)
        except Refused as refused:
            report.extend(refused.findings)
            continue
        changes[block] = (*getattr(job, block), *records)
        added[block] = len(records)
    if report.failed:
        raise Refused(report)
    keep = book_id or filled.stamp.book_id
    carried = carry_job(
        filled, attrs.evolve(job, **changes), out, made_on=made_on, system=None, rows=None, book_id=keep, program=program
    )
    return Logged(carried, added, tuple(report))
