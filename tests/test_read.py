"""Books as data frames: the tables of reconcile, with what is not known missing, and every column documented."""

from __future__ import annotations

import re
import subprocess
import sys
from pathlib import Path
from typing import Any

import pandas as pd
import pytest
from filled_books import DAY

import sheetgen
from sheetgen.figures import TABLES, columns, measures
from sheetgen.findings import Refused
from sheetgen.frames import Books
from sheetgen.post import post
from sheetgen.reconcile import reconcile

ROOT = Path(__file__).parents[1]


@pytest.fixture(scope="module")
def folder(books: dict[str, Path]) -> Path:
    return books["done"].parent


@pytest.fixture(scope="module")
def frames(folder: Path) -> Books:
    return sheetgen.read(folder)


def test_the_frames_are_the_tables_of_reconcile(frames: Books, folder: Path) -> None:
    compared = reconcile(sorted(folder.iterdir()))

    assert frames.system == compared.system
    assert list(frames.tables) == list(TABLES)
    for name, rows in compared.tables.items():
        frame = frames.tables[name]
        assert tuple(frame.columns) == columns(name)
        told = frame.astype(object).where(frame.notna(), None).to_dict("records")
        assert [{key: one.date() if isinstance(one, pd.Timestamp) else one for key, one in row.items()} for row in told] == list(rows)


def test_every_table_has_a_name_of_its_own(frames: Books) -> None:
    """A table that is added to reconcile becomes a property of `Books`."""
    for name in TABLES:
        assert getattr(frames, name) is frames.tables[name]
        assert getattr(Books, name).__doc__


def test_every_column_has_a_unit_and_a_label(frames: Books) -> None:
    said = frames.columns.set_index(["table", "column"])

    assert list(said.index) == [(table, name) for table in TABLES for name in columns(table)]
    assert (said["label"].str.len() > 0).all()
    assert said.loc[("jobs", "hours_actual")].to_list() == ["h", "Hours logged"]
    assert said.loc[("toppings", "thickness_laid"), "unit"] == "in"
    assert said.loc[("jobs", "done_share"), "unit"] == "0 to 1"
    assert said.loc[("jobs", "job_name"), "unit"] == ""


def test_every_label_is_that_of_the_cost_book(frames: Books) -> None:
    """A column without a place in the cost book has only its own name for a label."""
    said = frames.columns[frames.columns["label"] == frames.columns["column"].str.replace("_", " ")]

    assert set(zip(said["table"], said["column"], strict=True)) == {
        ("jobs", "tax_code"), ("jobs", "reason_lost"), ("hours", "change_order"), *((table, "book_id") for table in TABLES),
    }  # fmt: skip


def test_figures_are_numbers_even_where_none_is_known(folder: Path) -> None:
    frame = sheetgen.read(folder / "running.xlsx").jobs

    for name, measure in measures("jobs").items():
        assert frame[name].dtype == {"": "string", "date": "datetime64[s]"}.get(measure, "float64"), name
    assert frame["hours_variance"].isna().all()
    assert frame["job_number"].tolist() == ["R-1"]


def test_what_is_not_known_is_missing_and_never_zero(frames: Books) -> None:
    rows = frames.materials[(frames.materials["job_number"] == "D-1") & (frames.materials["product"] == "Colour, dry")]

    assert rows["needed"].item() > 0
    assert rows[["bought", "used", "variance"]].isna().all(axis=None)


def test_units_are_chosen(folder: Path, frames: Books) -> None:
    metric = sheetgen.read([folder / "done.xlsx"], units="metric")

    assert metric.system == "metric"
    assert metric.toppings["thickness_laid"].dropna().tolist() == pytest.approx(
        (frames.toppings[frames.toppings["job_number"] == "D-1"]["thickness_laid"].dropna() * 25.4).tolist()
    )
    assert metric.columns.set_index(["table", "column"]).loc[("toppings", "thickness_laid"), "unit"] == "mm"


def test_findings_are_a_frame(folder: Path, tmp_path: Path) -> None:
    (tmp_path / "broken.xlsx").write_bytes(b"PK\x03\x04")

    books = sheetgen.read([str(folder / "done.xlsx"), tmp_path / "broken.xlsx"])

    assert tuple(books.findings.columns) == ("code", "severity", "place", "what", "mend")
    assert "book-left-out" in set(books.findings["code"])
    assert books.jobs["job_number"].tolist() == ["D-1"]


def test_without_a_book_the_frames_are_empty(tmp_path: Path) -> None:
    books = sheetgen.read(tmp_path / "gone.xlsx")

    assert {name: (len(frame), tuple(frame.columns)) for name, frame in books.tables.items()} == {
        name: (0, columns(name)) for name in TABLES
    }
    assert (books.findings["severity"] == "error").all()


def test_posted_jobs_are_read_from_their_ledger(folder: Path, frames: Books, tmp_path: Path) -> None:
    post(sorted(folder.iterdir()), tmp_path / "ledger.sqlite", day=DAY)

    held = sheetgen.read(ledger=tmp_path / "ledger.sqlite")

    closed = frames.jobs[frames.jobs["status"] == "done"].reset_index(drop=True)
    pd.testing.assert_frame_equal(held.jobs, closed)


def test_what_a_caller_does_wrong_is_said(folder: Path, tmp_path: Path) -> None:
    with pytest.raises(ValueError, match="paths of filled books, or a ledger"):
        sheetgen.read()
    with pytest.raises(ValueError, match="paths of filled books, or a ledger"):
        sheetgen.read(folder, ledger=tmp_path / "ledger.sqlite")
    with pytest.raises(Refused):
        sheetgen.read(ledger=tmp_path / "ledger.sqlite")
    with pytest.raises(Refused):
        sheetgen.read(tmp_path)
    with pytest.raises(AttributeError, match="no attribute 'reed'"):
        sheetgen.reed  # noqa: B018


def test_the_readme_shows_code_that_runs(folder: Path, frames: Books, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    (code,) = re.findall(r"```python\n(.*?)```", (ROOT / "README.md").read_text(encoding="utf-8"), re.DOTALL)
    names = re.findall(r"`books\.(\w+)`", (ROOT / "README.md").read_text(encoding="utf-8"))
    (tmp_path / "jobs").symlink_to(folder)
    monkeypatch.chdir(tmp_path)
    held: dict[str, Any] = {}

    exec(code, held)

    assert held["over"]["Place"] == frames.hours[frames.hours["task"] == "Place"]["variance"].sum()
    assert set(names) == {*TABLES, "unread", "findings", "columns"}


@pytest.mark.parametrize("code", ["import sheetgen", "import sheetgen.reconcile, sheetgen.post, sheetgen.show, sheetgen.cli"])
def test_pandas_waits_until_it_is_asked_for(code: str) -> None:
    done = subprocess.run(
        [sys.executable, "-c", f"import sys; {code}; print('pandas' in sys.modules)"], capture_output=True, text=True, check=True
    )

    assert done.stdout.strip() == "False"
