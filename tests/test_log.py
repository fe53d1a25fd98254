"""Rows of other programs' CSV files go into the log, or are named with their line and the reason."""

from __future__ import annotations

import datetime as dt
import json
from pathlib import Path

import attrs
import pytest
from click.testing import CliRunner
from filled_books import LEAST, metric_job, put

from sheetgen.book.compile import compiled
from sheetgen.cli import main
from sheetgen.content import content_of
from sheetgen.csv_rows import Table, read_table
from sheetgen.engine.job import Job
from sheetgen.engine.records import HoursEntry, MaterialsEntry
from sheetgen.findings import Refused, Report, Severity
from sheetgen.jobfile import starter
from sheetgen.log import LOGS, log
from sheetgen.log_rows import added_rows
from sheetgen.reader.filled import read_filled

DAY = dt.date(2026, 3, 2)
TODAY = dt.date(2026, 3, 31)
PLAN = compiled("bid", "us").plan
CLOCK = """\ufeffEmployee; Day ;Activity;Hours [min];Area (ft\u00b2);GPS;Comment
A. Person;2026-03-03;place;90;100;1;=2+2
B. Person;March 4, 2026;  PLACE ;120;;2;'-ok
"""


def table(path: Path, text: str) -> Table:
    path.write_text(text, encoding="utf-8")
    return read_table(path)


def added(tmp_path: Path, text: str, block: str = "hours_log", job: Job | None = None) -> tuple[tuple[object, ...], Report]:
    report = Report()
    return added_rows(table(tmp_path / "file.csv", text), block, job or starter("us"), PLAN, TODAY, report), report


def told(report: Report) -> list[tuple[str, str]]:
    return [(one.code, one.place.removeprefix("file.csv ")) for one in report]


# The file


@pytest.mark.parametrize(
    "data",
    [
        b"date,task\n2026-03-03,Place\n",
        "\ufeffdate;task\r\n2026-03-03;Place\r\n".encode(),
        "date\ttask\n\n2026-03-03\tPlace\n".encode("utf-16"),
        b'date|task\n"2026-03-03"|Place',
    ],
)
def test_a_file_is_read_however_it_was_written(tmp_path: Path, data: bytes) -> None:
    (tmp_path / "file.csv").write_bytes(data)

    found = read_table(tmp_path / "file.csv")

    assert found.header == ("date", "task")
    assert [cells for _, cells in found.rows] == [("2026-03-03", "Place")]


def test_letters_of_windows_are_read(tmp_path: Path) -> None:
    (tmp_path / "file.csv").write_bytes("task,area (m²)\nGlätten,5\n".encode("cp1252"))

    assert read_table(tmp_path / "file.csv").rows == ((2, ("Glätten", "5")),)


@pytest.mark.parametrize(
    ("data", "code", "place"),
    [
        (b"", "file-empty", "file.csv"), (b"date,task\n", "csv-file", "file.csv"), (b"a,b\n1\n1,2,3\n", "csv-file", "file.csv line 2"),
        (b"a,b\n\x00,1\n", "csv-file", "file.csv"), (b'a,b\n"1"2,3\n', "csv-file", "file.csv line 2"),
    ],
)  # fmt: skip
def test_a_file_that_is_none_is_named(tmp_path: Path, data: bytes, code: str, place: str) -> None:
    (tmp_path / "file.csv").write_bytes(data)

    with pytest.raises(Refused) as refused:
        read_table(tmp_path / "file.csv")

    assert (refused.value.findings[0].code, refused.value.findings[0].place.rpartition("/")[2]) == (code, place)


# Columns


def test_columns_are_found_by_what_the_trade_calls_them_and_units_are_turned(tmp_path: Path) -> None:
    """Minutes are sixtieths of an hour; a text that a program could run stays the text it is."""
    rows, report = added(tmp_path, CLOCK)

    assert rows == (
        HoursEntry(person="A. Person", date=dt.date(2026, 3, 3), task="Place", hours_each=1.5, area_done=100.0, note="=2+2"),
        HoursEntry(person="B. Person", date=dt.date(2026, 3, 4), task="Place", hours_each=2.0, note="-ok"),
    )
    assert told(report) == [("log-column", "line 1, column 6")]
    assert "'GPS'" in next(iter(report)).what


def test_square_metres_go_into_a_book_in_feet(tmp_path: Path) -> None:
    rows, _ = added(tmp_path, "task,hours,area (m2)\nPlace,1,10\n")

    assert rows[0].area_done == pytest.approx(107.639104167)  # 10 / 0.3048²


def test_hours_of_a_time_clock_are_read(tmp_path: Path) -> None:
    rows, report = added(tmp_path, "task,hours,people\nPlace,7:30,1\nPlace,0:15,2\n")

    assert ([row.hours_each for row in rows], list(report)) == ([7.5, 0.25], [])


def test_the_books_own_words_go_before_those_of_the_trade(tmp_path: Path) -> None:
    """'Area done' is the book's label, 'area' only a word for it."""
    rows, report = added(tmp_path, "task,Hours each,Area done\nPlace,1,10\n")

    assert (rows[0].hours_each, rows[0].area_done, list(report)) == (1.0, 10.0, [])


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("task,hours,hrs\nPlace,1,1\n", [("log-column", "line 1, column 3")]),
        ("task,hours (m)\nPlace,1\n", [("log-unit", "line 1, column 2")]),
        ("task,date\nPlace,2026-03-03\n", [("log-column", "line 1")]),
    ],
)
def test_columns_that_cannot_be_used_are_named_and_nothing_is_taken(tmp_path: Path, text: str, expected: object) -> None:
    rows, report = added(tmp_path, text)

    assert (rows, told(report)) == ((), expected)
    assert report.failed


# Rows


def test_every_row_that_cannot_be_used_is_named_with_its_line_and_reason(tmp_path: Path) -> None:
    text = "date,task,hours,people\n03/04/2026,Place,1,1\n2026-03-04,Dance,1,1\n\n2026-03-04,Place,25,1\n2026-03-04,Place,two,\n,Place,,2\n2026-03-04,Place,2,2\n"

    rows, report = added(tmp_path, text)

    assert len(rows) == 1
    assert told(report) == [
        ("log-row", "line 2, 'date'"), ("log-row", "line 3, 'task'"), ("log-row", "line 5, 'hours'"), ("log-row", "line 6, 'hours'"),
        ("log-row", "line 7"),
    ]  # fmt: skip
    assert all(one.severity is Severity.ERROR and one.mend for one in report)


def test_a_name_that_is_not_in_the_list_is_told_with_the_nearest_and_where_the_list_stands(tmp_path: Path) -> None:
    """And never with the whole list, row for row."""
    _, report = added(tmp_path, "task,hours,rework\nPrime first coat,1,no\nDance,1,no\nPlace,1,perhaps\n")

    near, none, word = (one.mend for one in report)
    spot = PLAN.spot("tasks", "name")
    assert near.startswith("perhaps 'Prime, first coat'")
    assert all(f"the sheet {spot.sheet}, column 'Task'" in mend for mend in (near, none))
    assert "perhaps" not in none
    assert word == "use one of: yes | no"
    assert max(map(len, (near, none))) < 150


@pytest.mark.parametrize(
    ("status", "finished", "expected"),
    [
        ("running", None, [("log-ahead", "lines 4, 5")]),
        ("done", dt.date(2026, 3, 9), [("log-ahead", "lines 4, 5"), ("log-after-end", "line 3")]),
        ("done", dt.date(2026, 3, 10), [("log-ahead", "lines 4, 5")]),
        ("closed", None, [("log-ahead", "lines 4, 5"), ("log-after-end", "lines 2, 3")]),
    ],
)
def test_days_to_come_and_days_after_the_end_are_told(tmp_path: Path, status: str, finished: dt.date | None, expected: object) -> None:
    """Where nobody said when the job was finished, its last day is that of the log so far."""
    job = starter("us")
    job = attrs.evolve(
        job, job=attrs.evolve(job.job, status=status, finished_date=finished), hours_log=(HoursEntry(task="Place", date=DAY, hours_each=1.0),)
    )  # fmt: skip
    days = (dt.date(2026, 3, 5), dt.date(2026, 3, 10), TODAY + dt.timedelta(days=1), TODAY + dt.timedelta(days=300))

    rows, report = added(tmp_path, "date,task,hours\n" + "".join(f"{day},Place,1\n" for day in days), job=job)

    assert [row.date for row in rows] == list(days)
    assert told(report) == expected
    assert all(one.severity is Severity.LOOK and one.mend for one in report)


def test_a_choice_of_a_list_is_its_word_or_code(tmp_path: Path) -> None:
    rows, report = added(tmp_path, "task,hours,rework\nPlace,1,YES\nPlace,1,no\nPlace,1,\n")

    assert ([row.rework for row in rows], list(report)) == (["yes", "no", None], [])


def test_what_the_log_has_already_is_named_and_not_taken_twice(tmp_path: Path) -> None:
    """By person, day and task; without one of them nothing tells two entries apart, and both are taken."""
    entry = HoursEntry(person="A. Person", date=DAY, task="Place", hours_each=2.0, people=1.0)
    job = attrs.evolve(starter("us"), hours_log=(HoursEntry(task="Place", hours_each=2.0), entry))
    text = (
        "person,date,task,hours\na.  person,2026-03-02,place,2\nA. Person,2026-03-02,Place,3\n"
        "B,2026-03-02,Place,2\nB,2026-03-02,Place,2\n,2026-03-02,Place,2\n,2026-03-02,Place,2\n"
    )

    rows, report = added(tmp_path, text, job=job)

    assert [(row.person, row.hours_each) for row in rows] == [("A. Person", 3.0), ("B", 2.0), (None, 2.0), (None, 2.0)]
    assert told(report) == [("log-twice", "line 2"), ("log-alike", "line 3"), ("log-twice", "line 5")]
    assert "row 2 of the log" in next(iter(report)).what


def test_a_receipt_may_have_several_products(tmp_path: Path) -> None:
    names = [product.name for product in starter("us").products[:2]]
    job = attrs.evolve(starter("us"), materials_log=(MaterialsEntry(receipt="77", product=names[0], taken=2.0),))

    rows, report = added(tmp_path, f"invoice no.,item,qty\n77,{names[0]},2\n77,{names[1]},2\n", "materials_log", job)

    assert [row.product for row in rows] == [names[1]]
    assert told(report) == [("log-twice", "line 2")]


# The whole way


@pytest.fixture(scope="module")
def book(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return put(metric_job(), tmp_path_factory.mktemp("log") / "old.xlsx", "the-job", {**LEAST, "hours_log": 2})


def test_rows_are_added_to_a_new_book_that_grows_where_it_must(book: Path, tmp_path: Path) -> None:
    product = metric_job().products[0].name
    (tmp_path / "clock.csv").write_text("person,date,task,hours,area (ft2)\n" + "".join(f"P{n},2026-03-0{n},Place,{n},\n" for n in range(1, 5)))
    (tmp_path / "receipts.csv").write_text(f"receipt,item,qty,net\n7,{product},3,120.50\n")
    before = read_filled(book)

    logged = log(book, {"hours": tmp_path / "clock.csv", "materials": tmp_path / "receipts.csv"}, tmp_path / "new.xlsx", made_on=DAY)

    after = read_filled(tmp_path / "new.xlsx")
    assert logged.added == {"hours_log": 4, "materials_log": 1}
    assert after.entries["hours_log", "person"][:6] == (None, "P1", "P2", "P3", "P4", None)
    assert after.entries["hours_log", "hours_each"][:5] == (2.0, 1.0, 2.0, 3.0, 4.0)
    assert after.entries["materials_log", "amount"][0] == 120.5
    assert after.stamp.rows["hours_log"] == 5 + 20
    assert after.stamp.book_id == "the-job"
    others = [{name: held for name, held in content_of(one)["entries"].items() if "_log." not in name} for one in (before, after)]
    assert others[0] == others[1]


def test_the_same_file_again_adds_nothing(book: Path, tmp_path: Path) -> None:
    clock = tmp_path / "clock.csv"
    clock.write_text("person,date,task,hours\nP,2026-03-03,Place,1\n")
    log(book, {"hours": clock}, tmp_path / "one.xlsx", made_on=DAY)

    logged = log(tmp_path / "one.xlsx", {"hours": clock}, tmp_path / "two.xlsx", made_on=DAY)

    assert logged.added == {"hours_log": 0}
    assert [one.code for one in logged.findings] == ["log-twice"]
    assert content_of(read_filled(tmp_path / "two.xlsx")) == content_of(read_filled(tmp_path / "one.xlsx"))


def run(*arguments: object) -> tuple[int, str]:
    result = CliRunner().invoke(main, [str(one) for one in arguments])
    return result.exit_code, result.output


def test_a_row_that_cannot_be_used_leaves_no_book(book: Path, tmp_path: Path) -> None:
    clock, out = tmp_path / "clock.csv", tmp_path / "new.xlsx"
    clock.write_text("task,hours\nPlace,1\nDance,1\n")

    code, said = run("log", book, "--hours", clock, "--materials", tmp_path / "gone.csv", "--out", out)

    assert code == 1
    assert "error log-row clock.csv line 3, 'task'" in said
    assert "error file-missing" in said
    assert not out.exists()


def test_the_command_counts_what_it_added(book: Path, tmp_path: Path) -> None:
    clock = tmp_path / "clock.csv"
    clock.write_text("task,hours\nPlace,1\n")

    code, said = run("log", book, "--hours", clock, "--out", tmp_path / "new.xlsx", "--json")

    assert (code, json.loads(said)["added"]) == (0, {"hours_log": 1})
    assert run("log", book, "--out", tmp_path / "x.xlsx")[0] == 2
    assert "output-input" in run("log", book, "--hours", clock, "--out", clock, "--replace")[1]


def test_a_table_that_books_do_not_have_is_named(book: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setitem(LOGS, "costs", "table_of_another_version")
    costs = tmp_path / "costs.csv"
    costs.write_text("kind,amount\nTolls,5\n")

    code, said = run("log", book, "--costs", costs, "--out", tmp_path / "new.xlsx")

    assert (code, "error log-table costs.csv" in said) == (1, True)


@pytest.mark.skipif("costs_log" not in PLAN.book.blocks, reason="books have no table of other costs yet")
def test_other_costs_are_known_by_receipt_and_supplier(tmp_path: Path) -> None:
    field = PLAN.book.blocks["costs_log"].field("kind")
    listed = field.kind == "choice" and "." not in field.choices
    kind = PLAN.book.blocks[field.choices].records[0]["word"] if listed else "Tolls"

    rows, report = added(tmp_path, f"date,type,vendor,net,vat,invoice\n2026-03-03,{kind},Shop,50,4,9\n2026-03-03,{kind},Shop,50,4,9\n", "costs_log")

    assert [(row.supplier, row.amount, row.tax, row.receipt) for row in rows] == [("Shop", 50.0, 4.0, "9")]
    assert told(report) == [("log-twice", "line 3")]
