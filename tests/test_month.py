"""A bookkeeper's month, from a folder of thirty books to the ledger: by the commands that the README names, and nothing else.

Sixteen jobs are done, six run, two were lost, one is bid in April; one book is there twice, one was copied for another job, one was
made with an earlier template, and two are broken.
"""

from __future__ import annotations

import csv
import datetime as dt
import json
from collections import Counter
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import attrs
import openpyxl
import pytest
from click.testing import CliRunner
from filled_books import Copies, put
from reading_once import read_once

from sheetgen import pool, reconcile
from sheetgen.book.compile import compiled
from sheetgen.cli import main
from sheetgen.engine.job import Job
from sheetgen.engine.records import Area, Bill, CostEntry, HoursEntry, MaterialsEntry
from sheetgen.jobfile import starter

# As few rows as will do: thirty books are read three times.
ROWS = {
    "zones": 1, "areas": 1, "offsets": 1, "linear": 1, "readings": 1, "joints": 1, "levels": 1, "pours": 1, "batches": 4, "visits": 3,
    "day_notes": 1, "systems": 1, "layers": 3, "tasks": 19, "products": 14, "lines": 7, "roles": 3, "equipment": 3, "hours_log": 2,
    "materials_log": 1, "costs_log": 2, "change_orders": 1, "bills": 2, "weather_log": 1,
}  # fmt: skip
DONE, RUNNING = range(1, 17), range(17, 23)
# Two people worked so long, each; and so much was billed and spent on travel, with four of tax.
HOURS = {number: 3 + number / 4 for number in range(1, 31)}
BILLED = {number: 1000.0 + 10 * number for number in range(1, 31)}
TRAVEL = {number: 20.0 + number for number in range(1, 31)}
MARCH, APRIL = dt.date(2026, 3, 31), dt.date(2026, 4, 30)
STUCK = {"early.xlsx", "cut.xlsx", "words.xlsx"}


def base_job() -> Job:
    job = starter("us")
    task = next(task.name for task in job.tasks if task.name == "Place")
    known = {None, job.systems[0].name}
    return attrs.evolve(
        job, job=attrs.evolve(job.job, status="done", number="24-00", name="Hall", bid_date=dt.date(2026, 3, 2)),
        systems=job.systems[:1], layers=job.layers[:3], areas=(Area(first=20.0, second=15.0),),
        tasks=tuple(one for one in job.tasks if one.system in known), lines=tuple(one for one in job.lines if one.system in known),
        hours_log=(
            HoursEntry(date=dt.date(2026, 3, 10), task=task, zone="Zone 1", people=2.0, hours_each=4.0, area_done=300.0),
        ),
        materials_log=(MaterialsEntry(date=dt.date(2026, 3, 9), product=job.systems[0].product, taken=9.0, amount=360.0),),
        costs_log=(CostEntry(date=dt.date(2026, 3, 10), kind="travel", amount=1.0, tax=4.0),),
        bills=(Bill(date=dt.date(2026, 3, 20), kind="bill", amount=1.0),),
    )  # fmt: skip


class Desk:
    """The bookkeeper's desk: a folder of books, and the commands that are typed."""

    def __init__(self, folder: Path) -> None:
        self.jobs, self.folder, self.ledger = folder / "jobs", folder, folder / "ledger.sqlite"
        self.jobs.mkdir()
        plan = compiled("bid", "us", ROWS).plan
        self.copies = Copies(put(base_job(), folder / "base.xlsx", "id-base", ROWS), plan)

    def book(self, number: int, name: str = "", *, stamp: dict[str, str] | None = None, **typed: object) -> Path:
        """Put the book of a job on the desk; fields that differ from the other jobs' as ``job__status``."""
        fields = {
            "job.number": f"24-{number:02}", "job.name": f"Hall {number}", "hours_log.hours_each": HOURS[number],
            "costs_log.amount": TRAVEL[number], "bills.amount": BILLED[number],
            **{field.replace("__", "."): value for field, value in typed.items()},
        }  # fmt: skip
        return self.copies.fill(self.jobs / f"{name or f'job {number:02}'}.xlsx", fields, **{"book_id": f"id-{number}", **(stamp or {})})

    def more_hours(self, day: dt.date, each: float) -> dict[str, object]:
        """Return what is typed into the second row of the log."""
        return {"hours_log.date[2]": day, "hours_log.task[2]": "Place", "hours_log.people[2]": 1.0, "hours_log.hours_each[2]": each}

    def type(self, *arguments: object) -> tuple[int, dict[str, Any]]:
        """Type a command; return its exit code, and what it says as JSON."""
        result = CliRunner().invoke(main, [str(one) for one in (*arguments, "--json")])
        return result.exit_code, json.loads(result.stdout)

    def reconcile(self, as_of: dt.date, day: str, *more: object) -> tuple[int, dict[str, Any]]:
        seen = self.folder / "seen.sqlite"
        return self.type("reconcile", self.jobs, "--as-of", as_of, "--date", day, "--since-last", "--ledger", seen, *more)


@attrs.frozen
class Month:
    """What the commands said, and the cost book and a table of March as they were then."""

    march: tuple[int, dict[str, Any]]
    start: list[str]
    jobs: list[dict[str, str]]
    posted: tuple[int, dict[str, Any]]
    refused: tuple[int, dict[str, Any]]
    amended: tuple[int, dict[str, Any]]
    april: tuple[int, dict[str, Any]]
    held: tuple[int, dict[str, Any]]
    held_then: tuple[int, dict[str, Any]]


@pytest.fixture(scope="module")
def month(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Month]:
    with pytest.MonkeyPatch.context() as monkeypatch:
        yield month_of(Desk(tmp_path_factory.mktemp("desk")), monkeypatch)


def month_of(desk: Desk, monkeypatch: pytest.MonkeyPatch) -> Month:
    monkeypatch.setattr(pool, "cores", lambda: 0)  # worker processes are tested elsewhere
    monkeypatch.setattr(reconcile, "read_each", read_once)
    for number in (*DONE[:-1], *RUNNING[:-1]):
        desk.book(number, job__status="done" if number in DONE else "running")
    desk.book(16, **{"job.finished_date": dt.date(2026, 4, 3)}, **desk.more_hours(dt.date(2026, 4, 2), 5.0))
    desk.book(22, job__status="running", **desk.more_hours(dt.date(2026, 4, 2), 5.0))
    for number in (23, 24):
        desk.book(number, job__status="lost", job__reason_lost="dearer", hours_log__hours_each=None, hours_log__task=None,
                  hours_log__date=None, hours_log__zone=None, hours_log__people=None, hours_log__area_done=None)  # fmt: skip
    desk.book(25, job__status="sent", job__bid_date=dt.date(2026, 4, 8))
    desk.book(26, "copied", stamp={"book_id": "id-1"})
    desk.book(2, "job 02 again")
    desk.book(28, "early", stamp={"template_version": "0", "tool_version": "0.0.9"})
    broken = desk.book(29, "cut")
    broken.write_bytes(broken.read_bytes()[:20_000])
    desk.book(30, "words", hours_log__hours_each="a few")
    assert len(list(desk.jobs.iterdir())) == 30

    out = desk.folder / "month"
    march = desk.reconcile(MARCH, "2026-04-06", "--out", out / "costs.xlsx", "--csv", out / "tables")
    costs = openpyxl.load_workbook(out / "costs.xlsx", data_only=True)
    start = [str(cell.value) for line in costs["Start"].iter_rows(max_row=20) for cell in line if cell.value is not None]
    with (out / "tables" / "jobs.csv").open(encoding="utf-8", newline="") as file:
        jobs = list(csv.DictReader(file))
    posted = desk.type("post", desk.jobs, "--ledger", desk.ledger, "--date", "2026-04-06")

    # In April: what was broken comes again, job 17 is finished, and a receipt of job 3 turns up.
    for name in ("job 02 again", "cut", "words"):
        (desk.jobs / f"{name}.xlsx").unlink()
    again = desk.book(29, job__status="running")
    finished = desk.book(17, job__status="done", **{"job.finished_date": dt.date(2026, 4, 10)}, **desk.more_hours(dt.date(2026, 4, 8), 3.0))
    receipt = desk.book(3, **{"costs_log.kind[2]": "permits", "costs_log.amount[2]": 25.0, "costs_log.date[2]": dt.date(2026, 3, 12)})
    changed = [receipt, finished, again]
    refused = desk.type("post", *changed, "--ledger", desk.ledger, "--date", "2026-05-04")
    amended = desk.type("post", receipt, "--ledger", desk.ledger, "--date", "2026-05-04", "--amend", "a receipt turned up")
    return Month(
        march, start, jobs, posted, refused, amended, april=desk.reconcile(APRIL, "2026-05-04"),
        held=desk.type("reconcile", "--ledger", desk.ledger), held_then=desk.type("reconcile", "--ledger", desk.ledger, "--as-of", "2026-04-30"),
    )  # fmt: skip


def codes(said: dict[str, Any]) -> Counter[str]:
    return Counter(finding["code"] for finding in said["findings"])


def by_number(said: dict[str, Any], table: str = "jobs") -> dict[str, dict[str, Any]]:
    return {row["job_number"]: row for row in said["tables"][table]}


def test_march_has_every_job_of_march_and_names_what_it_has_not(month: Month) -> None:
    """Exit 1: three books are not read. 15 done with two that are copies, 7 that run, 2 lost; the one bid in April is to come."""
    code, said = month.march

    assert code == 1
    assert Counter(job["status"] for job in said["tables"]["jobs"]) == {"done": 17, "running": 7, "lost": 2}
    assert {row["workbook"] for row in said["unread"]} == STUCK
    found = codes(said)
    assert {code: found[code] for code in ("book-left-out", "stamp-version", "input-unread", "book-twice", "book-copied")} == {
        "book-left-out": 3, "stamp-version": 1, "input-unread": 1, "book-twice": 1, "book-copied": 1,
    }  # fmt: skip
    assert {code: found[code] for code in ("job-later", "rows-later", "status-then", "job-running")} == {
        "job-later": 1, "rows-later": 2, "status-then": 1, "job-running": 9,
    }  # fmt: skip
    assert "since" in said
    assert said["since"]["day"] is None


def test_the_book_of_an_earlier_template_is_named_plainly(month: Month) -> None:
    (early,) = [row for row in month.march[1]["unread"] if row["workbook"] == "early.xlsx"]

    assert "template version 0" in early["what"]
    assert "sheetgen 0.0.9" in early["mend"]


def test_the_figures_of_march_are_those_that_were_typed(month: Month) -> None:
    """Two people, HOURS each; what is dated in April does not count; travel with four of tax."""
    jobs = by_number(month.march[1])

    assert {job["price_bid"] is not None for job in jobs.values()} == {True}
    for number in (*DONE, *RUNNING):
        job = jobs[f"24-{number:02}"]
        assert job["hours_actual"] == pytest.approx(2 * HOURS[number])
        assert job["other_cost"] == pytest.approx(TRAVEL[number] + 4)
        assert job["billed"] == pytest.approx(BILLED[number])
        assert job["status"] == ("done" if number < 16 else "running")
    assert jobs["24-23"]["hours_actual"] is None


def test_the_cost_book_names_at_its_top_what_was_not_read(month: Month) -> None:
    assert set(month.start) >= STUCK
    assert any("template version 0" in words for words in month.start)


def test_the_csv_has_the_same_jobs(month: Month) -> None:
    told = [(row["job_number"], row["status"], float(row["hours_actual"] or "nan")) for row in month.jobs]

    assert repr(told) == repr([
        (job["job_number"], job["status"], job["hours_actual"] if job["hours_actual"] is not None else float("nan"))
        for job in month.march[1]["tables"]["jobs"]
    ])  # fmt: skip


def test_posting_enters_each_closed_job_once(month: Month) -> None:
    """Sixteen that are done and the copied one; the one that is there twice is posted once; three are not read."""
    code, said = month.posted
    became = {Path(book["book"]).name: book["became"] for book in said["books"]}

    assert code == 1
    assert Counter(became.values()) == {"posted": 17, "same": 1, "not posted": 12}
    assert {became["job 02.xlsx"], became["job 02 again.xlsx"]} == {"posted", "same"}
    assert {became[name] for name in STUCK} == {"not posted"}
    assert codes(said)["job-open"] == len(RUNNING) + 3


def test_a_changed_book_is_refused_and_posted_with_a_reason(month: Month) -> None:
    (code, said), (code_amended, amended) = month.refused, month.amended
    receipt, finished, again = said["books"]

    assert (code, code_amended) == (1, 0)
    assert [one["became"] for one in (receipt, finished, again)] == ["not posted", "posted", "not posted"]
    assert {(one["field"], one["after"]) for one in receipt["changes"]} == {
        ("costs_log.date[2]", "2026-03-12"), ("costs_log.kind[2]", "'permits'"), ("costs_log.amount[2]", "25 $"),
    }  # fmt: skip
    assert codes(said) == {"job-changed": 1, "job-open": 1}
    assert [one["became"] for one in amended["books"]] == ["amended"]


def test_april_shows_what_changed_since_march_and_nothing_else(month: Month) -> None:
    code, said = month.april
    since = said["since"]
    changed = {(one["job_number"], one["column"]): (one["before"], one["after"]) for one in since["changes"] if one["table"] == "jobs"}

    assert code == 1, "the early book is still there"
    assert [row["workbook"] for row in said["unread"]] == ["early.xlsx"]
    assert since["day"] == "2026-04-06"
    assert {job["job_number"] for job in since["new"]} == {"24-25", "24-29"}
    assert [job["workbook"] for job in since["gone"]] == ["job 02.xlsx"]
    assert {number for number, _ in changed} == {"24-02", "24-03", "24-16", "24-17", "24-22"}
    assert changed["24-16", "status"] == changed["24-17", "status"] == ("running", "done")
    assert changed["24-16", "hours_actual"] == (pytest.approx(2 * HOURS[16]), pytest.approx(2 * HOURS[16] + 5))
    assert changed["24-17", "hours_actual"] == (pytest.approx(2 * HOURS[17]), pytest.approx(2 * HOURS[17] + 3))
    assert changed["24-22", "hours_actual"] == (pytest.approx(2 * HOURS[22]), pytest.approx(2 * HOURS[22] + 5))
    assert changed["24-03", "other_cost"] == (pytest.approx(TRAVEL[3] + 4), pytest.approx(TRAVEL[3] + 29))
    assert {column for number, column in changed if number == "24-02"} == {"workbook"}
    told = {(one["row"], one["column"]): one["after"] for one in since["changes"] if one["table"] == "other_costs"}
    assert told == {("permits", "amount"): 25.0, ("permits", "date"): "2026-03-12"}
    assert {one["column"] for one in since["changes"] if one["table"] == "progress"} >= {"earned", "under", "gross_profit"}


def test_the_ledger_has_the_closed_jobs_with_the_figures_of_their_books(month: Month) -> None:
    """Of each table, what the books of April say of a job that is closed."""
    said, books = month.held[1], month.april[1]
    closed = {f"24-{number:02}" for number in (*DONE, 17, 26)}

    assert set(by_number(said)) == closed
    for table, rows in said["tables"].items():
        told = [{**row, "workbook": ""} for row in books["tables"][table] if row["job_number"] in closed]
        assert sorted(json.dumps({**row, "workbook": ""}) for row in rows) == sorted(map(json.dumps, told)), table
    assert codes(said) == {"job-amended": 1, "book-copied": 1}


def test_the_ledger_as_of_april_has_what_was_posted_by_then(month: Month) -> None:
    """Job 17 was posted in May, and the receipt of job 3 with it."""
    then = by_number(month.held_then[1])

    assert set(then) == {f"24-{number:02}" for number in (*DONE, 26)}
    assert then["24-03"]["other_cost"] == pytest.approx(TRAVEL[3] + 4)
    assert by_number(month.held[1])["24-03"]["other_cost"] == pytest.approx(TRAVEL[3] + 29)
