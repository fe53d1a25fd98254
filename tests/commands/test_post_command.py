"""``sheetgen post``: what became of each book, in words and as JSON, and where the ledger stands."""

from __future__ import annotations

import json
import shutil
import sqlite3
from pathlib import Path
from typing import Any

import pytest
from command_line import codes, run
from filled_books import ROWS, fill_in

from sheetgen.book.compile import compiled

pytestmark = pytest.mark.usefixtures("read_once")


def test_post_records_closed_jobs_and_says_which(made: tuple[Path, dict[str, Any]], closed: Path, tmp_path: Path) -> None:
    ledger = tmp_path / "ledger.sqlite"

    first = run("post", closed, made[0], "--ledger", ledger, "--date", "2026-03-02")
    again = run("post", closed, "--ledger", ledger)

    assert (first.exit_code, again.exit_code) == (0, 0)
    assert f"posted {closed}: job D-1\n" in first.stdout
    assert f"not posted {made[0]}: job D-101, not done\n" in first.stdout
    assert f"{ledger}: 1 posted, 1 not posted (1 not done)\n" in first.stdout
    assert codes(first.stdout) == ["ledger-new", "job-open"]
    assert again.stdout == f"already there {closed}: job D-1, as posted on 2026-03-02\n{ledger}: 1 already there\n"


def test_post_shows_what_was_changed_and_asks_why(closed: Path, tmp_path: Path) -> None:
    ledger = tmp_path / "ledger.sqlite"
    changed = fill_in(closed, tmp_path / "done.xlsx", {"takeoff.waste": 0.125})
    run("post", closed, "--ledger", ledger, "--date", "2026-03-02")

    refused = run("post", changed, "--ledger", ledger)
    amended = run("post", changed, "--ledger", ledger, "--amend", "  measured\nagain ", "--date", "2026-04-01")

    cell = compiled("bid", "us", ROWS).plan.spot("takeoff", "waste").cell().a1
    assert (refused.exit_code, amended.exit_code) == (1, 0)
    assert refused.stdout == (
        f"not posted {changed}: job D-1, changed\n"
        f"    {cell} Waste of topping (takeoff.waste): 8 %, now 12.5 %\n"
        f"{ledger}: 1 not posted (1 changed)\n"
    )
    assert codes(refused.stderr) == ["job-changed"]
    assert f"amended {changed}: job D-1, revision 2\n" in amended.stdout
    assert "amended on 2026-04-01: measured again" in run("reconcile", "--ledger", ledger).stdout


def test_post_is_strict_where_it_is_asked(made: tuple[Path, dict[str, Any]], tmp_path: Path) -> None:
    arguments = ["post", made[0], "--ledger", tmp_path / "ledger.sqlite"]

    assert (run(*arguments).exit_code, run(*arguments, "--strict").exit_code) == (0, 1)


def test_json_of_post_tells_what_became_of_each_book(closed: Path, tmp_path: Path) -> None:
    ledger = tmp_path / "ledger.sqlite"
    changed = fill_in(closed, tmp_path / "done.xlsx", {"takeoff.waste": 0.125})
    run("post", closed, "--ledger", ledger, "--date", "2026-03-02")

    result = run("post", changed, "--ledger", ledger, "--json")

    said = json.loads(result.stdout)
    assert result.exit_code == 1
    assert said["ledger"] == str(ledger)
    (book,) = said["books"]
    (change,) = book.pop("changes")
    assert book == {
        "book": str(changed), "became": "not posted", "why": "changed", "same_as": None, "book_id": "id-done", "job_number": "D-1", "job_name": "Done", "revision": 1,
        "posted_on": "2026-03-02",
    }  # fmt: skip
    assert (change["field"], change["before"], change["after"]) == ("takeoff.waste", "8 %", "12.5 %")
    assert [one["code"] for one in said["findings"]] == ["job-changed"]


def test_the_ledger_stands_beside_the_first_book_unless_it_is_named(closed: Path, tmp_path: Path) -> None:
    for name in ("a", "b"):
        (tmp_path / name).mkdir()
        shutil.copyfile(closed, tmp_path / name / "done.xlsx")

    run("post", tmp_path / "a", tmp_path / "b" / "done.xlsx")
    run("post", tmp_path / "b" / "done.xlsx")

    assert {path.relative_to(tmp_path).as_posix() for path in tmp_path.rglob("ledger*")} == {"a/ledger.sqlite", "b/ledger.sqlite"}


@pytest.mark.parametrize("command", [["post"], ["reconcile", "--since-last"], ["reconcile"]])
def test_a_ledger_of_a_newer_version_is_named(closed: Path, tmp_path: Path, command: list[str]) -> None:
    ledger = tmp_path / "ledger.sqlite"
    run("post", closed, "--ledger", ledger)
    with sqlite3.connect(ledger) as connection:
        connection.execute("PRAGMA user_version = 99")
    connection.close()
    before = ledger.read_bytes()

    result = run(*command, *([closed] if command != ["reconcile"] else []), "--ledger", ledger)

    assert result.exit_code == 1
    assert codes(result.stderr) == ["ledger-newer"]
    assert "use the newer sheetgen" in result.stderr
    assert ledger.read_bytes() == before
