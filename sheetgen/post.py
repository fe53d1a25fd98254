"""Closed jobs go from their books into the ledger, and from there into the tables again."""

from __future__ import annotations

import collections
from typing import TYPE_CHECKING, Any, Final, Literal

import attrs

from sheetgen.book.compile import planned
from sheetgen.book.stamp import Stamp
from sheetgen.book_figures import Read, figures_of
from sheetgen.changes import changes
from sheetgen.content import Difference, content_of, differences
from sheetgen.engine.lists import FINISHED
from sheetgen.figures import ENGINE, TABLES, Figures
from sheetgen.findings import Finding, Refused, Report, Severity
from sheetgen.ledger import Ledger, Posting, Revision, reading, writing
from sheetgen.pool import in_order
from sheetgen.reconcile import LEFT_OUT, Taken, left_out, take
from sheetgen.units import SYSTEMS

if TYPE_CHECKING:
    import datetime as dt
    from collections.abc import Callable, Iterator, Sequence
    from pathlib import Path

COMMAND: Final = "post"
# Why a book gives no job to post, by the finding that says so.
_WHY: Final[dict[str, Literal["no job", "no number", "not done", "unreadable"]]] = {
    LEFT_OUT: "unreadable", "job-number": "no number", "job-open": "not done", "book-other": "no job",
}  # fmt: skip
_LEFT_OUT: Final = "was not read: its job was not posted"


@attrs.frozen
class Told:
    """A job as its book tells it, before it is known what the ledger holds of it.

    Parameters
    ----------
    posting : Posting
        The job; while it is not closed, it adds no rows to the tables.
    stamp : Stamp
        Of its book.
    name, status : str or None
        Of the job.
    prefix : str
        Before the sheets of its book, where that stands in a person's own workbook.
    """

    posting: Posting
    stamp: Stamp
    name: str | None
    status: str | None
    prefix: str = ""

    @property
    def closed(self) -> bool:
        """Whether it may be posted."""
        return self.status in FINISHED


@attrs.frozen
class Outcome:
    """What became of one book.

    Parameters
    ----------
    book : str
        The file, as it was named.
    became : str
        ``posted``, ``amended``, ``unchanged`` (it is there already), ``same`` (as another book of the run) or ``not posted``.
    why : str
        Why it was not posted; nothing where it was.
    same_as : str or None
        The other book of the run that tells the same of the same job; that is posted once.
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
    became: Literal["posted", "amended", "unchanged", "same", "not posted"] = "not posted"
    why: Literal["", "changed", "no job", "no number", "not done", "told otherwise", "unreadable"] = ""
    same_as: str | None = None
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
    processes: int = 0,
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
        Why jobs that were changed after they were posted are posted anew; where it is empty, they are refused. One that is
        no longer closed is taken out of the tables.
    each : callable, optional
        Told each path once its book is read.
    processes : int
        How many workers may read at once; with 0 this process reads by itself [count].

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
    told: dict[int, Told] = {}
    outcomes: list[Outcome] = []
    for path, jobs in zip(paths, in_order(_told, paths, processes, _lost), strict=True):
        for job, findings in jobs:
            report.extend(findings)
            if job is not None:
                told[len(outcomes)] = job
            outcomes.append(Outcome(str(path), why=next((_WHY[one.code] for one in findings if one.code in _WHY), "")))
        if each is not None:
            each(path)
    agreeing = _agreeing(told, outcomes, report)
    for place in told.keys() - agreeing.keys():
        outcomes[place] = _of_job(outcomes[place], told[place], why="told otherwise")
    told = agreeing
    # A job that is not closed is looked up too, for it may have been posted before; for that alone no ledger is made.
    if any(job.closed for job in told.values()) or (told and ledger.exists()):
        _note_new(ledger, report)
        with writing(ledger) as held:
            clerk = _Clerk(held, report, day, amend)
            outcomes = [clerk.enter(told[place], one) if place in told else one for place, one in enumerate(outcomes)]
    else:
        for place, job in told.items():
            _note_open(job, report)
            outcomes[place] = _of_job(outcomes[place], job, why="not done")
    if amend and not any(one.became == "amended" for one in outcomes):
        report.note("amend-none", str(ledger), "no job was amended: none that was posted differs from its book")
    return outcomes, tuple(report)


def _of_job(outcome: Outcome, told: Told, **became: Any) -> Outcome:
    """Return an outcome with the job that its book tells."""
    return attrs.evolve(
        outcome, book_id=told.posting.book_id, job_number=told.posting.number or None, job_name=told.name, **became
    )


def _note_new(ledger: Path, report: Report) -> None:
    if not ledger.exists():
        report.note("ledger-new", str(ledger), "is a new ledger", "nothing, unless you keep another: then name it with --ledger")


def _note_open(job: Told, report: Report) -> None:
    what = f"has the status '{job.status or ''}': only a job that is done or closed is posted"
    report.look("job-open", job.posting.workbook, what, "post it when it is done")


def _lost(path: Path, finding: Finding) -> Taken[Told]:
    return [(None, (finding, left_out(path.name, _LEFT_OUT)))]


def _told(path: Path) -> Taken[Told]:
    """Return the job of each book in a file, and what was found; no job where it cannot be posted for want of something."""
    return [_job(book, findings) for book, findings in take(path, lambda read: read, _LEFT_OUT)]


def _job(book: Read | None, findings: tuple[Finding, ...]) -> tuple[Told | None, tuple[Finding, ...]]:
    if book is None:
        return None, findings
    name, heading, stamp = book.filled.name, book.job.job, book.filled.stamp
    tables = figures_of(book).tables if heading.status in FINISHED else {}
    posting = Posting(stamp.book_id, heading.number or "", name, stamp.system, content_of(book.filled), tables)
    job = Told(posting, stamp, heading.name, heading.status, book.filled.prefix)
    if heading.number is not None:
        return job, findings
    report = Report(findings)
    if job.closed:
        what = "has no job number: a posted job is known by the id of its book and its number"
        report.error("job-number", name, what, "give it a number and post it again")
    else:
        _note_open(job, report)
    return None, tuple(report)


def _agreeing(told: dict[int, Told], outcomes: Sequence[Outcome], report: Report) -> dict[int, Told]:
    """Leave out the books of one run that tell a closed job otherwise: which is right is not for a program to say."""
    books: dict[tuple[str, str], list[int]] = collections.defaultdict(list)
    for place, job in told.items():
        books[job.posting.book_id, job.posting.number].append(place)
    agreeing = {}
    for place, job in told.items():
        mine = job.posting
        same = books[mine.book_id, mine.number]
        others = [outcomes[one].book for one in same if told[one].posting.fingerprint != mine.fingerprint]
        if not others or not any(told[one].closed for one in same):
            agreeing[place] = job
            continue
        what = f"tells job {mine.number} otherwise than {', '.join(others)} with the same id; none of these was posted"
        report.error("job-twice", outcomes[place].book, what, "leave out what is wrong, or give each job its own number")
    return agreeing


class _Clerk:
    """Enters jobs into a ledger, one after the other, within one transaction."""

    def __init__(self, ledger: Ledger, report: Report, day: dt.date, amend: str) -> None:
        self._ledger = ledger
        self._report = report
        self._day = day
        self._amend = amend
        self._run: int | None = None
        # The book of this run that told a job first, by its id and number.
        self._first: dict[tuple[str, str], str] = {}

    def enter(self, told: Told, outcome: Outcome) -> Outcome:
        """Enter a job, or say why not."""
        job = told.posting
        outcome = _of_job(outcome, told)
        held = self._ledger.newest(job.book_id, job.number)
        if held is None and not told.closed:
            _note_open(told, self._report)
            return attrs.evolve(outcome, why="not done")
        first = self._first.setdefault((job.book_id, job.number), outcome.book)
        if held is None:
            self._name_relatives(job)
            return attrs.evolve(outcome, became="posted", revision=self._post(job), posted_on=self._day)
        if held.fingerprint == job.fingerprint and first != outcome.book:
            return attrs.evolve(outcome, became="same", same_as=first, revision=held.revision, posted_on=held.day)
        if held.fingerprint == job.fingerprint:
            self._name_other_figures(job, held)
            return attrs.evolve(outcome, became="unchanged", revision=held.revision, posted_on=held.day)
        plan = planned(told.stamp.kind, told.stamp.system, told.stamp.rows, prefix=told.prefix)
        outcome = attrs.evolve(outcome, changes=tuple(differences(held.posting.content, job.content, plan)))
        if self._amend:
            return attrs.evolve(outcome, became="amended", revision=self._post(job, self._amend), posted_on=self._day)
        self._report.error(
            "job-changed", job.workbook, f"job {job.number} was posted on {held.day} and the book was changed since",
            'undo the change; or post it with --amend "why"; or, if it is another job, give it a number of its own',
        )  # fmt: skip
        return attrs.evolve(outcome, why="changed", revision=held.revision, posted_on=held.day)

    def _post(self, job: Posting, reason: str = "") -> int:
        if self._run is None:
            self._run = self._ledger.begin(COMMAND, self._day)
        return self._ledger.post(self._run, job, reason)

    def _name_other_figures(self, job: Posting, held: Revision) -> None:
        """Report that the same entries have other figures now: another engine, or a book with more room."""
        if not job.tables:
            return
        other = [one for one in changes(held.posting.tables, job.tables, ENGINE) if one.column in dict(TABLES[one.table])]
        if other:
            what = f"gives other figures than were posted on {held.day} by sheetgen {held.tool}, {len(other)} in all"
            self._report.note("figures-other", job.workbook, what, "nothing: those that were posted stay")

    def _name_relatives(self, job: Posting) -> None:
        """Report that a job to be posted first shares its id or its number with one that is posted."""
        if numbers := self._ledger.numbers(job.book_id):
            self._report.look(
                "book-copied", job.workbook,
                f"has the id of job {numbers[0]} but the number {job.number}: it is a copied book, posted as a job of its own",
                f"nothing, if it is another job; else take {numbers[0]} out again: post the book with that number, a status that is"
                ' not done, and --amend "why"',
            )  # fmt: skip
        elif workbooks := self._ledger.workbooks(job.number):
            self._report.look(
                "number-twice", job.workbook,
                f"has the number of a job that was posted from another book, {workbooks[0]}: both are counted in every total",
                "nothing, if it is another job",
            )  # fmt: skip


def posted(ledger: Path, as_of: dt.date | None = None) -> Iterator[tuple[Figures, tuple[Finding, ...]]]:
    """Yield the figures of every closed job as it was last posted, in the order in which they were first posted.

    Parameters
    ----------
    ledger : Path
        The ledger.
    as_of : datetime.date, optional
        Day after which nothing counts: a posted job is whole, so that what counts is what was posted by then.

    Yields
    ------
    figures : Figures
        Of one job.
    findings : tuple of Finding
        That it was amended.

    Raises
    ------
    Refused
        There is no such ledger, it cannot be read, or nothing was posted to it by then.
    """
    with reading(ledger) as held:
        none = True
        for revision in held.jobs(as_of):
            # Amended while it was not closed: it is taken out until it is closed again.
            if revision.posting.tables:
                none = False
                yield _figures(revision), _amended(revision)
        if none:
            what = "holds no closed job" if as_of is None else f"holds no closed job that was posted on {as_of} or before"
            raise Refused([Finding("ledger-empty", Severity.ERROR, str(ledger), what, "post jobs first, or name another with --ledger")])


def _figures(revision: Revision) -> Figures:
    job = revision.posting
    (system,) = [one for one in SYSTEMS if one == job.units]
    return Figures(system, {name: tuple({"finished": 1.0, **row} for row in rows) for name, rows in job.tables.items()})


def _amended(revision: Revision) -> tuple[Finding, ...]:
    if not revision.reason:
        return ()
    what = f"job {revision.posting.number} was amended on {revision.day}: {revision.reason}"
    return (Finding("job-amended", Severity.NOTE, revision.posting.workbook, what),)
