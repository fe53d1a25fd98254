"""Tuning over books, over a ledger and from the terminal; the rate book that is made, and what a no in it does."""

from __future__ import annotations

import datetime as dt
import json
import subprocess
import sys
from pathlib import Path

import attrs
import openpyxl
import pytest
from click.testing import CliRunner, Result
from filled_books import ROWS, put
from tuned_jobs import past_job

from sheetgen import tune, tuning_tables
from sheetgen.check.filled import check_filled
from sheetgen.cli import main
from sheetgen.jobfile import starter
from sheetgen.post import post
from sheetgen.rates import build_rates, read_rates, with_rates

DAY = dt.date(2026, 3, 2)
WRONG = {"Grind": 1.5, "Clean up": 0.7}
BASE = starter("us")


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("tune")
    (folder / "jobs").mkdir()
    for number in range(4):
        put(past_job(number, WRONG, spread=0.05), folder / "jobs" / f"{number}.xlsx", f"id-{number}", ROWS)
    build_rates(BASE, folder / "jobs" / "rates.xlsx", made_on=DAY, book_id="r")
    post([folder / "jobs" / f"{number}.xlsx" for number in range(4)], folder / "ledger.sqlite", day=DAY)
    return folder


def run(*arguments: object) -> Result:
    return CliRunner().invoke(main, ["tune", *(str(one) for one in arguments)])


def test_books_and_ledger_tell_the_same(folder: Path) -> None:
    """The ledger holds what was typed, numbers to twelve digits."""
    rates = read_rates(folder / "jobs" / "rates.xlsx")
    books = tune.learn(tune.from_books([folder / "jobs" / f"{number}.xlsx" for number in range(4)], rates), rates, day=DAY)
    ledger = tune.learn(tune.from_ledger(folder / "ledger.sqlite", rates), rates, day=DAY)

    assert ledger.hours.codes == books.hours.codes
    assert ledger.hours.tuned.rest == pytest.approx(books.hours.tuned.rest, rel=1e-9, nan_ok=True)
    assert ledger.hours.past.reckoned == pytest.approx(books.hours.past.reckoned, rel=1e-9)
    assert tuning_tables.tables_of(ledger)["tuned_left_out"] == tuning_tables.tables_of(books)["tuned_left_out"]


def test_the_command_over_a_folder(folder: Path) -> None:
    """The rate book among the jobs is passed over."""
    found = run(folder / "jobs", "--rates", folder / "jobs" / "rates.xlsx", "--date", "2026-03-02")

    assert found.exit_code == 0
    assert "Grind: takes " in found.output
    assert "(4 jobs;" in found.output


def test_the_command_over_a_ledger_as_json(folder: Path) -> None:
    found = run("--ledger", folder / "ledger.sqlite", "--rates", folder / "jobs" / "rates.xlsx", "--json")
    told = json.loads(found.output)

    assert {row.get("code") for row in told["tables"]["tuning"] if row} <= {"change", "keep", "watch", "few"}
    assert len(told["tables"]["tuned_jobs"]) == 4
    assert "book" not in told


def test_a_new_rate_book_is_made_and_the_old_one_stays(folder: Path, tmp_path: Path) -> None:
    rates = folder / "jobs" / "rates.xlsx"
    before = rates.read_bytes()
    found = run(folder / "jobs", "--rates", rates, "--out", tmp_path / "new.xlsx", "--date", "2026-03-02", "--id", "x")

    assert found.exit_code == 0, found.output
    assert rates.read_bytes() == before
    made = read_rates(tmp_path / "new.xlsx")
    grind, used = made.job.tasks[1], made.in_use().job.tasks[1]
    assert (grind.name, grind.rate, grind.spread_jobs) == ("Grind", 120.0, 4)
    assert used.rate == pytest.approx(120 / WRONG["Grind"], rel=0.15)
    assert 0 <= grind.spread < 0.3
    assert check_filled(tmp_path / "new.xlsx").findings == made.findings


def test_the_owners_no_leaves_the_present_rate(folder: Path, tmp_path: Path) -> None:
    """A cell typed over in the new book: the rate in use follows, and so does a bid."""
    run(folder / "jobs", "--rates", folder / "jobs" / "rates.xlsx", "--out", tmp_path / "new.xlsx", "--date", "2026-03-02")
    workbook = openpyxl.load_workbook(tmp_path / "new.xlsx")
    cell = read_rates(tmp_path / "new.xlsx").made.plan.spot("tuning", "take").cell(1)
    workbook[cell.sheet].cell(cell.row + 1, cell.column + 1).value = "no"
    workbook.save(tmp_path / "decided.xlsx")
    bid = with_rates(starter("us"), read_rates(tmp_path / "decided.xlsx"))

    assert bid.tasks[1].rate == 120.0
    assert bid.tasks[1].spread_jobs == 4


@pytest.mark.parametrize(
    ("arguments", "words"),
    [((), "Name filled books"), (("jobs", "--ledger", "l.sqlite"), "not both"), (("jobs", "--half-life", "0"), "--half-life")],
)
def test_a_wrong_command_line(arguments: tuple[str, ...], words: str) -> None:
    found = run(*arguments, "--rates", "rates.xlsx")

    assert found.exit_code == 2
    assert words in found.output


def test_nothing_that_is_read_is_written_over(folder: Path) -> None:
    rates = folder / "jobs" / "rates.xlsx"
    for out in (rates, folder / "jobs" / "0.xlsx"):
        found = run(folder / "jobs" / "0.xlsx", "--rates", rates, "--out", out, "--replace")

        assert (found.exit_code, "output-input" in found.output) == (1, True)


def test_a_book_that_cannot_be_read_is_named(folder: Path, tmp_path: Path) -> None:
    (tmp_path / "broken.xlsx").write_bytes(b"no workbook")
    found = run(folder / "jobs" / "0.xlsx", tmp_path / "broken.xlsx", "--rates", folder / "jobs" / "rates.xlsx")

    assert found.exit_code == 1
    assert "book-left-out" in found.output
    assert "Grind: not enough jobs (1 of 4)" in found.output
    assert "look tune-few rates.xlsx: 1 job counts, and a task needs 4" in found.output


def test_without_a_job_that_counts_there_is_no_book_and_it_is_said_why(folder: Path, tmp_path: Path) -> None:
    running = past_job(0, WRONG)
    running = attrs.evolve(running, job=attrs.evolve(running.job, status="running"))
    put(running, tmp_path / "running.xlsx", "id-running", ROWS)
    (tmp_path / "broken.xlsx").write_bytes(b"no workbook")
    found = run(tmp_path, "--rates", folder / "jobs" / "rates.xlsx", "--out", tmp_path / "new.xlsx")

    assert found.exit_code == 1
    assert "no job counts: 1 book, the job is not done; 1 book, the book was not read; a job counts when its status is done" in found.output
    assert not (tmp_path / "new.xlsx").exists()


def test_only_tuning_loads_scipy() -> None:
    """Help, bids and checks start as fast as ever."""
    commands = "import sheetgen.commands.bid, sheetgen.commands.check, sheetgen.build, sheetgen.rates, sheetgen.check.filled, sheetgen.cli"
    loaded = f"{commands}, sys; print('scipy' in sys.modules)"

    assert subprocess.run([sys.executable, "-c", loaded], capture_output=True, text=True, check=True).stdout == "False\n"
