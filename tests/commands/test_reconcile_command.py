"""``sheetgen reconcile`` over books and over a ledger: its outputs, what changed since its last run, and what it never does."""

from __future__ import annotations

import json
import shutil
from pathlib import Path
from typing import Any

import pytest
from command_line import codes, run
from filled_books import fill_in

from sheetgen.figures import TABLES

pytestmark = pytest.mark.usefixtures("read_once")


def test_reconcile_makes_tables_and_a_cost_book(made: tuple[Path, dict[str, Any]], tmp_path: Path) -> None:
    out, tables = tmp_path / "costs.xlsx", tmp_path / "tables"
    arguments = ["reconcile", made[0], "--out", out, "--csv", tables, "--date", "2026-03-02", "--id", "c"]

    result = run(*arguments, "--json")
    first = out.read_bytes()
    again = run(*arguments)

    said = json.loads(result.stdout)
    assert (result.exit_code, again.exit_code) == (0, 0)
    assert said["made"] == [*(str(tables / f"{name}.csv") for name in (*TABLES, "unread")), str(out)]
    assert [one["job_number"] for one in said["tables"]["jobs"]] == ["D-101"]
    assert "above 0 is over" in again.stdout
    assert out.read_bytes() == first


def test_reconcile_is_strict_where_it_is_asked(made: tuple[Path, dict[str, Any]], tmp_path: Path) -> None:
    shutil.copyfile(made[0], tmp_path / "copy.xlsx")

    loose, strict = run("reconcile", made[0], tmp_path / "copy.xlsx"), run("reconcile", made[0], tmp_path / "copy.xlsx", "--strict")

    assert (loose.exit_code, strict.exit_code) == (0, 1)
    assert "look book-twice copy.xlsx" in loose.stdout


def test_reconcile_makes_its_book_and_names_the_one_that_was_left_out(made: tuple[Path, dict[str, Any]], tmp_path: Path) -> None:
    (tmp_path / "bad.xlsx").write_bytes(b"PK\x03\x04")

    result = run("reconcile", tmp_path / "bad.xlsx", made[0], "--csv", tmp_path / "t")

    assert result.exit_code == 1
    assert "error book-left-out bad.xlsx" in result.stderr
    assert (tmp_path / "t" / "jobs.csv").exists()


def test_reconcile_never_writes_over_a_book_that_it_reads(made: tuple[Path, dict[str, Any]], tmp_path: Path) -> None:
    mine = tmp_path / "mine.xlsx"
    shutil.copyfile(made[0], mine)

    result = run("reconcile", mine, "--out", mine)

    assert result.exit_code == 1
    assert codes(result.stderr) == ["output-input"]
    assert mine.read_bytes() == made[0].read_bytes()


@pytest.mark.parametrize("source", ["files", "ledger"])
def test_the_cost_book_never_takes_the_place_of_another_book(
    made: tuple[Path, dict[str, Any]], closed: Path, tmp_path: Path, source: str
) -> None:
    """Not even of one that is not read."""
    mine, ledger = tmp_path / "mine.xlsx", tmp_path / "ledger.sqlite"
    shutil.copyfile(made[0], mine)
    run("post", closed, "--ledger", ledger)

    result = run("reconcile", *([closed] if source == "files" else ["--ledger", ledger]), "--out", mine)

    assert result.exit_code == 1
    assert codes(result.stderr) == ["output-input"]
    assert mine.read_bytes() == made[0].read_bytes()


def test_reconcile_makes_its_outputs_from_a_ledger(closed: Path, tmp_path: Path) -> None:
    ledger, tables = tmp_path / "ledger.sqlite", tmp_path / "tables"
    run("post", closed, "--ledger", ledger)

    result = run("reconcile", "--ledger", ledger, "--out", tmp_path / "costs.xlsx", "--csv", tables, "--id", "c")
    read = run("reconcile", closed, "--csv", tmp_path / "read")

    assert (result.exit_code, read.exit_code) == (0, 0)
    assert (tmp_path / "costs.xlsx").exists()
    for path in tables.iterdir():
        assert path.read_bytes() == (tmp_path / "read" / path.name).read_bytes()


def test_reconcile_shows_what_changed_since_its_last_run(closed: Path, tmp_path: Path) -> None:
    book, out = tmp_path / "done.xlsx", tmp_path / "made" / "costs.xlsx"
    arguments = ["reconcile", book, "--out", out, "--since-last"]
    shutil.copyfile(closed, book)

    first = run(*arguments, "--date", "2026-03-16")
    same = run(*arguments, "--date", "2026-03-23")
    fill_in(closed, book, {"job.status": "closed"})
    changed = run(*arguments, "--date", "2026-03-30", "--json")
    since = json.loads(changed.stdout)["since"]

    assert [one.exit_code for one in (first, same, changed)] == [0, 0, 0]
    assert f"remembered in {out.parent / 'ledger.sqlite'}" in first.stdout
    assert "Nothing changed since 2026-03-16 (seen 2026-03-16), as of 2026-03-23." in same.stdout
    assert (since["day"], since["new"], since["gone"]) == ("2026-03-23", [], [])
    assert [(one["column"], one["before"], one["after"]) for one in since["changes"]] == [("status", "done", "closed")]
    assert "since" not in json.loads(run("reconcile", book, "--json").stdout)


def test_a_run_whose_output_failed_is_not_remembered(closed: Path, tmp_path: Path) -> None:
    ledger = tmp_path / "ledger.sqlite"
    (tmp_path / "file").write_text("not a folder")

    failed = run("reconcile", closed, "--ledger", ledger, "--since-last", "--csv", tmp_path / "file")

    assert failed.exit_code == 1
    assert "no earlier run" in run("reconcile", closed, "--ledger", ledger, "--since-last").stdout


def test_outputs_are_named_though_the_ledger_fails(closed: Path, tmp_path: Path) -> None:
    (tmp_path / "ledger.sqlite").write_text("mine " * 50)

    result = run("reconcile", closed, "--since-last", "--out", tmp_path / "costs.xlsx")

    assert result.exit_code == 1
    assert f"made {tmp_path / 'costs.xlsx'}" in result.stdout
    assert codes(result.stderr) == ["ledger-foreign"]
    assert (tmp_path / "ledger.sqlite").read_text() == "mine " * 50
