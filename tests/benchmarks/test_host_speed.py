"""How long it takes to add a bid to a large workbook, over inflating and deflating the same workbook; and the memory that takes.

Run with ``pytest -m benchmark -s tests/benchmarks/test_host_speed.py``. Time is that of the processor, so that others on the
machine count for little. What the bid itself takes is measured with a workbook that holds one cell.
"""

from __future__ import annotations

import os
import random
import subprocess
import sys
import time
import zipfile
import zlib
from pathlib import Path

import pytest
import xlsxwriter

pytestmark = pytest.mark.benchmark
TESTS = Path(__file__).parents[1]
ROWS, COLUMNS, SHEETS, PICTURES = 36_000, 12, 3, 4
# A large workbook by the requirement [byte].
LARGE = 20_000_000
ADD = """
import sys, time
sys.path[:0] = [{tests!r}, {bench!r}]
import datetime
from pathlib import Path
from filled_books import ROWS, metric_job
from memory import peak_mib
from sheetgen.host.add import add
began = time.process_time()
add(Path({host!r}), Path({out!r}), metric_job(), made_on=datetime.date(2026, 3, 2), rows=ROWS, prefix="Job 7 ", book_id="b")
print(time.process_time() - began, peak_mib())
"""


@pytest.fixture(scope="module")
def large(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A history of sales with the name of each customer, formulas, and photographs."""
    path = tmp_path_factory.mktemp("large") / "large.xlsx"
    dice = random.Random(7)
    book = xlsxwriter.Workbook(path)
    for number in range(SHEETS):
        sheet = book.add_worksheet(f"History {number + 1}")
        for row in range(ROWS):
            for column in range(COLUMNS):
                sheet.write_number(row, column, round(dice.uniform(0, 9999), 2 + column % 4))
            sheet.write_string(row, COLUMNS + 1, f"customer {dice.randrange(ROWS):06d} of {dice.randrange(99)}")
            if row % 10 == 0:
                sheet.write_formula(row, COLUMNS, f"=SUM(A{row + 1}:L{row + 1})")
    book.close()
    with zipfile.ZipFile(path, "a", zipfile.ZIP_DEFLATED) as out:
        for number in range(PICTURES):
            out.writestr(f"xl/media/image{number}.jpeg", dice.randbytes(2_000_000))
    assert path.stat().st_size >= LARGE
    return path


def _added(host: Path, out: Path) -> tuple[float, float]:
    script = ADD.format(tests=str(TESTS), bench=str(TESTS / "benchmarks"), host=str(host), out=str(out))
    environment = {**os.environ, "PYTHONPATH": str(TESTS.parent)}
    done = subprocess.run([sys.executable, "-c", script], capture_output=True, text=True, check=True, env=environment)
    seconds, peak = map(float, done.stdout.split())
    return seconds, peak


def _inflated_and_deflated(path: Path) -> float:
    began = time.process_time()
    with zipfile.ZipFile(path) as zipped:
        for entry in zipped.infolist():
            packer = zlib.compressobj(zlib.Z_DEFAULT_COMPRESSION, zlib.DEFLATED, -zlib.MAX_WBITS)
            packer.compress(zipped.read(entry))
            packer.flush()
    return time.process_time() - began


def test_adding_to_a_large_workbook(large: Path, table: list[str], tmp_path: Path) -> None:
    small = tmp_path / "small.xlsx"
    book = xlsxwriter.Workbook(small)
    book.add_worksheet("One").write_number(0, 0, 1)
    book.close()
    bare_seconds = min(_inflated_and_deflated(large) for _ in range(3))
    (base, base_peak), (ours, peak) = (min(_added(host, tmp_path / "out.xlsx") for _ in range(3)) for host in (small, large))
    with zipfile.ZipFile(large) as zipped:
        largest = max(entry.file_size for entry in zipped.infolist()) / 1024**2
    size = large.stat().st_size / 1024**2
    for what, one, bare, aim in (
        (f"add to a workbook of {size:.0f} MiB / inflate and deflate it", ours, bare_seconds, "4"),
        ("the same without what the bid itself takes", ours - base, bare_seconds, "–"),
        ("memory above that of a small workbook / its largest part [MiB]", peak - base_peak, largest, "6"),
    ):
        table.append(f"{what:<72}{one:>12.3f}{bare:>12.3f}{one / bare:>8.2f}{aim:>9}")

    assert (tmp_path / "out.xlsx").stat().st_size > large.stat().st_size
