"""Workers: a file that is too much for one costs that file only, and the answers come in the order of the files."""

from __future__ import annotations

import os
import signal
import subprocess
import sys
import time
from pathlib import Path

import pytest

from sheetgen import pool
from sheetgen.findings import Finding, Refused, Severity
from sheetgen.pool import Allowance, in_order
from sheetgen.terminal import place_of

TIGHT = Allowance(seconds=3.0, memory=200 * 1024 * 1024)
Answer = tuple[str, str]


def lost(path: Path, finding: Finding) -> Answer:
    return finding.code, path.name


def behave(path: Path) -> Answer:
    """Do what the name of the file says."""
    match path.name:
        case "hang":
            while True:
                time.sleep(1)
        case "hang-in-c":
            sum(range(10**15))
        case "eat":
            return "ate", str(len(bytearray(400 * 1024 * 1024)))
        case "nibble":
            return "read", str(len(bytearray(100 * 1024 * 1024)))
        case "crash":
            os.kill(os.getpid(), signal.SIGSEGV)
        case "leave":
            os._exit(9)
        case "fault":
            raise KeyError("a table that is not there")
        case "refuse":
            raise Refused([Finding("for-a-test", Severity.ERROR, "x", "is wrong", "mend it")])
    return "read", path.name


def answers(names: list[str], processes: int = 2, allowance: Allowance = TIGHT) -> list[Answer]:
    return list(in_order(behave, [Path(name) for name in names], processes, lost, allowance))


@pytest.mark.parametrize("processes", [1, 2])
def test_files_that_are_too_much_are_named_and_the_others_are_read(processes: int, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(pool, "FEW", 2)
    names = ["a", "crash", "hang", "b", "leave", "c"]

    found = answers(names, processes)

    assert found == [
        ("read", "a"), ("worker-ended", "crash"), ("worker-time", "hang"), ("read", "b"), ("worker-ended", "leave"), ("read", "c"),
    ]  # fmt: skip


def test_a_file_that_hangs_where_python_does_not_look_is_given_up() -> None:
    began = time.monotonic()

    assert answers(["hang-in-c", "a"], 1, Allowance(seconds=1.0)) == [("worker-time", "hang-in-c"), ("read", "a")]
    assert time.monotonic() - began < 20


@pytest.mark.skipif(sys.platform != "linux", reason="memory is watched on Linux only")
def test_a_file_that_needs_too_much_memory_is_given_up() -> None:
    assert answers(["nibble", "eat", "nibble"], 1) == [
        ("read", str(100 * 1024 * 1024)), ("worker-memory", "eat"), ("read", str(100 * 1024 * 1024)),
    ]  # fmt: skip


def test_a_worker_that_was_ended_from_outside_says_how() -> None:
    said: list[Finding] = []

    list(in_order(behave, [Path("leave")], 1, lambda _, finding: said.append(finding)))

    assert said[0].severity is Severity.ERROR
    assert "exit code 9" in said[0].what
    assert said[0].mend


def test_a_fault_of_ours_comes_back_as_it_was() -> None:
    with pytest.raises(KeyError, match="a table that is not there") as caught:
        answers(["fault"])
    assert place_of(caught.value).startswith("test_pool.py line ")
    with pytest.raises(Refused) as refused:
        answers(["refuse"])
    assert [one.code for one in refused.value.findings] == ["for-a-test"]


def test_many_files_come_in_their_order() -> None:
    names = [str(number) for number in range(300)]

    assert answers(names) == [("read", name) for name in names]


def test_few_files_start_one_worker(monkeypatch: pytest.MonkeyPatch) -> None:
    """Starting a worker takes longer than reading a few books."""
    started: list[int] = []
    real = pool._Crew._start
    monkeypatch.setattr(pool._Crew, "_start", lambda crew: started.append(1) or real(crew))

    assert answers(["a"] * (pool.FEW - 1), 3) == [("read", "a")] * (pool.FEW - 1)
    assert len(started) == 1
    assert answers(["a"] * pool.FEW, 3) == [("read", "a")] * pool.FEW
    assert len(started) == 4


def test_with_none_the_process_works_by_itself(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(pool._Crew, "_start", None)

    assert answers(["a", "b"], 0) == [("read", "a"), ("read", "b")]


def test_a_script_without_a_main_guard_is_told_so(tmp_path: Path) -> None:
    script = tmp_path / "script.py"
    script.write_text(
        "from pathlib import Path\nfrom sheetgen.pool import in_order\nprint(list(in_order(len, [Path('a')], 1, None)))\n",
        encoding="utf-8",
    )

    result = subprocess.run([sys.executable, str(script)], capture_output=True, text=True, check=False)

    assert result.returncode == 1
    assert "worker-start" in result.stderr.splitlines()[-1]


def test_stopping_early_leaves_no_worker() -> None:
    asked = in_order(behave, [Path("a"), Path("hang")], 1, lost)
    assert next(asked) == ("read", "a")

    asked.close()  # type: ignore[attr-defined]

    import multiprocessing

    assert multiprocessing.active_children() == []
