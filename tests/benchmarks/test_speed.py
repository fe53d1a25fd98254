"""How fast sheetgen is, as ratios to a bare program that does the same in the same run on the same machine.

Run with ``pytest -m benchmark -s tests/benchmarks``: prints a table. Nothing here fails because a machine is slow;
what is asserted is only that both sides did the same work.
"""

from __future__ import annotations

import cProfile
import datetime as dt
import gc
import io
import os
import pstats
import statistics
import subprocess
import sys
import time
import zipfile
from collections.abc import Callable, Mapping
from pathlib import Path

import openpyxl
import pytest
from jobs import demo_job, random_job

sys.path.insert(0, str(Path(__file__).parent))

from recording import Recording, recorded

from sheetgen.build import build_bid
from sheetgen.engine.job import Job
from sheetgen.reader.filled import read_filled

pytestmark = pytest.mark.benchmark
DAY = dt.date(2026, 3, 2)
ROOT = Path(__file__).parents[2]
REPEATS = 7
BOOKS, DIFFERENT, EARLY = 1000, 5, 50
COLD = """
import sys, time
sys.path.insert(0, {tests!r})
import datetime
from pathlib import Path
from jobs import demo_job
from sheetgen.build import build_bid
job = demo_job()
began = time.perf_counter()
build_bid(job, Path({path!r}), made_on=datetime.date(2026, 3, 2), book_id="bench")
print(time.perf_counter() - began)
"""


@pytest.fixture(scope="module")
def job() -> Job:
    return demo_job()


@pytest.fixture(scope="module")
def recording(job: Job, tmp_path_factory: pytest.TempPathFactory) -> Recording:
    """Return the calls of one build; made again, they give the same file byte for byte."""
    folder = tmp_path_factory.mktemp("recorded")
    with recorded(pytest.MonkeyPatch()) as calls:
        _build(job, folder / "built.xlsx")
    calls.replay(folder / "bare.xlsx")

    assert (folder / "bare.xlsx").read_bytes() == (folder / "built.xlsx").read_bytes()
    return calls


def test_building_a_bid_book(job: Job, recording: Recording, table: list[str], tmp_path: Path) -> None:
    """Engine, writing, structure, recalculation and comparison, over the bare writing of the same cells."""
    taken = _interleaved(
        {"ours": lambda: _build(job, tmp_path / "ours.xlsx"), "bare": lambda: recording.replay(tmp_path / "bare.xlsx")}
    )
    table.append(_line(f"build, warm ({len(recording.calls):,} calls of XlsxWriter)", taken["ours"], taken["bare"], "2.5"))
    cold = statistics.median(
        float(_run(["-c", COLD.format(tests=str(ROOT / "tests"), path=str(tmp_path / "cold.xlsx"))])) for _ in range(3)
    )
    table.append(_line("build, the first of a process (template compiled too)", cold, taken["bare"], "-"))


def test_where_the_build_spends_its_time(job: Job, recording: Recording, tmp_path: Path) -> None:
    """Print the top costs of a warm build; the recording has warmed it."""
    profile = cProfile.Profile()
    profile.runcall(_build, job, tmp_path / "profiled.xlsx")
    text = io.StringIO()
    stats = pstats.Stats(profile, stream=text).strip_dirs()
    stats.sort_stats("cumulative").print_stats(25)
    stats.sort_stats("tottime").print_stats(12)
    print("\n" + text.getvalue())


def test_reading_a_filled_book(job: Job, table: list[str], tmp_path: Path) -> None:
    """Gate, stamp, plan and every input with its checks, over pulling every cell with openpyxl."""
    path = tmp_path / "filled.xlsx"
    _build(job, path)

    taken = _interleaved({"ours": lambda: read_filled(path), "bare": lambda: _pull(path)})
    table.append(_line("read a filled book / openpyxl read-only, every cell", taken["ours"], taken["bare"], "3"))


@pytest.fixture(scope="module")
def books(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Return a folder of many books."""
    folder, first = tmp_path_factory.mktemp("books"), tmp_path_factory.mktemp("first") / "first.xlsx"
    for number in range(DIFFERENT):
        build_bid(random_job(30_000 + number, "us"), first, made_on=DAY, book_id="id-0000")
        for again in range(number, BOOKS, DIFFERENT):
            _with_id(first, folder / f"book-{again:04d}.xlsx", f"id-{again:04d}")
    return folder


def test_reconciling_many_books(books: Path, table: list[str]) -> None:
    """Every core and one process, over pulling every cell with openpyxl in one process; then the peaks of memory.

    Memory should not grow with the number of books, but for the figures themselves.
    """
    cores = os.cpu_count() or 1
    ours = {processes: _reconciled(books, processes) for processes in (cores, 0)}
    began = time.perf_counter()
    for path in sorted(books.iterdir()):
        _pull(path)
    bare = time.perf_counter() - began

    for processes, lines in ours.items():
        name = f"reconcile {BOOKS} books, workers: {processes} / openpyxl, one process"
        table.append(_line(name, lines[BOOKS][0], bare, "3"))
    for processes, lines in ours.items():
        for which, peak in (("of the process", 1), ("of its largest worker", 2)):
            if lines[BOOKS][peak]:
                name = f"peak {which} after {BOOKS} books / after {EARLY}, workers: {processes}"
                late, early = lines[BOOKS][peak], lines[EARLY][peak]
                table.append(f"{name:<72}{late:>8.0f} MiB{early:>8.0f} MiB{late / early:>8.2f}{'-':>9}")


def _reconciled(books: Path, processes: int) -> dict[int, list[float]]:
    """Return the seconds and the two peaks of memory [MiB] after some numbers of books."""
    said = _run([str(Path(__file__).with_name("memory.py")), str(books), str(processes), str(EARLY), str(BOOKS)])
    lines = {int(line.split()[0]): [float(one) for one in line.split()[1:]] for line in said.splitlines()}
    assert max(lines) == BOOKS
    return lines


def _pull(path: Path) -> None:
    """Pull every cell of a book with openpyxl."""
    book = openpyxl.load_workbook(path, read_only=True)
    for sheet in book.worksheets:
        for row in sheet.iter_rows(values_only=True):
            list(row)
    book.close()


def test_starting(table: list[str]) -> None:
    """The help of the command, over importing the library that reads its arguments."""
    start = "import sys; from sheetgen.cli import main; sys.argv = ['sheetgen', '--help']; main()"
    taken = _interleaved({"ours": lambda: _run(["-c", start]), "bare": lambda: _run(["-c", "import click"])})
    table.append(_line("sheetgen --help / python -c 'import click'", taken["ours"], taken["bare"], "3"))


def _build(job: Job, path: Path) -> None:
    build_bid(job, path, made_on=DAY, book_id="bench")


def _interleaved(runs: Mapping[str, Callable[[], object]]) -> dict[str, float]:
    """Return the median time of each [s]; taken in turn, so that a slow spell of the machine falls on all."""
    for run in runs.values():
        run()
    taken: dict[str, list[float]] = {name: [] for name in runs}
    for _ in range(REPEATS):
        for name, run in runs.items():
            gc.collect()
            began = time.perf_counter()
            run()
            taken[name].append(time.perf_counter() - began)
    return {name: statistics.median(times) for name, times in taken.items()}


def _run(arguments: list[str]) -> str:
    environment = {**os.environ, "PYTHONPATH": str(ROOT)}
    done = subprocess.run([sys.executable, *arguments], cwd=ROOT, env=environment, check=False, capture_output=True, text=True)
    assert done.returncode == 0, done.stderr[-2000:]
    return done.stdout


def _with_id(book: Path, goal: Path, book_id: str) -> None:
    """Copy a book under another id: two books of one id would share what is kept of them."""
    with zipfile.ZipFile(book) as old, zipfile.ZipFile(goal, "w", zipfile.ZIP_DEFLATED, compresslevel=1) as new:
        for item in old.infolist():
            new.writestr(item.filename, old.read(item).replace(b"id-0000", book_id.encode()))


def _line(name: str, ours: float, bare: float, target: str) -> str:
    return f"{name:<72}{ours:>10.3f} s{bare:>10.3f} s{ours / bare:>8.2f}{target:>9}"
