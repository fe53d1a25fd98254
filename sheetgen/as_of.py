"""A job as it stood on a day: what was logged, billed or decided later does not count."""

from __future__ import annotations

import datetime as dt
from typing import TYPE_CHECKING, Any, Final

import attrs

from sheetgen.engine.lists import FINISHED
from sheetgen.findings import Finding, Report

if TYPE_CHECKING:
    from sheetgen.engine.job import Job

# Blocks whose rows have a date.
DATED: Final = ("hours_log", "materials_log", "costs_log", "change_orders", "bills", "weather_log")
# Those that say that there was still work to do; a bill may follow long after it.
_WORK: Final = ("hours_log", "materials_log", "costs_log")
# Statuses that only a decision of the customer gives.
_DECIDED: Final = frozenset({"won", "lost", "running"}) | FINISHED


def job_as_of(job: Job, day: dt.date, name: str) -> tuple[Job | None, tuple[Finding, ...]]:
    """Return a job as it stood at the end of a day.

    Parameters
    ----------
    job : Job
        As it stands in its book.
    day : datetime.date
        The day.
    name : str
        What its book is called.

    Returns
    -------
    job : Job or None
        The same without the rows of later dates, each left blank in its place, and with the status that it had then as far
        as its dates tell; None where it was bid later. A row without a date counts.
    findings : tuple of Finding
        What does not count.
    """
    report = Report()
    heading = job.job
    if _later(heading.bid_date, day):
        report.note("job-later", name, f"was bid on {heading.bid_date}, after {day}: it is left out", "ask for a later --as-of")
        return None, tuple(report)
    kept: dict[str, Any] = {block: tuple(_blank(row) if _later(row.date, day) else row for row in getattr(job, block)) for block in DATED}
    dropped = {block: _count(getattr(job, block), day) for block in DATED}
    if any(dropped.values()):
        said = ", ".join(f"{count} of {block.replace('_', ' ')}" for block, count in dropped.items() if count)
        report.note("rows-later", name, f"rows dated after {day} do not count: {said}", "ask for a later --as-of")
    status = heading.status
    if _later(heading.decided_date, day) and status in _DECIDED:
        status = "bid" if _later(heading.sent_date, day) else "sent"
    elif status in FINISHED and (_later(heading.finished_date, day) or any(dropped[block] for block in _WORK)):
        status = "running"
    elif status == "sent" and _later(heading.sent_date, day):
        status = "bid"
    if status != heading.status:
        what = f"is {heading.status} now and was {status} on {day}, as its dates tell: it counts as {status}"
        report.note("status-then", name, what, "nothing, unless a date in it is wrong")
    return attrs.evolve(job, job=attrs.evolve(heading, status=status), **kept), tuple(report)


def _later(date: dt.date | None, day: dt.date) -> bool:
    return date is not None and date > day


def _count(rows: tuple[Any, ...], day: dt.date) -> int:
    return sum(_later(row.date, day) for row in rows)


def _blank(row: Any) -> Any:
    """Return a row of the same kind in which nothing is typed."""
    return type(row)(**dict.fromkeys(one.name for one in attrs.fields(type(row))))
