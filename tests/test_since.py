"""What changed between two runs of reconcile: every figure that differs, and nothing that does not."""

from __future__ import annotations

import datetime as dt
import shutil
import sqlite3
from pathlib import Path
from typing import Any

import attrs
import pytest
from filled_books import DAY, fill_in, metric_job, put

from sheetgen import changes, figures, ledger_schema, show
from sheetgen.changes import Change
from sheetgen.figures import TABLES, Figures, Row
from sheetgen.ledger import reading, writing
from sheetgen.ledger_text import digest, to_text
from sheetgen.reconcile import Comparison, reconcile
from sheetgen.since import Since, since_last
from sheetgen.version import __version__

pytestmark = pytest.mark.usefixtures("read_once")

LATER = dt.date(2026, 4, 1)
M2_IN_FT2 = 10.763910416709722


@pytest.fixture(scope="module")
def later(books: dict[str, Path], tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Return the book of the job that runs, with five more hours of placing."""
    typed = {"hours_log.date[3]": dt.date(2026, 3, 10), "hours_log.task[3]": "Place", "hours_log.hours_each[3]": 5.0}
    return fill_in(books["running"], tmp_path_factory.mktemp("later") / "later.xlsx", typed)


@pytest.fixture
def ledger(tmp_path: Path) -> Path:
    return tmp_path / "ledger.sqlite"


def run(ledger: Path, *paths: Path, day: dt.date = DAY, **options: Any) -> Since:
    return since_last(reconcile(paths, **options), ledger, "files", day)


def test_a_first_run_is_remembered_and_has_nothing_to_compare_with(books: dict[str, Path], ledger: Path) -> None:
    assert run(ledger, books["done"]) == Since(None)

    with reading(ledger) as held:
        last = held.last("reconcile files")
    assert last is not None
    assert (last.day, len(last.jobs)) == (DAY, 1)


def test_the_same_books_have_not_changed(books: dict[str, Path], ledger: Path) -> None:
    run(ledger, books["done"], books["running"], books["metric"])

    assert run(ledger, books["metric"], books["running"], books["done"], day=LATER) == Since(DAY)
    assert run(ledger, books["done"], books["running"], books["metric"], system="metric") == Since(LATER)


def test_an_hour_that_was_logged_is_shown_in_every_figure_that_it_changes(books: dict[str, Path], later: Path, ledger: Path) -> None:
    """Five hours of placing: the task's hours, the job's, and the task's variance."""
    run(ledger, books["done"], books["running"])
    before, after = (reconcile([path]).tables["hours"] for path in (books["running"], later))
    estimated = next(row["estimated"] for row in before if row["task"] == "Place")

    changed = run(ledger, books["done"], later)

    told = {(one.table, one.row, one.column): (one.before, one.after) for one in changed.changes}
    assert {one.job_number for one in changed.changes} == {"R-1"}
    assert told["jobs", "", "workbook"] == ("running.xlsx", "later.xlsx")
    assert told["jobs", "", "hours_actual"] == (10.0, 15.0)
    assert told["hours", "Place", "actual"] == (None, 5.0)
    assert told["hours", "Place", "variance"] == (None, 5.0 - estimated)
    differing = {
        ("hours", new["task"], name) for old, new in zip(before, after, strict=True) for name in new
        if old[name] != new[name] and name != "workbook"
    }  # fmt: skip
    assert {key for key in told if key[0] == "hours"} == differing


def test_jobs_that_came_and_went_are_named(books: dict[str, Path], ledger: Path) -> None:
    run(ledger, books["done"], books["running"])

    changed = run(ledger, books["running"], books["metric"], day=LATER)

    assert [job["job_number"] for job in changed.new] == ["M-1"]
    assert [job["job_number"] for job in changed.gone] == ["D-1"]
    assert changed.changes == ()
    assert changed.new[0]["area_done"] == pytest.approx(20 * M2_IN_FT2)


def test_figures_stand_in_the_units_of_this_run(ledger: Path, tmp_path: Path) -> None:
    """Ten square metres less were done than was said at first."""
    first = metric_job()
    less = attrs.evolve(first, hours_log=(attrs.evolve(first.hours_log[0], area_done=10.0),))
    run(ledger, put(first, tmp_path / "m.xlsx", "id"), system="us")

    changed = run(ledger, put(less, tmp_path / "m.xlsx", "id"))

    (area,) = [one for one in changed.changes if (one.table, one.column) == ("jobs", "area_done")]
    assert (area.before, area.after) == (pytest.approx(20.0), pytest.approx(10.0))


def test_books_of_one_id_and_number_are_told_apart_by_their_order(books: dict[str, Path], ledger: Path, tmp_path: Path) -> None:
    again = tmp_path / "done.xlsx"
    shutil.copyfile(books["done"], again)
    run(ledger, books["done"], again)

    assert run(ledger, books["done"], again) == Since(DAY)
    assert [job["job_number"] for job in run(ledger, books["done"]).gone] == ["D-1"]


def test_a_table_or_column_that_the_earlier_run_did_not_know_is_no_change(
    books: dict[str, Path], ledger: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    run(ledger, books["done"])
    compared = reconcile([books["done"]])
    grown = {**TABLES, "jobs": (*TABLES["jobs"], ("margin", "money")), "weather": (("reading", "temperature"),)}
    (job,) = compared.jobs
    tables = {**job.tables, "jobs": ({**job.head, "margin": 5.0},), "weather": ({"reading": 70.0},)}
    newer = attrs.evolve(compared, jobs=(attrs.evolve(job, tables=tables),))
    for module in (figures, changes):
        monkeypatch.setattr(module, "TABLES", grown)

    assert since_last(newer, ledger, "files", LATER) == Since(DAY)
    dearer = attrs.evolve(newer, jobs=(attrs.evolve(job, tables={**tables, "weather": ({"reading": 60.0},)}),))
    (change,) = since_last(dearer, ledger, "files", LATER).changes
    assert (change.table, change.column, change.before, change.after) == ("weather", "reading", 70.0, 60.0)


def test_a_row_that_is_gone_is_a_change_of_its_figures(books: dict[str, Path], ledger: Path) -> None:
    """A product that is neither needed nor used any more has no row."""
    compared = reconcile([books["done"]])
    (job,) = compared.jobs
    first, *rest = job.tables["materials"]
    since_last(compared, ledger, "files", DAY)

    changed = since_last(attrs.evolve(compared, jobs=(with_rows(job, materials=rest),)), ledger, "files", LATER)

    assert {one.row for one in changed.changes} == {first["product"]}
    assert {one.column: one.before for one in changed.changes} == {
        name: first[name] for name, _ in TABLES["materials"] if name != "product" and first[name] is not None
    }
    assert {one.after for one in changed.changes} == {None}


def test_the_last_digit_of_a_figure_is_no_change(books: dict[str, Path], ledger: Path) -> None:
    compared = reconcile([books["done"]])
    (job,) = compared.jobs
    since_last(compared, ledger, "files", DAY)
    price = job.head["price"]

    for factor, count in ((1 + 1e-12, 0), (1 + 1e-6, 1)):
        other = with_rows(job, jobs=[{**job.head, "price": price * factor}])
        assert len(since_last(attrs.evolve(compared, jobs=(other,)), ledger, "files", DAY).changes) == count


def with_rows(job: Figures, **tables: list[Row]) -> Figures:
    return attrs.evolve(job, tables={**job.tables, **{name: tuple(rows) for name, rows in tables.items()}})


def test_runs_over_files_and_over_ledgers_are_not_compared(books: dict[str, Path], ledger: Path) -> None:
    run(ledger, books["done"])

    assert since_last(reconcile([books["metric"]]), ledger, "ledger", LATER) == Since(None)
    assert run(ledger, books["done"]) == Since(DAY)


# On the terminal


def shown(changed: Since, capsys: pytest.CaptureFixture[str], *, every: bool = False) -> list[str]:
    show.since(changed, Path("ledger.sqlite"), "us", every=every)
    return capsys.readouterr().out.splitlines()


MAY, APRIL = dt.date(2026, 5, 31), dt.date(2026, 4, 30)
JOB = {"workbook": "a.xlsx", "job_number": "1", "job_name": "Hall [bold]"}
CHANGED = Since(
    dt.date(2026, 5, 2), new=(JOB,), gone=({**JOB, "job_number": None, "job_name": None},), as_of_then=APRIL, as_of=MAY, changes=(
        Change("a.xlsx", "1", "Hall [bold]", "jobs", "", "hours_actual", 10.0, 15.0),
        Change("a.xlsx", "1", "Hall [bold]", "hours", "Place", "actual", None, 5.0),
        Change("a.xlsx", "1", "Hall [bold]", "jobs", "", "done_share", 0.5, None),
        Change("a.xlsx", "1", "Hall [bold]", "jobs", "", "status", "running", "done"),
        Change("a.xlsx", "1", "Hall [bold]", "jobs", "", "billed", None, 1800.0),
        Change("a.xlsx", "1", "Hall [bold]", "jobs", "", "decided_date", None, DAY),
        Change("b.xlsx", None, None, "other_costs", "travel", "amount", 20.0, 25.5),
    ),
)  # fmt: skip


def test_what_a_bookkeeper_reads_is_shown_and_the_rest_is_counted(capsys: pytest.CaptureFixture[str]) -> None:
    assert shown(CHANGED, capsys) == [
        "What changed since 2026-04-30 (seen 2026-05-02), as of 2026-05-31:",
        "  new: 1 Hall [bold] (a.xlsx)",
        "  gone: a.xlsx",
        "  1 Hall [bold] (a.xlsx)",
        "    hours actual  10.00 → 15.00 h",
        "    status        running → done",
        "    billed        – → 1,800.00 $",
        "    and 3 other figures: --all, or --json",
        "  b.xlsx",
        "    1 other figure: --all, or --json",
    ]


def test_all_figures_are_shown_where_that_is_asked_for(capsys: pytest.CaptureFixture[str]) -> None:
    lines = [" ".join(line.split()) for line in shown(CHANGED, capsys, every=True)]

    for line in ("hours actual 10.00 → 15.00 h", "Place: actual – → 5.00 h", "done share 50.0 % → –", "status running → done",
                 f"decided date – → {DAY}", "travel: amount 20.00 → 25.50 $"):
        assert line in lines
    assert "--all" not in " ".join(lines)


@pytest.mark.parametrize(
    ("changed", "words"),
    [
        (Since(None), "There is no earlier run to compare with; this one is remembered in ledger.sqlite."),
        (Since(DAY), f"Nothing changed since the run of {DAY}."),
        (Since(DAY, as_of=MAY), f"Nothing changed since the run of {DAY}, as of 2026-05-31."),
        (Since(DAY, as_of_then=APRIL, as_of=MAY), f"Nothing changed since 2026-04-30 (seen {DAY}), as of 2026-05-31."),
        (Since(DAY, tool="0.0.1"), f"The run of {DAY} was made by sheetgen 0.0.1; this is {__version__}, which may compute otherwise."),
    ],
)
def test_little_is_said_in_words(changed: Since, words: str, capsys: pytest.CaptureFixture[str]) -> None:
    assert words in shown(changed, capsys)


def test_the_day_as_of_which_a_run_was_is_remembered(books: dict[str, Path], ledger: Path) -> None:
    run(ledger, books["done"], as_of=APRIL)

    changed = run(ledger, books["done"], as_of=MAY, day=LATER)

    assert (changed.day, changed.as_of_then, changed.as_of) == (DAY, APRIL, MAY)


def test_a_ledger_of_before_such_days_were_kept_is_read(books: dict[str, Path], ledger: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    (job,) = reconcile([books["done"]]).jobs
    with monkeypatch.context() as earlier:
        earlier.setattr(ledger_schema, "STEPS", ledger_schema.STEPS[:1])
        with writing(ledger):
            pass
    with sqlite3.connect(ledger) as connection:
        text = to_text(job.tables)
        connection.execute("INSERT INTO figures VALUES (?, ?)", (digest(text), text))
        connection.execute("INSERT INTO runs (command, day, tool) VALUES ('reconcile files', ?, ?)", (DAY.isoformat(), __version__))
        connection.execute("INSERT INTO seen VALUES (1, 0, ?)", (digest(text),))
    connection.close()

    assert run(ledger, books["done"], as_of=MAY) == Since(DAY, as_of=MAY)


def test_a_comparison_counts_its_jobs(books: dict[str, Path]) -> None:
    compared: Comparison = reconcile([books["done"], books["metric"]])

    assert compared.books == len(compared.jobs) == 2
