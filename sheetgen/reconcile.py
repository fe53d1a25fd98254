"""Filled books become a comparison of estimate and actual: by job, by task, by product, by topping."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final, TypeVar

import attrs

from sheetgen.check.meet import figures, job_of
from sheetgen.engine.lists import FINISHED
from sheetgen.figures import ENGINE, TABLES, Figures, Read, Row, figures_of, in_units
from sheetgen.findings import Finding, Refused, Report, Severity
from sheetgen.pool import in_order
from sheetgen.reader.filled import Filled, read_each
from sheetgen.units import System

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
    from pathlib import Path

Used = TypeVar("Used")
# Books of ours that hold no job, by kind.
_JOBLESS: Final = {"cost": "cost book", "rates": "rate book"}


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
    """

    system: System
    tables: Mapping[str, tuple[Row, ...]] = attrs.field(repr=False)
    jobs: tuple[Figures, ...] = attrs.field(repr=False)
    findings: tuple[Finding, ...]

    @property
    def books(self) -> int:
        """How many jobs there are [count]."""
        return len(self.jobs)


def read_book(filled: Filled) -> tuple[Read, tuple[Finding, ...]]:
    """Compute the figures of a filled bid book anew.

    Raises
    ------
    Refused
        An input in it cannot be read.
    """
    if any(finding.severity is Severity.ERROR for finding in filled.findings):
        raise Refused(filled.findings)
    job = job_of(filled.entries, filled.stamp.system)
    return Read(filled, job, figures(job, filled.compiled.plan, ENGINE)), filled.findings


def reconcile(
    paths: Sequence[Path],
    *,
    system: System | None = None,
    each: Callable[[Path], None] | None = None,
    processes: int = 1,
) -> Comparison:
    """Compare estimate and actual over filled books.

    Parameters
    ----------
    paths : sequence of Path
        Filled bid books.
    system : {'us', 'metric'}, optional
        Units of the tables; those of the first book that is read unless given.
    each : callable, optional
        Told each path once its book is done.
    processes : int
        How many may read at once, where there are many books [count].

    Returns
    -------
    Comparison
        Tables and findings; a book that cannot be read is named there and left out.
    """

    def taken() -> Iterator[tuple[Figures | None, tuple[Finding, ...]]]:
        for path, answer in zip(paths, in_order(_taken, paths, processes), strict=True):
            yield from answer
            if each is not None:
                each(path)

    return compare(taken(), system=system)


def _taken(path: Path) -> list[tuple[Figures | None, tuple[Finding, ...]]]:
    """Return the figures of each book in a file and what was found in it; no figures where it is left out."""
    return take(path, figures_of, "was not read: its figures are not in the tables")


def take(path: Path, use: Callable[[Read], Used], left_out: str) -> list[tuple[Used | None, tuple[Finding, ...]]]:
    """Read one of many files, of which a bad one does not stop the others.

    Parameters
    ----------
    path : Path
        The file: a book, or a person's own workbook in which one or several stand.
    use : callable
        Told a book; returns what is wanted of it.
    left_out : str
        What it means that a book cannot be read.

    Returns
    -------
    list of tuple
        For each book what `use` returned, None where it is left out; and what was found in it, or why it is left out.
    """
    try:
        books = read_each(path)
    except Refused as refused:
        return [(None, (*refused.findings, _left_out(path.name, left_out)))]
    return [_take(filled, use, left_out) for filled in books]


def _take(filled: Filled, use: Callable[[Read], Used], left_out: str) -> tuple[Used | None, tuple[Finding, ...]]:
    jobless = _JOBLESS.get(filled.stamp.kind)
    if jobless is not None:
        what = f"is a {jobless}: it holds no job of its own and was passed over"
        return None, (Finding("book-other", Severity.NOTE, filled.name, what),)
    try:
        book, findings = read_book(filled)
    except Refused as refused:
        return None, (*refused.findings, _left_out(filled.name, left_out))
    return use(book), findings


def _left_out(name: str, what: str) -> Finding:
    return Finding("book-left-out", Severity.ERROR, name, what, "mend it and run again")


def compare(taken: Iterable[tuple[Figures | None, tuple[Finding, ...]]], *, system: System | None = None) -> Comparison:
    """Put the figures of jobs into common tables.

    Parameters
    ----------
    taken : iterable of (Figures or None, tuple of Finding)
        The figures of each job, and what was found in its book.
    system : {'us', 'metric'}, optional
        Units of the tables; those of the first job unless given.

    Returns
    -------
    Comparison
        Tables and findings.
    """
    report = Report()
    tables: dict[str, list[Row]] = {name: [] for name in TABLES}
    ids: dict[str, dict[str | None, str]] = {}
    jobs = []
    for job, findings in taken:
        report.extend(findings)
        if job is None:
            continue
        system = system or job.system
        jobs.append(job)
        _twin_findings(job.head, ids.setdefault(job.head["book_id"], {}), report)
        _log_findings(job.head, report)
        for name, rows in tables.items():
            rows.extend(in_units(name, row, system) for row in job.tables.get(name, ()))
    return Comparison(system or ENGINE, {name: tuple(rows) for name, rows in tables.items()}, tuple(jobs), tuple(report))


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


def _log_findings(job: Row, report: Report) -> None:
    wrong = job["log_rows_wrong"]
    if isinstance(wrong, float) and wrong > 0:
        report.look(
            "log-rows", f"{job['workbook']} Log", f"{wrong:.0f} rows of the log cannot be used; what needs them is not known",
            "see the column beside them that says what is wrong",
        )  # fmt: skip
    if job["status"] not in FINISHED:
        report.note("job-running", job["workbook"], "is not done: it has no totals of variance")


