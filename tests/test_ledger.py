"""The ledger loses nothing: not to a run that is killed, a full disk, two runs at once, or a version that it does not know."""

from __future__ import annotations

import datetime as dt
import signal
import sqlite3
import subprocess
import sys
import textwrap
from pathlib import Path
from typing import Any

import attrs
import openpyxl
import pytest

from sheetgen import ledger as ledgers
from sheetgen import ledger_schema
from sheetgen.findings import Refused
from sheetgen.ledger import Posting, reading, writing
from sheetgen.ledger_schema import STEPS, faults_of
from sheetgen.ledger_text import digest, from_text, to_text
from sheetgen.version import __version__

ROOT = Path(__file__).parents[1]
DAY, LATER = dt.date(2026, 3, 2), dt.date(2026, 4, 1)
TABLES = {
    "jobs": [{"book_id": "b1", "job_number": "24-1", "job_name": "Hall, größer", "price": 0.1 + 0.2, "hours_actual": None}],
    "hours": [{"task": "Place", "actual": 1e-300, "variance": -3.0, "day": DAY}],
}
JOB = Posting("b1", "24-1", "hall.xlsx", "us", {"kind": "bid", "entries": {"areas.first": [1.0, None, "x"]}}, TABLES)
OTHER = Posting("b2", "24-2", "yard.xlsx", "metric", {"kind": "bid", "entries": {}}, {"jobs": [{"book_id": "b2"}]})
# More than SQLite keeps in memory, so that a part of it is in the file before the transaction ends.
LARGE = attrs.evolve(OTHER, content={"entries": {"note": ["x" * 1000] * 10_000}})


def post(path: Path, *jobs: Posting, reason: str = "", day: dt.date = DAY) -> None:
    with writing(path) as ledger:
        run = ledger.begin("post", day)
        for job in jobs:
            ledger.post(run, job, reason)


def numbers(path: Path) -> list[str]:
    with reading(path) as ledger:
        return [one.posting.number for one in ledger.jobs()]


def refused(path: Path, *, write: bool = True) -> tuple[str, str]:
    """Return code and text of the one finding with which a ledger is refused; the text names the file and says what to do."""
    with pytest.raises(Refused) as caught, writing(path) if write else reading(path):
        pass
    (finding,) = caught.value.findings
    assert finding.place == str(path)
    assert finding.mend
    return finding.code, finding.what


@pytest.fixture
def path(tmp_path: Path) -> Path:
    return tmp_path / "ledger.sqlite"


# What is posted


def test_what_is_posted_is_read_again_as_it_was(path: Path) -> None:
    """Every digit of a number, blanks as blanks, days as days."""
    post(path, JOB, OTHER)

    with reading(path) as ledger:
        first, second = ledger.jobs()
        assert ledger.newest("b1", "24-1") == first
        assert ledger.newest("b1", "24-2") is None
    assert first.posting == JOB
    assert second.posting == OTHER
    assert (first.revision, first.day, first.reason, first.tool) == (1, DAY, "", __version__)
    assert first.fingerprint == JOB.fingerprint


def test_old_figures_stay_where_a_job_is_amended(path: Path) -> None:
    amended = attrs.evolve(JOB, content={"entries": {}}, tables={"jobs": [{"price": 5.0}]})
    post(path, JOB, OTHER)
    post(path, amended, reason="a receipt turned up", day=LATER)

    with reading(path) as ledger:
        old, new = ledger.history("b1", "24-1")
        assert [one.posting for one in ledger.jobs()] == [amended, OTHER]
    assert (old.posting, old.day, old.reason) == (JOB, DAY, "")
    assert (new.posting, new.revision, new.day, new.reason) == (amended, 2, LATER, "a receipt turned up")


@pytest.mark.parametrize(
    "statement",
    [
        f"{what} {table}{how}"
        for table, column in (("revisions", "content"), ("figures", "rows"), ("jobs", "number"))
        for what, how in (("UPDATE", f" SET {column} = 'x'"), ("DELETE FROM", ""))
    ],
)
def test_what_was_posted_is_changed_by_nobody(path: Path, statement: str) -> None:
    """Not even by a person with a program for SQLite."""
    post(path, JOB)
    with sqlite3.connect(path) as connection, pytest.raises(sqlite3.IntegrityError, match="what was posted stays"):
        connection.execute(statement)

    connection.close()
    assert numbers(path) == ["24-1"]


@pytest.mark.parametrize(
    ("job", "reason"),
    [(attrs.evolve(JOB, number=""), ""), (JOB, "no reason for a first posting")],
    ids=["no number", "first with a reason"],
)
def test_a_row_that_makes_no_sense_is_refused_by_the_schema(path: Path, job: Posting, reason: str) -> None:
    with pytest.raises(sqlite3.IntegrityError):
        post(path, job, reason=reason)

    assert refused(path, write=False)[0] == "ledger-empty"


def test_an_amendment_needs_a_reason(path: Path) -> None:
    post(path, JOB)

    with pytest.raises(sqlite3.IntegrityError):
        post(path, JOB)


def test_what_was_posted_by_a_day_is_told_as_it_was_then(path: Path) -> None:
    """An amendment, and a job, of a later day do not count; those of the day itself do."""
    between, after = DAY + dt.timedelta(days=1), LATER + dt.timedelta(days=1)
    post(path, JOB, day=DAY)
    post(path, attrs.evolve(JOB, workbook="again.xlsx"), reason="measured", day=LATER)
    post(path, OTHER, day=LATER)

    with reading(path) as ledger:
        for day, told in ((DAY, ["hall.xlsx"]), (between, ["hall.xlsx"]), (LATER, ["again.xlsx", "yard.xlsx"]), (after, ["again.xlsx", "yard.xlsx"])):
            assert [one.posting.workbook for one in ledger.jobs(day)] == told
        assert list(ledger.jobs(DAY - dt.timedelta(days=1))) == []


def test_relatives_are_found(path: Path) -> None:
    post(path, JOB, OTHER, attrs.evolve(JOB, number="24-2", workbook="copy.xlsx"))

    with reading(path) as ledger:
        assert ledger.numbers("b1") == ("24-1", "24-2")
        assert ledger.numbers("b3") == ()
        assert ledger.workbooks("24-2") == ("yard.xlsx", "copy.xlsx")


def test_a_run_is_remembered_apart_from_others(path: Path) -> None:
    with writing(path) as ledger:
        assert ledger.last("reconcile files") is None
        ledger.remember(ledger.begin("reconcile files", DAY), iter([JOB.tables]))
        ledger.remember(ledger.begin("reconcile files", LATER), iter([OTHER.tables, JOB.tables, JOB.tables]))
        ledger.remember(ledger.begin("reconcile ledger", LATER), iter([]))

    with reading(path) as ledger:
        last = ledger.last("reconcile files")
        assert last is not None
        assert (last.day, last.tool, last.jobs) == (LATER, __version__, (OTHER.tables, JOB.tables, JOB.tables))
        empty = ledger.last("reconcile ledger")
        assert empty is not None
        assert empty.jobs == ()


def test_figures_that_did_not_change_are_held_once(path: Path) -> None:
    post(path, JOB)
    for _ in range(3):
        with writing(path) as ledger:
            ledger.remember(ledger.begin("reconcile files", DAY), iter([JOB.tables]))

    with sqlite3.connect(path) as connection:
        assert connection.execute("SELECT count(*) FROM figures").fetchone() == (1,)
    connection.close()


# Text


def test_the_order_of_names_does_not_change_a_digest() -> None:
    assert digest(to_text({"a": 1.0, "b": [None, "é"]})) == digest(to_text({"b": (None, "é"), "a": 1.0}))
    assert digest(to_text({"a": 1.0})) != digest(to_text({"a": "1.0"}))


def test_text_gives_the_content_again() -> None:
    content = {"a": [1.5, None, "x", DAY, {"$day": "x", "b": 1.0}]}

    assert from_text(to_text(content)) == content


@pytest.mark.parametrize("content", [float("nan"), float("inf"), {"a": {1, 2}}, b"x"])
def test_what_json_cannot_hold_is_refused(content: object) -> None:
    with pytest.raises((TypeError, ValueError)):
        to_text(content)


# Nothing is lost


def test_a_run_that_fails_leaves_nothing_of_itself(path: Path) -> None:
    post(path, JOB)
    before = path.read_bytes()

    with pytest.raises(sqlite3.IntegrityError):
        post(path, OTHER, JOB)

    assert path.read_bytes() == before


def test_a_run_that_is_killed_leaves_nothing_of_itself(path: Path) -> None:
    """The run dies with a part of its job already in the file; the next to open the ledger undoes that."""
    post(path, JOB)
    with started("with writing(path) as ledger: ledger.post(ledger.begin('post', DAY), LARGE); told(); time.sleep(60)", path) as run:
        run.send_signal(signal.SIGKILL)
        run.wait()
    assert path.with_name("ledger.sqlite-journal").exists()

    assert numbers(path) == ["24-1"]
    post(path, OTHER)
    assert numbers(path) == ["24-1", "24-2"]


def test_a_first_run_that_is_killed_leaves_a_file_that_can_be_posted_to(path: Path) -> None:
    with started("with writing(path) as ledger: ledger.post(ledger.begin('post', DAY), JOB); told(); time.sleep(60)", path) as run:
        run.send_signal(signal.SIGKILL)
        run.wait()

    assert refused(path, write=False)[0] == "ledger-empty"
    post(path, JOB)
    assert numbers(path) == ["24-1"]


def test_a_full_disk_leaves_the_ledger_as_it_was(path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    post(path, JOB)
    before = path.read_bytes()
    small_disk(monkeypatch, path)

    with pytest.raises(Refused) as caught:
        post(path, LARGE)

    assert [one.code for one in caught.value.findings] == ["ledger-full"]
    assert "nothing was written" in caught.value.findings[0].what
    assert path.read_bytes() == before
    monkeypatch.undo()
    post(path, LARGE)
    assert numbers(path) == ["24-1", "24-2"]


def test_runs_at_once_all_post(path: Path) -> None:
    """Four processes post five jobs each, in a transaction each, while the others do the same."""
    body = "[post(path, attrs.evolve(JOB, book_id=sys.argv[2] + str(number))) for number in range(5)]"
    runs = [started(body, path, name) for name in "abcd"]
    for run in runs:
        _, said = run.communicate(timeout=60)
        assert run.returncode == 0, said

    with reading(path) as ledger:
        assert sorted(one.posting.book_id for one in ledger.jobs()) == [f"{name}{number}" for name in "abcd" for number in range(5)]


def test_a_run_that_finds_another_writing_waits_and_says_so(path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    post(path, JOB)
    monkeypatch.setattr(ledgers, "WAIT_S", 0.2)

    with writing(path):
        code, what = refused(path)
        assert numbers(path) == ["24-1"], "a ledger can be read while another run writes"
    assert code == "ledger-busy"
    assert "0.2 seconds" in what


# Versions


@pytest.mark.parametrize("write", [True, False])
def test_a_ledger_of_a_newer_version_is_refused_and_stays_as_it_is(path: Path, write: bool) -> None:
    post(path, JOB)
    with sqlite3.connect(path) as connection:
        connection.execute(f"PRAGMA user_version = {len(STEPS) + 1}")
    connection.close()
    before = path.read_bytes()

    code, what = refused(path, write=write)

    assert code == "ledger-newer"
    assert f"version {len(STEPS) + 1}" in what
    assert path.read_bytes() == before


@pytest.mark.parametrize("write", [True, False])
def test_a_ledger_of_an_older_version_is_brought_up(path: Path, monkeypatch: pytest.MonkeyPatch, write: bool) -> None:
    post(path, JOB)
    monkeypatch.setattr(ledger_schema, "STEPS", (*STEPS, ("ALTER TABLE runs ADD COLUMN clerk TEXT",)))

    with writing(path) if write else reading(path) as ledger:
        assert [one.posting for one in ledger.jobs()] == [JOB]

    with sqlite3.connect(path) as connection:
        assert connection.execute("PRAGMA user_version").fetchone() == (len(STEPS) + 1,)
        assert connection.execute("SELECT clerk FROM runs").fetchall() == [(None,)]
    connection.close()


def test_a_step_that_fails_leaves_the_ledger_in_its_version(path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    post(path, JOB)
    before = path.read_bytes()
    monkeypatch.setattr(ledger_schema, "STEPS", (*STEPS, ("ALTER TABLE runs ADD COLUMN clerk TEXT", "ALTER TABLE nothing ADD COLUMN x")))

    with pytest.raises(sqlite3.OperationalError):
        post(path, OTHER)

    assert path.read_bytes() == before


# Files that are no ledger


def test_a_ledger_that_is_not_there_is_not_made_by_reading(path: Path) -> None:
    assert refused(path, write=False)[0] == "ledger-missing"
    assert not path.exists()


def test_an_empty_file_is_a_ledger_to_come(path: Path) -> None:
    path.touch()

    assert refused(path, write=False)[0] == "ledger-empty"
    assert path.read_bytes() == b""
    post(path, JOB)
    assert numbers(path) == ["24-1"]


@pytest.mark.parametrize("write", [True, False])
@pytest.mark.parametrize("kind", ["text", "workbook", "database", "folder"])
def test_another_file_is_never_taken_for_a_ledger(path: Path, kind: str, write: bool) -> None:
    if kind == "text":
        path.write_text("label,first\n" * 100)
    elif kind == "workbook":
        openpyxl.Workbook().save(path)
    elif kind == "folder":
        path.mkdir()
    else:
        with sqlite3.connect(path) as connection:
            connection.execute("CREATE TABLE runs (mine TEXT)")
        connection.close()
    before = None if kind == "folder" else path.read_bytes()

    assert refused(path, write=write)[0] == ("ledger-open" if kind == "folder" else "ledger-foreign")
    assert before is None or path.read_bytes() == before


def test_a_damaged_ledger_says_so(path: Path) -> None:
    post(path, JOB, LARGE)
    content = path.read_bytes()
    path.write_bytes(content[:8192] + b"\xff" * 4096 * 20 + content[8192 + 4096 * 20 :])

    with pytest.raises(Refused) as caught:
        numbers(path)
    assert [one.code for one in caught.value.findings] == ["ledger-damaged"]


def test_a_folder_that_cannot_be_made_is_named(tmp_path: Path) -> None:
    (tmp_path / "file").write_text("not a folder")

    assert refused(tmp_path / "file" / "ledger.sqlite")[0] == "ledger-open"


def test_a_folder_that_is_not_there_is_made(tmp_path: Path) -> None:
    post(tmp_path / "new" / "#1 & ü?" / "ledger.sqlite", JOB)

    assert [one.name for one in (tmp_path / "new" / "#1 & ü?").iterdir()] == ["ledger.sqlite"]


def test_a_file_that_may_not_be_written_says_so(path: Path) -> None:
    post(path, JOB)
    connection = sqlite3.connect(f"{path.as_uri()}?mode=ro", uri=True)
    with pytest.raises(Refused) as caught, faults_of(path, 1.0):
        connection.execute("DELETE FROM runs")

    connection.close()
    assert [one.code for one in caught.value.findings] == ["ledger-read-only"]


def test_a_fault_of_ours_is_not_laid_on_the_file(path: Path) -> None:
    with pytest.raises(sqlite3.OperationalError), faults_of(path, 1.0):
        sqlite3.connect(":memory:").execute("SELECT nothing FROM nowhere")


# What the tests above share


def started(body: str, path: Path, *arguments: str) -> subprocess.Popen[str]:
    """Start a process that does something with a ledger; return when it has told so, or at once where it does not tell."""
    code = f"""
        import sys, time
        sys.path[:0] = [{str(ROOT)!r}, {str(ROOT / "tests")!r}]
        from test_ledger import *
        told = lambda: print("told", flush=True)
        path = Path(sys.argv[1])
    """
    command = [sys.executable, "-c", textwrap.dedent(code) + body, str(path), *arguments]
    run = subprocess.Popen(command, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True)
    if "told()" in body:
        assert run.stdout is not None
        assert run.stdout.readline() == "told\n"
    return run


def small_disk(monkeypatch: pytest.MonkeyPatch, path: Path) -> None:
    """Let SQLite find no room for more than a page."""
    connect = sqlite3.connect
    pages = path.stat().st_size // 4096 + 1

    def connected(*arguments: Any, **keywords: Any) -> sqlite3.Connection:
        connection = connect(*arguments, **keywords)
        connection.execute(f"PRAGMA max_page_count = {pages}")
        return connection

    monkeypatch.setattr(ledgers.sqlite3, "connect", connected)
