"""Invented postings, and what tests of the ledger do with them."""

from __future__ import annotations

import datetime as dt
import sqlite3
import subprocess
import sys
import textwrap
from pathlib import Path
from typing import Any

import attrs
import pytest

from sheetgen import ledger as ledgers
from sheetgen.findings import Refused
from sheetgen.ledger import Posting, reading, writing

ROOT = Path(__file__).parents[2]
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


def started(body: str, path: Path, *arguments: str) -> subprocess.Popen[str]:
    """Start a process that does something with a ledger; return when it has told so, or at once where it does not tell."""
    code = f"""
        import sys, time
        sys.path[:0] = [{str(ROOT)!r}, {str(ROOT / "tests" / "ledger")!r}]
        from postings import *
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
