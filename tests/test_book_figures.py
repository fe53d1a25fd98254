"""What one book adds to the tables: each figure traces to a cell, and what the logs say is what the tables say."""

from __future__ import annotations

import datetime as dt
import re
from pathlib import Path
from typing import Any

import attrs
import openpyxl
import pytest
from filled_books import ROWS, busy_job, done_job, put

from sheetgen.cost import build_cost
from sheetgen.engine.job import Job
from sheetgen.figures import COMMON, NAMED_BY, TABLES, UNREAD
from sheetgen.reconcile import Comparison, reconcile

SOURCES = Path(__file__).parents[1] / "sheetgen"
README = (Path(__file__).parents[1] / "README.md").read_text(encoding="utf-8")
DAY = dt.date(2026, 3, 15)


@pytest.fixture(scope="module")
def book(tmp_path_factory: pytest.TempPathFactory) -> Path:
    # With room for all of the job, so that its cells show what is read from it.
    rows = {**ROWS, "readings": 20, "pours": 12, "visits": 20}
    return put(busy_job(), tmp_path_factory.mktemp("jobs") / "busy.xlsx", "id-busy", rows)


@pytest.fixture(scope="module")
def busy(book: Path) -> Comparison:
    return reconcile([book])


@pytest.fixture(scope="module")
def then(book: Path) -> Comparison:
    return reconcile([book], as_of=DAY)


def only(compared: Comparison, table: str, **wanted: str) -> dict[str, Any]:
    (found,) = [one for one in compared.tables[table] if all(one[key] == value for key, value in wanted.items())]
    return found


def test_other_costs_are_those_that_were_logged(busy: Comparison) -> None:
    """A row without an amount cannot be used: it is there, and its amount is not known."""
    told = [(one["kind"], one["supplier"], one["amount"], one["tax"], one["receipt"], one["change_order"]) for one in busy.tables["other_costs"]]

    assert told == [
        ("travel", "Ferry", 120.0, 9.90, "R-7", None), ("sample panel", None, 300.0, None, None, "CO-1"),
        ("permits", None, None, None, "R-8", None), ("travel", None, -20.0, None, None, None),
    ]  # fmt: skip
    assert only(busy, "jobs")["other_cost"] == pytest.approx(120 + 9.90 + 300 - 20)
    assert only(busy, "jobs")["log_rows_wrong"] == 1
    assert [one.code for one in busy.findings] == ["log-rows", "job-running"]


def test_each_kind_has_its_account_and_tax_code(busy: Comparison) -> None:
    """The third kind is travel, the seventh sample panel, the fifth permits."""
    assert [(one["account"], one["tax_code"]) for one in busy.tables["other_costs"]] == [
        ("6230", "T1"), ("6270", None), ("6250", None), ("6230", "T1"),
    ]  # fmt: skip


def test_an_accepted_change_order_is_a_row_of_hours(busy: Comparison) -> None:
    """Six hours were estimated, two people worked two each; the order that was not accepted is no row."""
    (order,) = [one for one in busy.tables["hours"] if one["change_order"] is not None]

    assert (order["task"], order["change_order"]) == ("change order: CO-1", "CO-1")
    assert (order["estimated"], order["actual"], order["variance"]) == (6, 4, -2)
    assert only(busy, "jobs")["change_price"] == 800
    assert sum(one["actual"] or 0 for one in busy.tables["hours"]) == pytest.approx(only(busy, "jobs")["hours_actual"])
    assert sum(one["estimated"] or 0 for one in busy.tables["hours"]) == pytest.approx(only(busy, "jobs")["hours_estimated"])


def test_bills_are_added_and_a_tenth_is_held(busy: Comparison) -> None:
    job = only(busy, "jobs")

    assert (job["billed"], job["held"], job["paid"]) == (3000, 300, 1800)


def test_progress_follows_from_cost_and_the_own_estimate_to_complete(busy: Comparison) -> None:
    job, progress = only(busy, "jobs"), only(busy, "progress")
    cost = job["labour_cost"] + job["materials_cost"] + job["other_cost"]

    assert (progress["contract"], progress["cost_actual"], progress["to_go"]) == (job["price_bid"] + 800, pytest.approx(cost), 1500)
    assert progress["share"] == pytest.approx(cost / (cost + 1500))
    assert progress["earned"] == pytest.approx(progress["share"] * progress["contract"], abs=0.005)
    assert progress["under"] - progress["over"] == pytest.approx(progress["earned"] - 3000)
    assert (progress["budget"], progress["share_own"]) == (job["budget"], job["share_own"])


def test_rows_that_are_dated_later_do_not_count(busy: Comparison, then: Comparison) -> None:
    """As of the 15th: the credit of the 20th, the payment of the 18th and the bill of the 25th are to come."""
    job = only(then, "jobs")

    assert then.as_of == DAY
    assert job["other_cost"] == pytest.approx(120 + 9.90 + 300)
    assert (job["billed"], job["held"], job["paid"]) == (2000, 200, 0)
    assert len(then.tables["other_costs"]) == 3
    assert job["hours_actual"] == only(busy, "jobs")["hours_actual"]
    (finding,) = [one for one in then.findings if one.code == "rows-later"]
    assert finding.place == "busy.xlsx"
    assert "1 of costs log, 2 of bills" in finding.what


def test_a_job_that_was_bid_later_is_no_row_and_no_book_that_was_not_read(book: Path) -> None:
    compared = reconcile([book], as_of=dt.date(2026, 3, 1))

    assert (compared.books, compared.unread) == (0, ())
    assert [one.code for one in compared.findings] == ["job-later"]


def test_every_row_traces_to_its_row_in_the_book(book: Path, busy: Comparison, then: Comparison) -> None:
    workbook = openpyxl.load_workbook(book, data_only=True)
    for table, named in NAMED_BY.items():
        for row in (*busy.tables[table], *then.tables[table]):
            sheet, _, cell = row["source"].partition("!")
            cells = [one.value for one in workbook[sheet][workbook[sheet][cell].row]]
            for name in (named, "amount", "receipt", "actual", "change_order", "used", "bags_used"):
                value = (row.get(name) or "").removeprefix("change order: ") if isinstance(row.get(name), str) else row.get(name)
                assert value in (None, *cells), (table, row["source"], name)
    sheet, _, cell = only(busy, "jobs")["source"].partition("!")
    assert workbook[sheet][cell].value == only(busy, "jobs")["price"]


def with_nothing_logged(job: Job, **heading: Any) -> Job:
    empty: dict[str, Any] = dict.fromkeys(("hours_log", "materials_log", "costs_log"), ())
    return attrs.evolve(job, job=attrs.evolve(job.job, **heading), **empty)


def test_where_nothing_was_logged_cost_is_not_known_and_all_is_still_to_go(tmp_path: Path) -> None:
    """Won, with a deposit billed and nothing done: nothing is earned, all of it is over-billed."""
    won = with_nothing_logged(busy_job(), status="won")
    own, budgeted = (
        reconcile([put(job, tmp_path / f"{name}.xlsx", name)])
        for name, job in (("own", won), ("budget", attrs.evolve(won, progress=attrs.evolve(won.progress, to_go_own=None))))
    )

    for compared in (own, budgeted):
        job, progress = only(compared, "jobs"), only(compared, "progress")
        assert [job[name] for name in ("labour_cost", "materials_cost", "other_cost", "hours_actual")] == [None] * 4
        assert (progress["share"], progress["earned"], progress["over"]) == (0, 0, 3000)
    assert only(own, "jobs")["to_go"] == 1500
    assert only(budgeted, "jobs")["to_go"] == only(budgeted, "jobs")["budget"]


def test_a_lost_bid_has_no_progress_and_its_reason(tmp_path: Path) -> None:
    lost = with_nothing_logged(done_job(), status="lost", reason_lost="dearer", decided_date=DAY)

    compared = reconcile([put(lost, tmp_path / "lost.xlsx", "lost")])

    job, progress = only(compared, "jobs"), only(compared, "progress")
    assert (job["reason_lost"], job["decided_date"]) == ("dearer", DAY)
    assert {progress[name] for name, _ in TABLES["progress"] if name not in {"share_own", "budget"}} == {None}


def test_the_cost_book_of_a_busy_job_agrees_with_the_engine(then: Comparison, tmp_path: Path) -> None:
    broken = tmp_path / "broken.xlsx"
    broken.write_bytes(b"PK\x03\x04")
    unread = reconcile([broken]).unread
    assert [tuple(row) for row in unread] == [UNREAD]

    built = build_cost(attrs.evolve(then, unread=unread), tmp_path / "costs.xlsx", made_on=DAY)

    assert built.counts.found == built.counts.recalculated > built.counts.compared > 0


def test_every_message_to_the_bookkeeper_stands_in_the_readme() -> None:
    """`file-…` stands for all codes that begin so."""
    modules = ["as_of.py", "csv_tables.py", "pool.py", "post.py", "reconcile.py", "sources.py", *(path for path in sorted(SOURCES.glob("reader/*.py")))]
    text = "".join((SOURCES / module).read_text(encoding="utf-8") for module in modules)
    codes = set(re.findall(r'(?:error|look|note|Finding|refuse[d]?|_fault)\(\s*"([a-z]+(?:-[a-z0-9]+)+)"', text))
    said = set(re.findall(r"`([a-z]+-(?:[a-z-]+|…))`", README[README.index("## For the bookkeeper") : README.index("## The tables")]))

    assert len(codes) > 40
    assert {code for code in codes if code not in said and f"{code.partition('-')[0]}-…" not in said} == set()


def test_every_column_stands_in_the_readme() -> None:
    """Common columns first, then table by table; none that is not there."""
    words = {"": "text", "date": "day", "hour": "h", "share": "0 to 1", "area": "ft² or m²", "depth": "in or mm", "count": "number",
             "bag": "bags", "package": "packages"}  # fmt: skip
    section = README.partition("\n## The tables\n")[2].partition("\n## ")[0]
    said = re.findall(r"^\| `([a-z_]+)` \| ([^|]+) \| [^|]+ \|$", section, re.MULTILINE)

    assert said == [(name, words.get(measure, measure)) for columns in (COMMON, *TABLES.values()) for name, measure in columns]
