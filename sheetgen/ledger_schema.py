"""The schema of a ledger by version, and what SQLite's faults mean to the person who has the file."""

from __future__ import annotations

import contextlib
import sqlite3
from typing import TYPE_CHECKING, Final

from sheetgen.findings import Finding, Refused, Severity
from sheetgen.reason import reason_of

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

# "sgld": how the file says that it is a ledger of ours.
_OURS: Final = 0x73676C64
# Step n brings a ledger from version n to n + 1; a released step is never changed.
STEPS: Final[tuple[tuple[str, ...], ...]] = (
    (
        f"PRAGMA application_id = {_OURS}",
        # A run of a command: 'post', or 'reconcile' with what it read.
        """
        CREATE TABLE runs (
            run INTEGER PRIMARY KEY,
            command TEXT NOT NULL,
            day TEXT NOT NULL,
            tool TEXT NOT NULL
        )
        """,
        # The rows that a job adds to the tables, in the engine's units, as JSON; the name is their digest.
        "CREATE TABLE figures (figures TEXT PRIMARY KEY, rows TEXT NOT NULL)",
        """
        CREATE TABLE jobs (
            job INTEGER PRIMARY KEY,
            book_id TEXT NOT NULL,
            number TEXT NOT NULL CHECK (number <> ''),
            UNIQUE (book_id, number)
        )
        """,
        # Revision 1 is the job as first posted, the others are amendments with a reason.
        """
        CREATE TABLE revisions (
            job INTEGER NOT NULL REFERENCES jobs,
            revision INTEGER NOT NULL,
            run INTEGER NOT NULL REFERENCES runs,
            reason TEXT NOT NULL CHECK ((reason = '') = (revision = 1)),
            workbook TEXT NOT NULL,
            units TEXT NOT NULL,
            fingerprint TEXT NOT NULL,
            content TEXT NOT NULL,
            figures TEXT NOT NULL REFERENCES figures,
            PRIMARY KEY (job, revision)
        )
        """,
        # What a run of reconcile saw, job by job.
        """
        CREATE TABLE seen (
            run INTEGER NOT NULL REFERENCES runs,
            place INTEGER NOT NULL,
            figures TEXT NOT NULL REFERENCES figures,
            PRIMARY KEY (run, place)
        )
        """,
        # Old figures stay, whatever writes to the file.
        *(
            f"CREATE TRIGGER {table}_{what.lower()} BEFORE {what} ON {table} BEGIN SELECT RAISE(ABORT, 'what was posted stays'); END"
            for table in ("revisions", "figures", "jobs")
            for what in ("UPDATE", "DELETE")
        ),
    ),
    (
        # Day after which nothing counted for a run of reconcile; unknown of runs before this step, and of posting.
        "ALTER TABLE runs ADD COLUMN as_of TEXT",
    ),
)
_NAME: Final = "name another file with --ledger"
# What is wrong and what to do, by the code of SQLite.
_FAULTS: Final = {
    sqlite3.SQLITE_BUSY: ("busy", "another run is writing to it and did not end within {wait:g} seconds", "wait for it, then run again"),
    sqlite3.SQLITE_LOCKED: ("busy", "another run holds it", "wait for it, then run again"),
    sqlite3.SQLITE_FULL: ("full", "the disk is full", "free some space, then run again"),
    sqlite3.SQLITE_IOERR: ("disk", "the disk cannot be read or written", "see that the disk is there and has space, then run again"),
    sqlite3.SQLITE_READONLY: ("read-only", "may not be written to", f"allow it, or {_NAME}"),
    sqlite3.SQLITE_PERM: ("read-only", "may not be written to", f"allow it, or {_NAME}"),
    sqlite3.SQLITE_CANTOPEN: ("open", "cannot be opened", f"see that its folder is there and may be written to, or {_NAME}"),
    sqlite3.SQLITE_NOTADB: ("foreign", "is not a ledger of sheetgen", _NAME),
    sqlite3.SQLITE_CORRUPT: ("damaged", "is damaged", "put back a copy of it that was kept, then post again what came later"),
}


def known_version(connection: sqlite3.Connection, path: Path) -> int:
    """Return the schema version of a ledger, 0 of an empty file.

    Raises
    ------
    Refused
        It is not a ledger, or one of a newer version.
    """
    (application,) = connection.execute("PRAGMA application_id").fetchone()
    (version,) = connection.execute("PRAGMA user_version").fetchone()
    (tables,) = connection.execute("SELECT count(*) FROM sqlite_master").fetchone()
    if application != _OURS and (application or version or tables):
        raise _refused(path, "foreign", "is not a ledger of sheetgen", _NAME)
    if version > len(STEPS):
        what = f"was written by a newer sheetgen: its schema is version {version}, and this one knows {len(STEPS)}"
        raise _refused(path, "newer", what, "use the newer sheetgen")
    return int(version)


def bring_up(connection: sqlite3.Connection, path: Path) -> None:
    """Bring a ledger to the present schema, within the transaction that is open.

    Raises
    ------
    Refused
        It is not a ledger, or one of a newer version.
    """
    version = known_version(connection, path)
    for step in STEPS[version:]:
        for statement in step:
            connection.execute(statement)
    if version < len(STEPS):
        connection.execute(f"PRAGMA user_version = {len(STEPS)}")


@contextlib.contextmanager
def faults_of(path: Path, wait_s: float) -> Iterator[None]:
    """Turn the faults of SQLite and of the file system that a person can mend into findings.

    Parameters
    ----------
    path : Path
        The ledger.
    wait_s : float
        How long another run was waited for [s].

    Raises
    ------
    Refused
        Such a fault.
    """
    try:
        yield
    except sqlite3.Error as error:
        # The lowest byte is the kind of fault; those above only say more about it.
        code = getattr(error, "sqlite_errorcode", None)
        fault = _FAULTS.get(code & 0xFF) if isinstance(code, int) else None
        if fault is None:
            raise
        name, what, mend = fault
        raise _refused(path, name, what.format(wait=wait_s), mend) from error
    except OSError as error:
        name, what, mend = _FAULTS[sqlite3.SQLITE_CANTOPEN]
        raise _refused(path, name, f"{what}: {reason_of(error)}", mend) from error


def _refused(path: Path, name: str, what: str, mend: str) -> Refused:
    return Refused([Finding(f"ledger-{name}", Severity.ERROR, str(path), f"{what}; nothing was written", mend)])
