"""Filled books become a comparison of estimate and actual: by job, by task, by product, by topping, by other cost."""

from __future__ import annotations

import functools
from typing import TYPE_CHECKING, Final, TypeVar

import attrs

from sheetgen.as_of import job_as_of
from sheetgen.book_figures import Read, figures_of
from sheetgen.check.meet import figures, job_of
from sheetgen.engine.job import Job
from sheetgen.engine.lists import FINISHED
from sheetgen.figures import ENGINE, TABLES, UNREAD, Figures, Row, in_units
from sheetgen.findings import Finding, Refused, Report, Severity
from sheetgen.pool import in_order
from sheetgen.reader.filled import Filled, read_each, read_filled
from sheetgen.units import System

if TYPE_CHECKING:
    import datetime as dt
    from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
    from pathlib import Path

Used = TypeVar("Used")
# What became of each book in a file, None where it is left out; and what was found in it.
Taken = list[tuple[Used | None, tuple[Finding, ...]]]
# Code of the finding that a book was not read.
LEFT_OUT: Final = "book-left-out"
# Books of ours that hold no job, by kind.
_JOBLESS: Final = {"cost": "cost book", "rates": "rate book"}
_LEFT_OUT: Final = "was not read: its figures are not in the tables"


@attrs.frozen
class Comparison:
    """The tables over all jobs.

    Parameters
    ----------
    system : {'us', 'metric'}
        Units of the tables.
    tables : mapping of str to tuple of dict
        Rows by table; a value that is not known is None.
    jobs : tuple of Figures
        The same by job, in the engine's own units.
    findings : tuple of Finding
        What was found in the books, and every book that was not read.
    unread : tuple of dict
        The books that were not read: workbook, what is wrong, and how to mend it.
    as_of : datetime.date or None
        Day after which nothing counts; None where everything does.
    """

    system: System
    tables: Mapping[str, tuple[Row, ...]] = attrs.field(repr=False)
    jobs: tuple[Figures, ...] = attrs.field(repr=False)
    findings: tuple[Finding, ...]
    unread: tuple[Row, ...] = ()
    as_of: dt.date | None = None

    @property
    def books(self) -> int:
        """How many jobs there are [count]."""
        return len(self.jobs)


def read_book(path: Path) -> tuple[Read, tuple[Finding, ...]]:
    """Read the one filled bid book of a file and compute its figures anew.

    Raises
    ------
    Refused
        There is none, there are several, or an input in it cannot be read.
    """
    filled = read_filled(path)
    return _figured(filled, job_in(filled)), filled.findings


def job_in(filled: Filled) -> Job:
    """Return what was typed into a bid book.

    Raises
    ------
    Refused
        It is a book of another kind, or an input in it cannot be read.
    """
    if filled.stamp.kind != "bid":
        what = f"is a book of kind '{filled.stamp.kind}'"
        raise Refused([Finding("stamp-kind", Severity.ERROR, filled.name, what, "give filled bid books")])
    if any(finding.severity is Severity.ERROR for finding in filled.findings):
        raise Refused(filled.findings)
    return job_of(filled.entries, filled.stamp.system)


def _figured(filled: Filled, job: Job) -> Read:
    return Read(filled, job, figures(job, filled.compiled.plan, ENGINE))


def reconcile(
    paths: Sequence[Path],
    *,
    system: System | None = None,
    as_of: dt.date | None = None,
    each: Callable[[Path], None] | None = None,
    processes: int = 0,
) -> Comparison:
    """Compare estimate and actual over filled books.

    Parameters
    ----------
    paths : sequence of Path
        Filled bid books.
    system : {'us', 'metric'}, optional
        Units of the tables; those of the first book that is read unless given.
    as_of : datetime.date, optional
        Day after which nothing counts: not what was logged, billed or decided later, nor a job that was bid later.
    each : callable, optional
        Told each path once its book is done.
    processes : int
        How many workers may read at once; with 0 this process reads by itself [count].

    Returns
    -------
    Comparison
        Tables and findings; a book that cannot be read is named there and left out.
    """

    def taken() -> Iterator[tuple[Figures | None, tuple[Finding, ...]]]:
        read = functools.partial(_taken, as_of=as_of)
        for path, answer in zip(paths, in_order(read, paths, processes, _lost), strict=True):
            yield from answer
            if each is not None:
                each(path)

    return compare(taken(), system=system, as_of=as_of)


def _taken(path: Path, as_of: dt.date | None) -> Taken[Figures]:
    """Return the figures of each book in a file and what was found in it; no figures where it is left out."""
    return take(path, figures_of, _LEFT_OUT, as_of)


def _lost(path: Path, finding: Finding) -> Taken[Figures]:
    return [(None, (finding, left_out(path.name, _LEFT_OUT)))]


def left_out(name: str, what: str) -> Finding:
    """Return the finding for one of many books that is not used."""
    return Finding(LEFT_OUT, Severity.ERROR, name, what, "mend it and run again")


def take(path: Path, use: Callable[[Read], Used], without: str, as_of: dt.date | None = None) -> Taken[Used]:
    """Read one of many files, of which a bad one does not stop the others.

    Parameters
    ----------
    path : Path
        The file: a book, or a person's own workbook in which one or several stand.
    use : callable
        Told a book; returns what is wanted of it.
    without : str
        What it means that a book cannot be read.
    as_of : datetime.date, optional
        Day after which nothing counts.

    Returns
    -------
    list of tuple
        For each book what `use` returned, None where it is left out; and what was found in it, or why it is left out.
    """
    try:
        books = read_each(path)
    except Refused as refused:
        return [(None, (*refused.findings, left_out(path.name, without)))]
    return [_take(filled, use, without, as_of) for filled in books]


def _take(
    filled: Filled, use: Callable[[Read], Used], without: str, as_of: dt.date | None
) -> tuple[Used | None, tuple[Finding, ...]]:
    jobless = _JOBLESS.get(filled.stamp.kind)
    if jobless is not None:
        what = f"is a {jobless}: it holds no job of its own and was passed over"
        return None, (Finding("book-other", Severity.NOTE, filled.name, what),)
    try:
        job = job_in(filled)
        if as_of is None:
            return use(_figured(filled, job)), filled.findings
        then, later = job_as_of(job, as_of, filled.name)
        return None if then is None else use(_figured(filled, then)), (*filled.findings, *later)
    except Refused as refused:
        return None, (*refused.findings, left_out(filled.name, without))


def compare(
    taken: Iterable[tuple[Figures | None, tuple[Finding, ...]]], *, system: System | None = None, as_of: dt.date | None = None
) -> Comparison:
    """Put the figures of jobs into common tables.

    Parameters
    ----------
    taken : iterable of (Figures or None, tuple of Finding)
        The figures of each job, and what was found in its book.
    system : {'us', 'metric'}, optional
        Units of the tables; those of the first job unless given.
    as_of : datetime.date, optional
        Day as of which they were read.

    Returns
    -------
    Comparison
        Tables and findings.
    """
    report = Report()
    tables: dict[str, list[Row]] = {name: [] for name in TABLES}
    ids: dict[str, dict[str | None, str]] = {}
    numbers: dict[str, tuple[str, str]] = {}
    jobs = []
    unread: list[Row] = []
    for job, findings in taken:
        report.extend(findings)
        if job is None:
            unread.extend(_unread(findings))
            continue
        system = system or job.system
        jobs.append(job)
        _twin_findings(job.head, ids.setdefault(job.head["book_id"], {}), report)
        _number_findings(job.head, numbers, report)
        _log_findings(job.head, report)
        for name, rows in tables.items():
            rows.extend(in_units(name, row, system) for row in job.tables.get(name, ()))
    made = {name: tuple(rows) for name, rows in tables.items()}
    return Comparison(system or ENGINE, made, tuple(jobs), tuple(report), tuple(unread), as_of)


def _unread(findings: Sequence[Finding]) -> Iterator[Row]:
    """Yield what is said at the top of the cost book of a book that was left out: the first thing that is wrong with it."""
    wrong = [one for one in findings if one.severity is Severity.ERROR and one.code != LEFT_OUT]
    for left_out in findings:
        if left_out.code == LEFT_OUT:
            first = wrong[0] if wrong else left_out
            # Sheet and cell, which stand after the name of the file; some findings have its folder too.
            where = first.place.rpartition(left_out.place)[2].strip()
            what = f"{where}: {first.what}" if where else first.what
            more = f" (and {len(wrong) - 1} more, see the findings)" if len(wrong) > 1 else ""
            yield dict(zip(UNREAD, (left_out.place, f"{what}{more}", first.mend), strict=True))


def _twin_findings(job: Row, twins: dict[str | None, str], report: Report) -> None:
    """Report a book whose id was met before; the books of one id stand by job number."""
    number = job["job_number"]
    if number in twins:
        report.look(
            "book-twice", job["workbook"],
            f"has the id and the job number of {twins[number]}: both are counted in every total",
            "leave one out, or give each job its own number",
        )  # fmt: skip
    elif twins:
        first = next(iter(twins.values()))
        report.look(
            "book-copied", job["workbook"],
            f"has the id of {first} but another job number: it is a copied book, counted as a job of its own",
            "nothing, if it is another job; else leave one out",
        )  # fmt: skip
    twins.setdefault(number, job["workbook"])


def _number_findings(job: Row, numbers: dict[str, tuple[str, str]], report: Report) -> None:
    """Report a job number that was met before in another book; numbers stand with the workbook and its id."""
    number = job["job_number"]
    if not number:
        return
    workbook, book_id = numbers.setdefault(number, (job["workbook"], job["book_id"]))
    if book_id != job["book_id"]:
        report.look(
            "number-twice", job["workbook"],
            f"has the job number of {workbook}, {number}: both are counted in every total",
            "keep the later book of the job and take the other out of the folder; nothing, if they are two jobs",
        )  # fmt: skip


def _log_findings(job: Row, report: Report) -> None:
    wrong = job["log_rows_wrong"]
    if isinstance(wrong, float) and wrong > 0:
        rows = "1 row" if wrong == 1 else f"{wrong:.0f} rows"
        report.look(
            "log-rows", f"{job['workbook']} Log", f"{rows} of the log cannot be used; what needs that is not known",
            "see the column on the sheet that says what is wrong",
        )  # fmt: skip
    if job["status"] not in FINISHED:
        report.note("job-running", job["workbook"], "is not done: it has no totals of variance")


