"""No file, whatever happened to it, crashes the reader, makes it hang, or fills the memory; each is read or refused with a code.

The long run: ``pytest -m long tests/fuzz``, with ``SHEETGEN_FUZZ=50000`` for so many files; it prints what became of them.
"""

from __future__ import annotations

import collections
import json
import os
import re
import resource
import subprocess
import sys
import time
import warnings
from pathlib import Path

import hand_made
import pytest
from filled_books import DAY, metric_job, put
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from mutations import ROWS, harmed, unzipped, zipped

from sheetgen.book.compile import compiled
from sheetgen.book.stamp import Stamp
from sheetgen.book.write import write
from sheetgen.check.meet import contents_of_tables
from sheetgen.findings import Refused
from sheetgen.reader.filled import read_filled
from sheetgen.reader.touched import touched

SECONDS = 10.0
MEBIBYTES = 1024
TALLY: collections.Counter[str] = collections.Counter()
SLOWEST = [0.0, ""]
SMALL = {"zones": 1, "areas": 1, "offsets": 1, "linear": 1, "readings": 1, "pours": 1, "batches": 2, "visits": 1, "hours_log": 2,
         "materials_log": 1, "systems": 1, "layers": 1}  # fmt: skip
CODE = re.compile(r"[a-z0-9]+(?:-[a-z0-9]+)+")


@pytest.fixture(scope="session")
def small(tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, Path]:
    """Return a book of a few hand-written parts, and a cost book: quick to harm and quick to read."""
    folder = tmp_path_factory.mktemp("fuzz")
    cells = '<c r="A{0}" s="1"><v>{0}</v></c><c r="B{0}" t="s"><v>0</v></c><c r="C{0}"><f>A{0}*2</f></c>'
    rows = hand_made.many(8, '<row r="{0}">' + cells + "</row>")
    by_hand = hand_made.write(folder, hand_made.book_parts(hand_made.sheet(rows), hand_made.shared("<t>word</t>")))
    made = compiled("cost", "us")
    tables = {block.name: [] for block in made.plan.book.blocks.values()}
    write(folder / "cost.xlsx", contents_of_tables(made, tables), Stamp.of(made.plan, "cost", DAY))
    return by_hand, folder / "cost.xlsx"


@pytest.fixture(scope="session")
def bid(tmp_path_factory: pytest.TempPathFactory) -> Path:
    import attrs

    job = metric_job()
    job = attrs.evolve(job, systems=job.systems[:1], layers=job.layers[:1])
    return put(job, tmp_path_factory.mktemp("fuzz bid") / "bid.xlsx", "fuzz", SMALL)


def read(path: Path) -> str:
    """Read a file as far as it goes; return what became of it."""
    try:
        filled = read_filled(path)
        found = (*filled.findings, *touched(filled).findings)
        became = "read"
    except Refused as refused:
        found = refused.findings
        assert found
        # The hand-written book has no stamp: that the gate and the reader of cells let it through is all that it can tell.
        became = "refused" if found[0].code != "stamp-none" else "read but for its stamp"
    assert all(CODE.fullmatch(one.code) and one.place and one.what for one in found)
    return became


def survives(path: Path, content: bytes, name: str) -> None:
    path.write_bytes(content)
    began = time.process_time()  # of this process: on a busy machine a clock would tell of the others
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")  # zipfile warns of what the gate refuses
        became = read(path)
    took = time.process_time() - began
    TALLY[became] += 1
    if took > SLOWEST[0]:
        SLOWEST[:] = took, name
    assert took < SECONDS, f"{name} took {took:.1f} s"


def peak_mib() -> float:
    return resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / (1024**2 if sys.platform == "darwin" else 1024)


SEEDS = st.tuples(st.integers(0, 2**32 - 1), st.integers(1, 4))
QUIET = {"deadline": None, "database": None, "suppress_health_check": list(HealthCheck)}


@settings(max_examples=120, derandomize=True, **QUIET)
@given(harm=SEEDS, which=st.integers(0, 1))
def test_harmed_small_books_are_read_or_refused(
    tmp_path_factory: pytest.TempPathFactory, small: tuple[Path, Path], harm: tuple[int, int], which: int
) -> None:
    path = tmp_path_factory.getbasetemp() / "harmed.xlsx"

    survives(path, harmed(small[which].read_bytes(), *harm), f"small {which} {harm}")


@settings(max_examples=8, derandomize=True, **QUIET)
@given(harm=SEEDS)
def test_harmed_bid_books_are_read_or_refused(tmp_path_factory: pytest.TempPathFactory, bid: Path, harm: tuple[int, int]) -> None:
    path = tmp_path_factory.getbasetemp() / "harmed.xlsx"

    survives(path, harmed(bid.read_bytes(), *harm), f"bid {harm}")


def test_a_stamp_that_asks_for_a_million_cells_is_refused_at_once(bid: Path, tmp_path: Path) -> None:
    rows = b"areas=5000 batches=5000 hours_log=5000 pours=5000 visits=5000 zones=5000"
    stamped = b" ".join(sorted(f"{name}={count}".encode() for name, count in SMALL.items()))
    parts = {name: content.replace(stamped, rows) for name, content in unzipped(bid.read_bytes()).items()}
    assert parts != unzipped(bid.read_bytes())
    path = tmp_path / "bomb.xlsx"
    path.write_bytes(zipped(parts))
    began = time.process_time()

    with pytest.raises(Refused) as refused:
        read_filled(path)

    assert [one.code for one in refused.value.findings] == ["stamp-rows"]
    assert time.process_time() - began < SECONDS


def test_a_formula_that_brings_a_library_down_costs_its_file_only(small: tuple[Path, Path], tmp_path: Path) -> None:
    """Eight thousand brackets overflow the stack of IronCalc, which ends its process; the gate cannot know."""
    parts = unzipped(small[1].read_bytes())
    sheet = next(name for name in parts if "worksheets/sheet" in name)
    parts[sheet] = parts[sheet].replace(b"</sheetData>", next(row for row in ROWS if b"((((" in row) + b"</sheetData>")
    (tmp_path / "bad.xlsx").write_bytes(zipped(parts))
    command = [sys.executable, "-m", "sheetgen.cli", "check", "--json", str(tmp_path / "bad.xlsx"), str(small[1])]

    result = subprocess.run(command, capture_output=True, text=True, check=False)

    said = json.loads(result.stdout)
    assert (result.returncode, result.stderr) == (1, "")
    assert [book["counts"] is None for book in said["books"]] == [True, False]
    assert [(one["code"], one["place"]) for one in said["findings"] if one["severity"] == "error"] == [("worker-ended", "bad.xlsx")]


@pytest.mark.long
def test_many_harmed_books(tmp_path: Path, small: tuple[Path, Path], bid: Path) -> None:
    """Half of them of a few parts, half cost books, but one in fifty a bid book; the seed is the number."""
    count = int(os.environ.get("SHEETGEN_FUZZ", "50000"))
    first = int(os.environ.get("SHEETGEN_FUZZ_FIRST", "0"))
    for number in range(first, first + count):
        base, name = (bid, "bid") if number % 50 == 0 else (small[number % 2], f"small {number % 2}")
        survives(tmp_path / "harmed.xlsx", harmed(base.read_bytes(), number, 1 + number % 4), f"{name} {number}")
        if (number + 1) % 500 == 0:
            print(f"{number + 1 - first} files: {dict(TALLY)}, slowest {SLOWEST}, peak {peak_mib():.0f} MiB", flush=True)
    assert peak_mib() < MEBIBYTES


