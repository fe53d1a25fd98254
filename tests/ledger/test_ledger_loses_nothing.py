"""The ledger loses nothing: not to a run that is killed, a full disk, two runs at once, or a version that it does not know."""

from __future__ import annotations

import signal
import sqlite3
from pathlib import Path

import openpyxl
import pytest
from postings import JOB, LARGE, OTHER, numbers, post, refused, small_disk, started

from sheetgen import ledger as ledgers
from sheetgen import ledger_schema
from sheetgen.findings import Refused
from sheetgen.ledger import reading, writing
from sheetgen.ledger_schema import STEPS, faults_of


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
