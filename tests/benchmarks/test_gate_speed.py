"""How long the gate takes, as a ratio to pulling every cell of the same file with openpyxl read-only in the same run.

Run with ``pytest -m benchmark -s tests/benchmarks/test_gate_speed.py``: prints a table. Time of this process, medians of runs by turns.
"""

from __future__ import annotations

import statistics
import time
from collections.abc import Callable
from pathlib import Path

import openpyxl
import pytest
from filled_books import DAY, done_job, put

from sheetgen.book.compile import compiled
from sheetgen.book.stamp import Stamp
from sheetgen.book.write import write
from sheetgen.check.meet import contents_of_tables
from sheetgen.check.office import PROGRAMS, resave
from sheetgen.reader.gate import inspect
from sheetgen.reader.raw import read_raw

pytestmark = pytest.mark.benchmark
RUNS = 9


def pull(path: Path) -> int:
    """Pull every cell with openpyxl, read-only."""
    workbook = openpyxl.load_workbook(path, read_only=True)
    cells = sum(1 for sheet in workbook for row in sheet.iter_rows() for _ in row)
    workbook.close()
    return cells


def timed(act: Callable[[Path], object], path: Path) -> float:
    began = time.process_time()
    act(path)
    return time.process_time() - began


def test_the_gate(tmp_path: Path, table: list[str]) -> None:
    import shutil

    files = {"a filled bid book": put(done_job(), tmp_path / "bid.xlsx", "gate", {})}
    made = compiled("cost", "us")
    tables = {block.name: [] for block in made.plan.book.blocks.values()}
    write(tmp_path / "cost.xlsx", contents_of_tables(made, tables), Stamp.of(made.plan, "cost", DAY))
    files["a cost book of no jobs"] = tmp_path / "cost.xlsx"
    if any(map(shutil.which, PROGRAMS)):
        (tmp_path / "office").mkdir()
        files["the bid book as LibreOffice saves it"] = resave([files["a filled bid book"]], tmp_path / "office")[0]
    for name, path in files.items():
        for what, act, target in (("gate", inspect, "1"), ("gate and cells", read_raw, "-")):
            pairs = [(timed(act, path), timed(pull, path)) for _ in range(RUNS)]
            ours, bare = (statistics.median(pair[side] for pair in pairs) for side in (0, 1))
            table.append(f"{f'{what}: {name} / openpyxl read-only':<72}{ours:>10.3f} s{bare:>10.3f} s{ours / bare:>8.2f}{target:>9}")
