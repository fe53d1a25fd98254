"""The ledger: an SQLite file of posted jobs, every revision of them, and what earlier runs saw.

This file knows SQLite, versions of its schema and transactions; what is posted, and why, is decided elsewhere.
"""

from __future__ import annotations

import contextlib
import datetime as dt
import errno
import sqlite3
from typing import TYPE_CHECKING, Any, Final

import attrs

from sheetgen.findings import Finding, Refused, Severity
from sheetgen.ledger_schema import bring_up, faults_of, known_version
from sheetgen.ledger_text import Tables, digest, from_text, to_text
from sheetgen.version import __version__

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping
    from pathlib import Path

# How long a run waits for another that is writing; a run writes for a fraction of a second [s].
WAIT_S: Final = 10.0


@attrs.frozen
class Posting:
    """A job as its book tells it.

    Parameters
    ----------
    book_id, number : str
        By which a job is known: id of the book, and number of the job.
    workbook : str
        Name of the file.
    units : str
        Units of the book, ``us`` or ``metric``.
    content : mapping
        What a person typed, as texts, numbers and lists.
    tables : mapping of str to sequence of dict
        Its rows in every table, in the engine's units.
    """

    book_id: str
    number: str
    workbook: str
    units: str
    content: Mapping[str, Any] = attrs.field(repr=False)
    tables: Tables = attrs.field(repr=False)

    @property
    def fingerprint(self) -> str:
        """The digest of what was typed: how the file was saved does not matter."""
        return digest(to_text(self.content))


@attrs.frozen
class Revision:
    """A job as it was posted.

    Parameters
    ----------
    posting : Posting
        What was posted.
    revision : int
        1 as first posted, one more for each amendment [count].
    fingerprint : str
        Digest of the content when it was posted.
    day : datetime.date
        When.
    reason : str
        Why it was amended; nothing for the first.
    tool : str
        Version of the tool that posted it.
    """

    posting: Posting
    revision: int
    fingerprint: str
    day: dt.date
    reason: str
    tool: str


@attrs.frozen
class Seen:
    """What an earlier run saw.

    Parameters
    ----------
    day : datetime.date
        When it ran.
    tool : str
        Version of the tool that ran.
    jobs : tuple of mapping
        The tables of each job, in the engine's units.
    as_of : datetime.date or None
        Day after which nothing counted for it; None where that is not known.
    """

    day: dt.date
    tool: str
    jobs: tuple[Tables, ...] = attrs.field(repr=False)
    as_of: dt.date | None = None


class Ledger:
    """A ledger within one transaction; made by `reading` and `writing`."""

    def __init__(self, connection: sqlite3.Connection) -> None:
        self._connection = connection

    # What was posted

    def newest(self, book_id: str, number: str) -> Revision | None:
        """Return a job as it was last posted, None where it never was."""
        history = self.history(book_id, number)
        return history[-1] if history else None

    def history(self, book_id: str, number: str) -> tuple[Revision, ...]:
        """Return all revisions of a job, the first one first."""
        return tuple(self._revisions("WHERE book_id = ? AND number = ? ORDER BY revision", book_id, number))

    def jobs(self, until: dt.date | None = None) -> Iterator[Revision]:
        """Yield each job as it was last posted, on a day or before it, in the order in which they were first posted."""
        if until is None:
            newest = "WHERE revision = (SELECT max(revision) FROM revisions AS other WHERE other.job = jobs.job) ORDER BY jobs.job"
            return self._revisions(newest)
        by_then = (
            "WHERE revision = (SELECT max(revision) FROM revisions AS other JOIN runs AS earlier USING (run)"
            " WHERE other.job = jobs.job AND earlier.day <= ?) ORDER BY jobs.job"
        )
        return self._revisions(by_then, until.isoformat())

    def numbers(self, book_id: str) -> tuple[str, ...]:
        """Return the numbers of the jobs that were posted from books of one id."""
        rows = self._connection.execute("SELECT number FROM jobs WHERE book_id = ? ORDER BY job", (book_id,))
        return tuple(number for (number,) in rows)

    def workbooks(self, number: str) -> tuple[str, ...]:
        """Return the files from which jobs of one number were first posted."""
        found = "SELECT workbook FROM jobs JOIN revisions USING (job) WHERE number = ? AND revision = 1 ORDER BY job"
        return tuple(workbook for (workbook,) in self._connection.execute(found, (number,)))

    def _revisions(self, which: str, *values: str) -> Iterator[Revision]:
        columns = "book_id, number, workbook, units, content, rows, revision, fingerprint, day, reason, tool"
        joined = "revisions JOIN jobs USING (job) JOIN runs USING (run) JOIN figures USING (figures)"
        for row in self._connection.execute(f"SELECT {columns} FROM {joined} {which}", values):  # noqa: S608 - words of ours
            book_id, number, workbook, units, content, rows, revision, fingerprint, day, reason, tool = row
            posting = Posting(book_id, number, workbook, units, from_text(content), from_text(rows))
            yield Revision(posting, revision, fingerprint, dt.date.fromisoformat(day), reason, tool)

    def begin(self, command: str, day: dt.date, as_of: dt.date | None = None) -> int:
        """Write down that a command runs, and as of which day; what it writes belongs to the number that is returned."""
        made = "INSERT INTO runs (command, day, tool, as_of) VALUES (?, ?, ?, ?)"
        values = (command, day.isoformat(), __version__, None if as_of is None else as_of.isoformat())
        run = self._connection.execute(made, values).lastrowid
        assert run is not None
        return run

    def post(self, run: int, posting: Posting, reason: str = "") -> int:
        """Add a revision of a job and return its number; earlier ones stay as they are."""
        key = (posting.book_id, posting.number)
        self._connection.execute("INSERT INTO jobs (book_id, number) VALUES (?, ?) ON CONFLICT DO NOTHING", key)
        (job,) = self._connection.execute("SELECT job FROM jobs WHERE book_id = ? AND number = ?", key).fetchone()
        counted = "SELECT count(*) + 1 FROM revisions WHERE job = ?"
        (revision,) = self._connection.execute(counted, (job,)).fetchone()
        self._connection.execute(
            "INSERT INTO revisions (job, revision, run, reason, workbook, units, fingerprint, content, figures)"
            " VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?)",
            (job, revision, run, reason, posting.workbook, posting.units, posting.fingerprint, to_text(posting.content),
             self._figures(posting.tables)),
        )  # fmt: skip
        return int(revision)

    # What earlier runs saw

    def last(self, command: str) -> Seen | None:
        """Return what the last run of a command saw, None where there was none."""
        newest = "SELECT run, day, tool, as_of FROM runs WHERE command = ? ORDER BY run DESC LIMIT 1"
        found = self._connection.execute(newest, (command,)).fetchone()
        if found is None:
            return None
        run, day, tool, as_of = found
        rows = self._connection.execute("SELECT rows FROM seen JOIN figures USING (figures) WHERE run = ? ORDER BY place", (run,))
        jobs = tuple(from_text(text) for (text,) in rows)
        return Seen(dt.date.fromisoformat(day), tool, jobs, None if as_of is None else dt.date.fromisoformat(as_of))

    def remember(self, run: int, jobs: Iterator[Tables]) -> None:
        """Write down what a run saw of each job; figures that are held already are not held again."""
        for place, tables in enumerate(jobs):
            self._connection.execute("INSERT INTO seen (run, place, figures) VALUES (?, ?, ?)", (run, place, self._figures(tables)))

    def _figures(self, tables: Tables) -> str:
        text = to_text(tables)
        name = digest(text)
        self._connection.execute("INSERT INTO figures (figures, rows) VALUES (?, ?) ON CONFLICT DO NOTHING", (name, text))
        return name


@contextlib.contextmanager
def reading(path: Path) -> Iterator[Ledger]:
    """Open a ledger to read it; it stays as it is.

    Raises
    ------
    Refused
        There is none, or it cannot be read.
    """
    if not path.exists():
        what = "is not there: nothing was posted to it"
        raise Refused([Finding("ledger-missing", Severity.ERROR, str(path), what, "post jobs first, or name another with --ledger")])
    with _opened(path, "rw") as connection:
        connection.execute("BEGIN")
        if known_version(connection, path) == 0:
            what = "is empty: nothing was posted to it"
            raise Refused([Finding("ledger-empty", Severity.ERROR, str(path), what, "post jobs first, or name another with --ledger")])
        bring_up(connection, path)
        yield Ledger(connection)


@contextlib.contextmanager
def writing(path: Path) -> Iterator[Ledger]:
    """Open a ledger, or make it, to write to it: all of it is written at the end, or nothing.

    Raises
    ------
    Refused
        It cannot be written; then it is as it was.
    """
    with _opened(path, "rwc") as connection:
        # At once, so that what is read before writing is what no other run changes meanwhile.
        connection.execute("BEGIN IMMEDIATE")
        bring_up(connection, path)
        yield Ledger(connection)


@contextlib.contextmanager
def _opened(path: Path, mode: str) -> Iterator[sqlite3.Connection]:
    with faults_of(path, WAIT_S):
        if path.is_dir():
            # SQLite says of a folder only that it cannot be opened.
            raise IsADirectoryError(errno.EISDIR, "", str(path))
        if mode == "rwc":
            path.parent.mkdir(parents=True, exist_ok=True)
        # Not "ro": a run that was killed is undone by the next that opens the file, and that must write.
        connection = sqlite3.connect(f"{path.resolve().as_uri()}?mode={mode}", uri=True, timeout=WAIT_S, isolation_level=None)
        try:
            connection.execute("PRAGMA foreign_keys = ON")
            yield connection
            connection.execute("COMMIT")
        finally:
            # Closing undoes what was not committed.
            connection.close()
