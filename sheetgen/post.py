"""Closed jobs go from their books into the ledger, and from there into the tables again."""

from __future__ import annotations

import collections
from typing import TYPE_CHECKING, Final, Literal

import attrs

from sheetgen.book.compile import compiled
from sheetgen.book.stamp import Stamp
from sheetgen.content import Difference, content_of, differences
from sheetgen.engine.lists import FINISHED
from sheetgen.figures import Figures, figures_of
from sheetgen.findings import Finding, Refused, Report, Severity
from sheetgen.ledger import Ledger, Posting, Revision, reading, writing
from sheetgen.pool import in_order
from sheetgen.reconcile import take
from sheetgen.units import SYSTEMS

if TYPE_CHECKING:
    import datetime as dt
    from collections.abc import Callable, Iterator, Sequence
    from pathlib import Path

COMMAND: Final = "post"


@attrs.frozen
class Closing:
    """A job that may be posted.

    Parameters
    ----------
    posting : Posting
        The job.
    stamp : Stamp
        Of its book.
    """

    posting: Posting
    stamp: Stamp


@attrs.frozen
class Outcome:
    """What became of one book.

    Parameters
    ----------
    book : str
        The file, as it was named.
    became : str
        ``posted``, ``amended``, ``unchanged`` or ``not posted``.
    book_id, job_number, job_name : str or None
        The job; None where the book was not read.
    revision : int or None
        How often the job was entered in the ledger [count].
    posted_on : datetime.date or None
        Day of the last of these.
    changes : tuple of Difference
        Where the book differs from what was posted before.
    """

    book: str
    became: Literal["posted", "amended", "unchanged", "not posted"] = "not posted"
    book_id: str | None = None
    job_number: str | None = None
    job_name: str | None = None
    revision: int | None = None
    posted_on: dt.date | None = None
    changes: tuple[Difference, ...] = ()


def post(
    paths: Sequence[Path],
    ledger: Path,
    *,
    day: dt.date,
    amend: str = "",
    each: Callable[[Path], None] | None = None,
    processes: int = 1,
) -> tuple[list[Outcome], tuple[Finding, ...]]:
    """Post the closed jobs of filled books, all in one transaction.

    Parameters
    ----------
    paths : sequence of Path
        Filled bid books.
    ledger : Path
        The ledger; made where there is none.
    day : datetime.date
        Day of the posting.
    amend : str
        Why jobs that were changed after they were posted are to be posted anew; nothing refuses them.
    each : callable, optional
        Told each path once its book is read.
    processes : int
        How many may read at once, where there are many books [count].

    Returns
    -------
    outcomes : list of Outcome
        What became of each book.
    findings : tuple of Finding
        Why a job was not posted, and where a changed one differs.

    Raises
    ------
    Refused
        The ledger cannot be written; then nothing was.
    """
    report = Report()
    closings: dict[int, Closing] = {}
    outcomes = [Outcome(str(path)) for path in paths]
    for place, (path, (closing, findings)) in enumerate(zip(paths, in_order(_closing, paths, processes), strict=True)):
        report.extend(findings)
        if closing is not None:
            closings[place] = closing
        if each is not None:
            each(path)
    closings = _agreeing(closings, report)
    if closings:
        _note_new(ledger, report)
        with writing(ledger) as held:
            clerk = _Clerk(held, report, day, amend)
            for place, closing in closings.items():
                outcomes[place] = clerk.enter(closing, outcomes[place])
    if amend and not any(one.became == "amended" for one in outcomes):
        report.note("amend-none", str(ledger), "no job was amended: none that was posted differs from its book")
    return outcomes, tuple(report)


def _note_new(ledger: Path, report: Report) -> None:
    if not ledger.exists():
        report.note("ledger-new", str(ledger), "is a new ledger", "nothing, unless you keep another: then name it with --ledger")


def _closing(path: Path) -> tuple[Closing | None, tuple[Finding, ...]]:
    """Return the job of a book where it may be posted, and what was found."""
    book, findings = take(path, lambda read: read, "was not read: its job was not posted")
    if book is None:
        return None, findings
    report = Report(findings)
    name, heading, stamp = book.filled.path.name, book.job.job, book.filled.stamp
    if heading.status not in FINISHED:
        what = f"has the status '{heading.status or ''}': only a job that is done or closed is posted"
        report.look("job-open", name, what, "post it when it is done")
    elif heading.number is None:
        what = "has no job number: a posted job is known by the id of its book and its number"
        report.error("job-number", name, what, "give it a number and post it again")
    else:
        tables = figures_of(book).tables
        posting = Posting(stamp.book_id, heading.number, name, stamp.system, content_of(book.filled), tables)
        return Closing(posting, stamp), tuple(report)
    return None, tuple(report)


def _agreeing(closings: dict[int, Closing], report: Report) -> dict[int, Closing]:
    """Leave out the books of one run that tell the same job otherwise: which is right is not for a program to say."""
    told: dict[tuple[str, str], dict[str, str]] = collections.defaultdict(dict)
    for closing in closings.values():
        job = closing.posting
        told[job.book_id, job.number].setdefault(job.fingerprint, job.workbook)
    agreeing = {}
    for place, closing in closings.items():
        job = closing.posting
        others = [workbook for mark, workbook in told[job.book_id, job.number].items() if mark != job.fingerprint]
        if not others:
            agreeing[place] = closing
            continue
        what = f"tells job {job.number} otherwise than {', '.join(others)}, which has the same id; neither was posted"
        report.error("job-twice", job.workbook, what, "leave out the one that is wrong, or give each job its own number")
    return agreeing


class _Clerk:
    """Enters jobs into a ledger, one after the other, within one transaction."""

    def __init__(self, ledger: Ledger, report: Report, day: dt.date, amend: str) -> None:
        self._ledger = ledger
        self._report = report
        self._day = day
        self._amend = amend
        self._run: int | None = None

    def enter(self, closing: Closing, outcome: Outcome) -> Outcome:
        """Enter a job, or say why not."""
        job = closing.posting
        name = job.tables["jobs"][0]["job_name"]
        outcome = attrs.evolve(outcome, book_id=job.book_id, job_number=job.number, job_name=name)
        held = self._ledger.newest(job.book_id, job.number)
        if held is None:
            self._name_relatives(job)
            return attrs.evolve(outcome, became="posted", revision=self._post(job), posted_on=self._day)
        if held.fingerprint == job.fingerprint:
            return attrs.evolve(outcome, became="unchanged", revision=held.revision, posted_on=held.day)
        plan = compiled(closing.stamp.kind, closing.stamp.system, closing.stamp.rows).plan
        outcome = attrs.evolve(outcome, changes=tuple(differences(held.posting.content, job.content, plan)))
        if self._amend:
            return attrs.evolve(outcome, became="amended", revision=self._post(job, self._amend), posted_on=self._day)
        self._report.error(
            "job-changed", job.workbook, f"job {job.number} was posted on {held.day} and the book was changed since",
            'undo the change; or post it with --amend "why"; or, if it is another job, give it a number of its own',
        )  # fmt: skip
        return attrs.evolve(outcome, revision=held.revision, posted_on=held.day)

    def _post(self, job: Posting, reason: str = "") -> int:
        if self._run is None:
            self._run = self._ledger.begin(COMMAND, self._day)
        return self._ledger.post(self._run, job, reason)

    def _name_relatives(self, job: Posting) -> None:
        """Report that a job to be posted first shares its id or its number with one that is posted."""
        if numbers := self._ledger.numbers(job.book_id):
            self._report.look(
                "book-copied", job.workbook,
                f"has the id of job {numbers[0]} but the number {job.number}: it is a copied book, posted as a job of its own",
                "nothing, if it is another job",
            )  # fmt: skip
        elif workbooks := self._ledger.workbooks(job.number):
            self._report.look(
                "number-twice", job.workbook,
                f"has the number of a job that was posted from another book, {workbooks[0]}: both are counted in every total",
                "nothing, if it is another job",
            )  # fmt: skip


def posted(ledger: Path) -> Iterator[tuple[Figures, tuple[Finding, ...]]]:
    """Yield the figures of every job as it was last posted, in the order in which they were first posted.

    Raises
    ------
    Refused
        There is no such ledger, it cannot be read, or nothing was posted to it.
    """
    with reading(ledger) as held:
        none = True
        for revision in held.jobs():
            none = False
            yield _figures(revision), _amended(revision)
        if none:
            what = "holds no job: nothing was posted to it"
            raise Refused([Finding("ledger-empty", Severity.ERROR, str(ledger), what, "post jobs first, or name another with --ledger")])


def _figures(revision: Revision) -> Figures:
    job = revision.posting
    (system,) = [one for one in SYSTEMS if one == job.units]
    return Figures(system, {name: tuple(dict(row) for row in rows) for name, rows in job.tables.items()})


def _amended(revision: Revision) -> tuple[Finding, ...]:
    if not revision.reason:
        return ()
    what = f"job {revision.posting.number} was amended on {revision.day}: {revision.reason}"
    return (Finding("job-amended", Severity.NOTE, revision.posting.workbook, what),)
