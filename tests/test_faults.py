"""Whatever stops a run, the goal file is the old one or the new one, whole, and nothing half done lies beside it for long."""

from __future__ import annotations

import datetime as dt
import errno
import os
import resource
import signal
import sys
import traceback
import warnings
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest

from sheetgen import build
from sheetgen.cost import build_cost
from sheetgen.csv_tables import write_csv
from sheetgen.figures import TABLES, columns
from sheetgen.findings import Refused
from sheetgen.reader.filled import read_filled
from sheetgen.reconcile import Comparison

pytestmark = pytest.mark.skipif(not hasattr(os, "fork"), reason="the run is stopped in a process of its own")
DAY = dt.date(2026, 3, 2)
KILLED = 9


@pytest.fixture(scope="module")
def compared() -> Comparison:
    """Return one invented job, as a comparison has it."""
    text = {"workbook": "a.xlsx", "book_id": "a", "job_number": "1", "job_name": "A", "status": "done", "task": "Place"}
    tables = {name: ({**dict.fromkeys(columns(name)), **{key: text[key] for key in text if key in columns(name)}},) for name in TABLES}
    return Comparison("us", tables, (), ())


def in_a_process(act: Callable[[], object], before: Callable[[], object] = lambda: None) -> int:
    """Do something in a copy of this process; return 0, 1 for a refusal, 3 for a fault of ours, or how it was killed."""
    sys.stdout.flush()
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        child = os.fork()
    if child == 0:
        code = 3
        try:
            before()
            act()
            code = 0
        except Refused:
            code = 1
        except BaseException:  # noqa: BLE001 - whatever it is, this copy must end here
            traceback.print_exc()
        finally:
            os._exit(code)
    _, status = os.waitpid(child, 0)
    return os.waitstatus_to_exitcode(status)


def kill_at(number: int, folder: Path) -> Callable[[], None]:
    """Return what makes a process kill itself the moment it touches a folder for the so-manieth time."""
    left = [number]

    def watch(event: str, arguments: tuple[Any, ...]) -> None:
        if event in {"open", "os.rename", "os.remove", "os.mkdir"} and str(arguments[0]).startswith(str(folder)):
            left[0] -= 1
            if left[0] == 0:
                os.kill(os.getpid(), signal.SIGKILL)

    return lambda: sys.addaudithook(watch)


def leftovers(folder: Path) -> list[str]:
    return [path.name for path in folder.iterdir() if path.name.startswith(".")]


def kill_points(act: Callable[[], object], folder: Path) -> Iterator[int]:
    """Yield how a run ended that was killed at its first touch of the folder, its second, and so on until it was not."""
    for number in range(1, 100):
        ended = in_a_process(act, kill_at(number, folder))
        yield ended
        if ended == 0:
            return


def test_a_book_is_old_or_new_wherever_its_making_is_killed(compared: Comparison, tmp_path: Path) -> None:
    goal = tmp_path / "cost.xlsx"
    goal.write_bytes(b"the old file")
    build_cost(compared, tmp_path / "new.xlsx", made_on=DAY, book_id="c")
    new = (tmp_path / "new.xlsx").read_bytes()

    seen = []
    for ended in kill_points(lambda: build_cost(compared, goal, made_on=DAY, book_id="c"), tmp_path):
        assert ended in {0, -KILLED}
        assert goal.read_bytes() in {b"the old file", new}
        seen.append(goal.read_bytes() == new)

    assert seen[0] is False
    assert seen[-1] is True
    assert len(seen) > 4


def test_tables_are_old_or_new_wherever_their_writing_is_killed(compared: Comparison, tmp_path: Path) -> None:
    folder = tmp_path / "tables"
    new = {path.name: path.read_bytes() for path in write_csv(compared, tmp_path / "new")}
    folder.mkdir()
    for name in new:
        (folder / name).write_bytes(b"the old file")

    points = 0
    for ended in kill_points(lambda: write_csv(compared, folder), folder):
        assert ended in {0, -KILLED}
        assert all((folder / name).read_bytes() in {b"the old file", new[name]} for name in new)
        points += 1

    assert {name: (folder / name).read_bytes() for name in new} == new
    assert points > 2 * len(new)


@pytest.mark.parametrize("room", [0, 1, 1_000, 10_000])
def test_a_full_disk_is_a_finding_and_leaves_the_old_book(compared: Comparison, tmp_path: Path, room: int) -> None:
    """Files may grow to so many bytes and no further, as on a disk that is full."""
    goal = tmp_path / "cost.xlsx"
    goal.write_bytes(b"the old file")

    ended = in_a_process(
        lambda: build_cost(compared, goal, made_on=DAY, book_id="c"), lambda: resource.setrlimit(resource.RLIMIT_FSIZE, (room, room))
    )

    assert ended == 1
    assert goal.read_bytes() == b"the old file"
    assert leftovers(tmp_path) == []


def test_a_full_disk_leaves_the_old_tables(compared: Comparison, tmp_path: Path) -> None:
    folder = tmp_path / "tables"
    names = [path.name for path in write_csv(compared, folder)]
    for name in names:
        (folder / name).write_bytes(b"the old file")

    ended = in_a_process(lambda: write_csv(compared, folder), lambda: resource.setrlimit(resource.RLIMIT_FSIZE, (10, 10)))

    assert ended == 1
    assert {(folder / name).read_bytes() for name in names} == {b"the old file"}
    assert leftovers(folder) == []


@pytest.mark.parametrize("fault", [errno.EACCES, errno.EROFS, errno.EBUSY, errno.ENOSPC])
def test_a_goal_that_cannot_be_replaced_is_a_finding(compared: Comparison, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, fault: int) -> None:
    """A folder without the right to write, or a file that another program holds open."""
    goal = tmp_path / "cost.xlsx"
    goal.write_bytes(b"the old file")

    def refuse(_: Path, __: Path) -> Path:
        raise OSError(fault, os.strerror(fault))

    monkeypatch.setattr(Path, "replace", refuse)

    with pytest.raises(Refused) as refused:
        build_cost(compared, goal, made_on=DAY, book_id="c")

    (finding,) = refused.value.findings
    assert finding.code == "output-write"
    assert os.strerror(fault) in finding.what
    assert "close the file elsewhere" in finding.mend
    assert goal.read_bytes() == b"the old file"
    assert leftovers(tmp_path) == []


def test_two_runs_at_once_leave_one_whole_book(compared: Comparison, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """The second begins and ends while the first is about to put its book in place."""
    goal = tmp_path / "cost.xlsx"
    real = build.check_file

    def meanwhile(*arguments: Any) -> Any:
        checked = real(*arguments)
        monkeypatch.setattr(build, "check_file", real)
        build_cost(compared, goal, made_on=DAY, book_id="second")
        return checked

    monkeypatch.setattr(build, "check_file", meanwhile)
    build_cost(compared, goal, made_on=DAY, book_id="first")

    assert read_filled(goal).stamp.book_id == "first"
    assert [path.name for path in tmp_path.iterdir()] == ["cost.xlsx"]
