"""Rows of a CSV file become records of a log: each is taken, or named with its line and the reason."""

from __future__ import annotations

import datetime as dt
import difflib
from typing import TYPE_CHECKING, Any, Final

import attrs

from sheetgen.book.validate import bounds
from sheetgen.check.meet import attribute
from sheetgen.engine.job import Job
from sheetgen.engine.lists import FINISHED
from sheetgen.log_columns import NEEDED, Column, columns_of
from sheetgen.reader.cell_text import Typed, as_clock, as_date, as_number, as_text
from sheetgen.reader.cells import RawCell

if TYPE_CHECKING:
    from collections.abc import Collection, Iterable, Mapping

    from sheetgen.book.plan import Plan
    from sheetgen.csv_rows import Table
    from sheetgen.findings import Report

# What tells one entry from another, where all of it is given.
KEYS: Final[dict[str, tuple[str, ...]]] = {
    "hours_log": ("person", "date", "task"),
    "materials_log": ("receipt", "product"),
    "costs_log": ("receipt", "supplier"),
}
# So many names that may be meant are told [count].
_NEAR: Final = 3
# How like a name must be, 0 to 1: a slip of the hand is, another word of five letters is not.
_LIKE: Final = 0.7
# A clock is a fraction of a day [h].
_HOURS_OF_A_DAY: Final = 24.0


def added_rows(table: Table, block: str, job: Job, plan: Plan, today: dt.date, report: Report) -> tuple[Any, ...]:
    """Return the records that a file adds to a log of a job.

    Parameters
    ----------
    table : Table
        The file.
    block : str
        The log.
    job : Job
        With its log so far and the names that may be chosen, in the units of the book.
    plan : Plan
        The plan of the book.
    today : datetime.date
        Day after which nothing can have been done yet.
    report : Report
        Takes an error for each cell that cannot be used, and a look for each row that is there already and for odd days.
    """
    columns = columns_of(table, plan.book.blocks[block], plan, report)
    if report.failed:
        return ()
    make = attrs.fields_dict(Job)[block].metadata["record"]
    names = {attribute(one.name): None for one in attrs.fields(make)}
    reading = _Reading(table.name, columns, job, plan, report)
    held: dict[tuple[Any, ...], list[tuple[str, Any]]] = {}
    for number, record in enumerate(getattr(job, block), start=1):
        if (key := _key(block, record)) is not None:
            held.setdefault(key, []).append((f"row {number} of the log", record))
    added = {}
    for line, cells in table.rows:
        values = reading.row(line, cells)
        for name in NEEDED[block]:
            if values is not None and values.get(name) is None:
                field = next(column for column in columns if column.field.name == name)
                report.error("log-row", f"{table.name} line {line}", f"'{field.heading}' is blank", "fill it in, or take the line out")
                values = None
        if values is None:
            continue
        record = make(**{**names, **values})
        key = _key(block, record)
        if key is None or not _is_there(record, values, held.get(key, []), f"{table.name} line {line}", report):
            added[line] = record
        if key is not None:
            held.setdefault(key, []).append((f"line {line}", record))
    if not report.failed:
        _odd_days(table.name, {line: record.date for line, record in added.items() if record.date is not None}, job, today, report)
    return tuple(added.values())


def _odd_days(file: str, days: Mapping[int, dt.date], job: Job, today: dt.date, report: Report) -> None:
    """Report the rows of days that are still to come, or on which the job was done already; they are taken all the same."""
    ahead = {line: day for line, day in days.items() if day > today}
    if ahead:
        what = f"dated {_days(ahead)}, after {today}: taken all the same"
        mend = "correct the days in the book; if they are right, see that --date is the day of today"
        report.look("log-ahead", _lines(file, ahead), what, mend)
    if job.job.status not in FINISHED:
        return
    end, why = job.job.finished_date, "the day on which the job was finished"
    if end is None:
        end, why = max((entry.date for entry in job.hours_log if entry.date is not None), default=None), "the last day of its log"
    late = {line: day for line, day in days.items() if end is not None and day > end and line not in ahead}
    if late:
        what = f"dated {_days(late)}, after {end}, {why}: taken all the same"
        mend = "look whether they belong to this job; if they do, correct its status or the day on which it was finished"
        report.look("log-after-end", _lines(file, late), what, mend)


def _lines(file: str, lines: Collection[int]) -> str:
    return f"{file} {'line' if len(lines) == 1 else 'lines'} {', '.join(map(str, lines))}"


def _days(days: Mapping[int, dt.date]) -> str:
    first, last = min(days.values()), max(days.values())
    return str(first) if first == last else f"{first} to {last}"


def _key(block: str, record: Any) -> tuple[Any, ...] | None:
    """Return what tells an entry from others; None where something of it is not given."""
    parts = [getattr(record, name, None) for name in KEYS[block]]
    if any(part is None for part in parts):
        return None
    return tuple(_folded(part) if isinstance(part, str) else part for part in parts)


def _is_there(record: Any, given: dict[str, Any], others: Iterable[tuple[str, Any]], place: str, report: Report) -> bool:
    """Return whether the log has an entry already, and say so; one that only may be the same is told and taken."""
    alike = list(others)
    for where, other in alike:
        if all(_same(value, getattr(other, name)) for name, value in given.items()):
            what = f"is the same as {where}: it was not taken a second time"
            report.look("log-twice", place, what, "nothing; if it is meant twice, tell them apart by a note")
            return True
    if alike:
        what = f"has the same {_words(record)} as {alike[0][0]} and says something else: it was taken"
        report.look("log-alike", place, what, "look whether both are meant; one of them may be taken out in the book")
    return False


def _words(record: Any) -> str:
    block = next(name for name, one in attrs.fields_dict(Job).items() if one.metadata.get("record") is type(record))
    first, *rest = KEYS[block]
    return ", ".join((first, *rest[:-1])) + f" and {rest[-1]}"


def _same(one: Any, other: Any) -> bool:
    if isinstance(one, float) and isinstance(other, float):
        return abs(one - other) <= 1e-9 * max(abs(one), abs(other), 1.0)
    return _folded(one) == _folded(other) if isinstance(one, str) and isinstance(other, str) else bool(one == other)


class _Reading:
    """Reads the cells of a file's columns as the cells of a book are read."""

    def __init__(self, file: str, columns: list[Column], job: Job, plan: Plan, report: Report) -> None:
        self._file = file
        self._columns = columns
        self._plan = plan
        self._report = report
        self._chosen = {
            column.field.name: _choices(column, job, plan) for column in columns if column.field.kind == "choice"
        }

    def row(self, line: int, cells: tuple[str, ...]) -> dict[str, Any] | None:
        """Return the values of a row by attribute; None where one cannot be used, which is reported."""
        values: dict[str, Any] = {}
        sound = True
        for column in self._columns:
            typed = self._typed(column, RawCell(cells[column.at], "text"))
            problem, mend = typed.problem, typed.mend
            value = typed.value
            if problem is None and isinstance(value, float):
                value *= column.factor
                problem, mend = self._beyond(column, value)
            if problem is None and isinstance(value, str) and column.field.kind == "choice":
                value, problem, mend = self._choice(column, value)
            if problem is not None:
                self._report.error("log-row", f"{self._file} line {line}, '{column.heading}'", problem, mend or "type it anew")
                sound = False
            elif value is not None:
                values[attribute(column.field.name)] = value
        return values if sound else None

    def _typed(self, column: Column, cell: RawCell) -> Typed:
        field = column.field
        if field.kind == "choice" or field.unit == "text":
            return as_text(cell)
        if field.unit == "date":
            return as_date(cell)
        if field.unit == "clock":
            return as_clock(cell)
        if field.unit == "hour" and ":" in str(cell.value):
            # A time clock writes seven and a half hours as 7:30.
            clock = as_clock(cell)
            return Typed(clock.value * _HOURS_OF_A_DAY / column.factor) if isinstance(clock.value, float) else clock
        return as_number(cell, column.symbol, share=field.unit == "share")

    def _beyond(self, column: Column, value: float) -> tuple[str | None, str]:
        least, most = bounds(column.field, self._plan)
        if column.field.unit == "clock" or least <= value <= most:
            return None, ""
        return f"{value:g} is beyond {least:g} to {most:g}", "correct the number, or the unit in the heading"

    def _choice(self, column: Column, word: str) -> tuple[str | None, str | None, str]:
        chosen = self._chosen[column.field.name]
        found = chosen.get(_folded(word))
        if found is not None:
            return found, None, ""
        return None, f"'{word}' is not in the list", self._near(column, word)

    def _near(self, column: Column, word: str) -> str:
        """Return what may be meant by a word, and where all that may be chosen stands."""
        chosen = self._chosen[column.field.name]
        source, _, field = column.field.choices.partition(".")
        if not field:
            return f"use one of: {' | '.join(str(record['word']) for record in self._plan.book.blocks[source].records)}"
        spot, label = self._plan.spot(source, field), self._plan.book.blocks[source].field(field)
        assert label is not None
        where = f"the sheet {spot.sheet}, column '{' '.join(label.label.split())}'"
        near = [f"'{chosen[one]}'" for one in difflib.get_close_matches(_folded(word), chosen, n=_NEAR, cutoff=_LIKE)]
        if near:
            return f"perhaps {' or '.join(near)}? All of them stand on {where}"
        return f"use a name that stands on {where}, or type it there first"


def _choices(column: Column, job: Job, plan: Plan) -> dict[str, str]:
    """Return what may be chosen: a name of the job, or the code of a list by its word or code."""
    source, _, field = column.field.choices.partition(".")
    if field:
        names = [getattr(record, attribute(field)) for record in getattr(job, source)]
        return {_folded(name): name for name in names if name is not None}
    records = plan.book.blocks[source].records
    return {_folded(str(record[key])): str(record["code"]) for record in records for key in ("code", "word")}


def _folded(text: str) -> str:
    return " ".join(text.split()).casefold()


