"""Filled books become tables of estimate and actual; what is not known is blank, and what was left out is named."""

from __future__ import annotations

import csv
import shutil
import subprocess
import sys
from typing import TYPE_CHECKING, Any

import attrs
import openpyxl
import pytest
from filled_books import DAY, NAME, ROWS, Copies, done_job, put, running_job

from sheetgen import pool, show
from sheetgen.book.compile import compiled
from sheetgen.cost import build_cost
from sheetgen.csv_tables import inert, write_csv
from sheetgen.figures import TABLES, UNREAD, columns
from sheetgen.findings import Finding, Refused, Severity
from sheetgen.reader.filled import read_filled
from sheetgen.reconcile import Comparison, reconcile
from sheetgen.sources import sources, workbooks

if TYPE_CHECKING:
    from pathlib import Path

pytestmark = pytest.mark.usefixtures("read_once")

# What was logged in templates/demo/log.toml, added by hand: people times hours, over the lines.
HOURS_DONE = 38.5
# The same to the second line, with the zone's name changed to one that looks like a formula.
HOURS_RUNNING = 3.5 + 6.5
M2_IN_FT2 = 10.763910416709722


@pytest.fixture(scope="module")
def two(books: dict[str, Path]) -> Comparison:
    return reconcile([books["running"], books["done"]])


def row(compared: Comparison, table: str, **wanted: str) -> dict[str, Any]:
    (found,) = [one for one in compared.tables[table] if all(one[key] == value for key, value in wanted.items())]
    return found


def by_code(findings: tuple[Finding, ...], code: str) -> list[Finding]:
    return [one for one in findings if one.code == code]


def shown(book: Path) -> dict[str, list[Any]]:
    """Return what the cells of a cost book show, by field."""
    plan = read_filled(book).compiled.plan
    workbook = openpyxl.load_workbook(book, data_only=True)
    return {
        f"{block.name}.{field.name}": [workbook[at.sheet].cell(at.row + 1, at.column + 1).value for _, at in plan.places(block, field)]
        for block, field in plan.book.fields()
        if field.kind in {"posted", "formula"} and field.stands_in(plan.system)
    }


def test_each_book_is_a_row_with_its_own_names(two: Comparison) -> None:
    assert two.books == 2
    assert [(one["workbook"], one["book_id"], one["job_number"], one["job_name"]) for one in two.tables["jobs"]] == [
        ("running.xlsx", "id-running", "R-1", NAME),
        ("done.xlsx", "id-done", "D-1", "Done"),
    ]


def test_hours_are_those_that_were_logged(two: Comparison) -> None:
    assert row(two, "jobs", job_number="D-1")["hours_actual"] == pytest.approx(HOURS_DONE, abs=1e-9)
    assert row(two, "jobs", job_number="R-1")["hours_actual"] == pytest.approx(HOURS_RUNNING, abs=1e-9)
    for number in ("D-1", "R-1"):
        tasks = sum(one["actual"] or 0.0 for one in two.tables["hours"] if one["job_number"] == number)
        assert tasks == pytest.approx(row(two, "jobs", job_number=number)["hours_actual"], abs=1e-9)


def test_variance_is_actual_less_estimate(two: Comparison) -> None:
    job = row(two, "jobs", job_number="D-1")

    assert job["hours_variance"] == pytest.approx(HOURS_DONE - job["hours_estimated"], abs=1e-9)
    for one in two.tables["hours"]:
        if one["variance"] is not None:
            assert one["variance"] == pytest.approx(one["actual"] - one["estimated"], abs=1e-9)


def test_bags_are_opened_less_what_is_left(two: Comparison) -> None:
    """10 opened, half a bag left: 9.5 used; 9 of the squeegee topping; 2 less a quarter: 20.25 in all."""
    used = {one["product"]: one["used"] for one in two.tables["materials"] if one["job_number"] == "D-1"}

    assert (used["Semi-self-levelling mix"], used["Squeegee mix"], used["Vertical mix"]) == (9.5, 9.0, 1.75)
    assert row(two, "jobs", job_number="D-1")["bags_used"] == 20.25


def test_a_running_job_has_no_totals_of_variance(two: Comparison) -> None:
    job = row(two, "jobs", job_number="R-1")

    assert [job[name] for name in ("hours_variance", "labour_variance", "materials_variance")] == [None] * 3
    assert job["hours_estimated"] == row(two, "jobs", job_number="D-1")["hours_estimated"]
    assert [one.place for one in by_code(two.findings, "job-running")] == ["running.xlsx"]
    assert {one.severity for one in two.findings} == {Severity.NOTE}


def test_what_was_not_logged_is_not_known_and_never_zero(two: Comparison) -> None:
    colour = row(two, "materials", job_number="D-1", product="Colour, dry")
    mix = row(two, "hours", job_number="R-1", task="Mix")

    assert colour["needed"] > 0
    assert [colour[name] for name in ("bought", "used", "variance", "price_variance", "quantity_variance")] == [None] * 5
    assert (mix["actual"], mix["variance"], mix["efficiency_variance"], mix["rate_variance"]) == (None, None, None, None)


def test_the_order_of_books_changes_no_figure(books: dict[str, Path], two: Comparison) -> None:
    again = reconcile([books["done"], books["running"]])

    for table, rows in two.tables.items():
        assert sorted(map(repr, again.tables[table])) == sorted(map(repr, rows))


def test_a_broken_book_is_named_and_left_out(books: dict[str, Path], two: Comparison, tmp_path: Path) -> None:
    broken = tmp_path / "broken.xlsx"
    broken.write_bytes(books["done"].read_bytes()[:9000])

    compared = reconcile([books["running"], broken, books["done"]])

    assert compared.tables == two.tables
    assert [(one.place, one.severity) for one in by_code(compared.findings, "book-left-out")] == [("broken.xlsx", Severity.ERROR)]
    assert [row["workbook"] for row in compared.unread] == ["broken.xlsx"]
    assert compared.unread[0]["what"].startswith("the workbook is damaged")
    assert compared.books == 2


def test_a_book_with_an_input_that_cannot_be_read_is_left_out_whole(books: dict[str, Path], tmp_path: Path) -> None:
    changed = tmp_path / "changed.xlsx"
    workbook = openpyxl.load_workbook(books["done"])
    spot = compiled("bid", "us", ROWS).plan.spot("hours_log", "hours_each").cell()
    sheet, cell = spot.a1.split("!")
    workbook[sheet.strip("'")][cell] = "a few"
    workbook.save(changed)

    compared = reconcile([changed])

    assert compared.books == 0
    assert compared.tables["jobs"] == ()
    assert any(cell in one.place and one.mend for one in by_code(compared.findings, "input-unread"))
    (unread,) = compared.unread
    assert unread["workbook"] == "changed.xlsx"
    assert unread["what"].startswith(f"{spot.a1}: ")
    assert by_code(compared.findings, "book-left-out")


@pytest.mark.parametrize(("version", "mend"), [("0", "read it with sheetgen 0.0.9"), ("9", "use sheetgen 0.0.9 or a newer one"), ("x", "or a newer one")])
def test_a_book_of_another_template_version_says_with_what_it_is_read(
    books: dict[str, Path], tmp_path: Path, version: str, mend: str
) -> None:
    copies = Copies(books["done"], compiled("bid", "us", ROWS).plan)
    other = copies.fill(tmp_path / "other.xlsx", {}, template_version=version, tool_version="0.0.9")

    compared = reconcile([other])

    (row,) = compared.unread
    assert row["workbook"] == "other.xlsx"
    assert f"template version {version} by sheetgen 0.0.9" in row["what"]
    assert mend in row["mend"]


def test_a_copied_book_is_a_job_of_its_own(books: dict[str, Path], tmp_path: Path) -> None:
    """The same id with another job number is a copied book."""
    copy = put(running_job(), tmp_path / "copy.xlsx", "id-done")

    compared = reconcile([books["done"], copy])

    (found,) = by_code(compared.findings, "book-copied")
    assert (found.place, found.severity) == ("copy.xlsx", Severity.LOOK)
    assert "done.xlsx" in found.what
    assert compared.books == 2


def test_a_job_that_is_there_twice_is_named(books: dict[str, Path], tmp_path: Path) -> None:
    shutil.copyfile(books["done"], tmp_path / "again.xlsx")

    compared = reconcile([books["done"], tmp_path / "again.xlsx"])

    (found,) = by_code(compared.findings, "book-twice")
    assert found.severity is Severity.LOOK
    assert "counted" in found.what


def test_us_and_metric_books_stand_in_one_table(books: dict[str, Path]) -> None:
    """20 m² done are 215.278 ft²; money, hours and bags are what they are."""
    us = reconcile([books["done"], books["metric"]])
    metric = reconcile([books["metric"], books["done"]])
    asked = reconcile([books["metric"]], system="us")

    assert (us.system, metric.system, asked.system) == ("us", "metric", "us")
    assert row(us, "jobs", job_number="M-1")["area_done"] == pytest.approx(20 * M2_IN_FT2, rel=1e-12)
    assert row(metric, "jobs", job_number="M-1")["area_done"] == pytest.approx(20.0, rel=1e-12)
    assert row(asked, "jobs")["area_done"] == row(us, "jobs", job_number="M-1")["area_done"]
    for name in ("price", "cost", "hours_actual", "hours_variance", "bags_needed", "done_share"):
        assert row(us, "jobs", job_number="D-1")[name] == pytest.approx(row(metric, "jobs", job_number="D-1")[name], rel=1e-9)
    for one in metric.tables["toppings"]:
        twin = row(us, "toppings", job_number=one["job_number"], system=one["system"])
        if one["thickness_planned"] is not None:
            assert twin["thickness_planned"] * 25.4 == pytest.approx(one["thickness_planned"], rel=1e-9)


def test_a_folder_stands_for_its_workbooks(books: dict[str, Path]) -> None:
    folder = books["done"].parent

    assert workbooks([folder]) == [folder / "done.xlsx", folder / "metric.xlsx", folder / "running.xlsx"]
    assert workbooks([books["metric"], folder]) == [folder / "metric.xlsx", folder / "done.xlsx", folder / "running.xlsx"]


def test_a_file_named_twice_counts_once(books: dict[str, Path]) -> None:
    folder = books["done"].parent

    assert workbooks([books["done"], folder / ".." / folder.name / "done.xlsx"]) == [books["done"]]


def test_in_a_folder_only_what_a_program_leaves_behind_is_passed_over(tmp_path: Path) -> None:
    for name in ("b.XLSX", "a.xls", "c.ods", "~$b.xlsx", ".b.xlsx", "notes.txt"):
        (tmp_path / name).touch()

    assert [path.name for path in workbooks([tmp_path])] == ["a.xls", "b.XLSX", "c.ods"]


def test_a_folder_without_workbooks_is_named(tmp_path: Path) -> None:
    with pytest.raises(Refused) as caught:
        workbooks([tmp_path])

    assert caught.value.findings[0].code == "folder-empty"


def test_csv_has_a_blank_for_what_is_not_known_and_text_that_is_inert(two: Comparison, tmp_path: Path) -> None:
    paths = write_csv(two, tmp_path / "new" / "tables")

    assert [path.stem for path in paths] == [*TABLES, "unread"]
    for path in paths:
        with path.open(encoding="utf-8", newline="") as file:
            rows = list(csv.DictReader(file))
        assert path.read_text(encoding="utf-8").splitlines()[0] == ",".join(columns(path.stem) if path.stem in TABLES else UNREAD)
        assert len(rows) == len(two.tables.get(path.stem, two.unread))
        assert not [cell for one in rows for cell in one.values() if cell[:1] in {"=", "+", "@"} or cell in {"None", "nan"}]
        assert not [cell for one in rows for cell in one.values() if cell.endswith(".0")], "a whole number has no decimals"
    with paths[0].open(encoding="utf-8", newline="") as file:
        running, done = list(csv.DictReader(file))
    assert running["job_name"] == "'" + NAME
    assert running["hours_variance"] == ""
    assert (running["finished"], done["finished"]) == ("0", "1")
    assert float(done["hours_actual"]) == HOURS_DONE
    assert float(done["hours_variance"]) == pytest.approx(row(two, "jobs", job_number="D-1")["hours_variance"], abs=1e-6)


@pytest.mark.parametrize("text", ["=1+1", "+49 30", "-x", "@sum", "\t=1", "\r=1"])
def test_text_that_a_program_could_take_for_a_formula_is_made_inert(text: str) -> None:
    assert inert(text) == "'" + text
    assert inert("Floor =1") == "Floor =1"


def test_the_tables_are_written_the_same_each_time(two: Comparison, tmp_path: Path) -> None:
    first, second = write_csv(two, tmp_path / "a"), write_csv(two, tmp_path / "b")

    assert [path.read_bytes() for path in first] == [path.read_bytes() for path in second]
    assert len(list((tmp_path / "a").iterdir())) == len(first)


def test_tables_that_cannot_be_written_are_a_finding(two: Comparison, tmp_path: Path) -> None:
    (tmp_path / "file").write_text("not a folder")

    with pytest.raises(Refused) as caught:
        write_csv(two, tmp_path / "file")

    assert caught.value.findings[0].code == "output-write"


def test_the_cost_book_s_totals_agree_with_the_tables(two: Comparison, tmp_path: Path) -> None:
    built = build_cost(two, tmp_path / "costs.xlsx", made_on=DAY, book_id="c")
    cells = shown(built.path)
    done, running = row(two, "jobs", job_number="D-1"), row(two, "jobs", job_number="R-1")

    assert built.counts.found == built.counts.recalculated > built.counts.compared > 0
    assert cells["totals.hours_actual"][0] == pytest.approx(HOURS_DONE + HOURS_RUNNING, abs=1e-9)
    assert cells["totals.hours_estimated"][0] == pytest.approx(done["hours_estimated"] + running["hours_estimated"], abs=1e-9)
    assert cells["totals.hours_variance"][0] == pytest.approx(done["hours_variance"], abs=1e-9)
    assert cells["totals.labour_variance"][0] == pytest.approx(done["labour_variance"], abs=1e-9)
    assert cells["totals.price"][0] == pytest.approx(done["price"] + running["price"], abs=1e-9)
    assert cells["totals.bags_used"][0] == pytest.approx(done["bags_used"] + (running["bags_used"] or 0.0), abs=1e-9)


def test_the_cost_book_keeps_names_as_text_and_leaves_unknown_cells_empty(two: Comparison, tmp_path: Path) -> None:
    built = build_cost(two, tmp_path / "costs.xlsx", made_on=DAY, book_id="c")
    plan = read_filled(built.path).compiled.plan
    name = plan.spot("jobs", "job_name").cell()
    cells = shown(built.path)

    assert openpyxl.load_workbook(built.path)[name.sheet].cell(name.row + 1, name.column + 1).data_type == "s"
    assert cells["jobs.job_name"][0] == NAME
    assert cells["jobs.hours_variance"][0] is None
    assert cells["jobs.hours_actual"][0] == pytest.approx(HOURS_RUNNING)


def test_an_earlier_cost_book_is_no_job(books: dict[str, Path], two: Comparison, tmp_path: Path) -> None:
    """The bookkeeper keeps the cost book beside the jobs and runs the same command again."""
    costs = build_cost(two, tmp_path / "costs.xlsx", made_on=DAY, book_id="c").path

    compared = reconcile([costs, books["done"]])

    assert sources([costs, books["done"]], costs) == [books["done"]]
    assert compared.books == 1
    assert [one.severity for one in by_code(compared.findings, "book-other")] == [Severity.NOTE]


def test_the_cost_book_never_takes_the_place_of_a_job(books: dict[str, Path]) -> None:
    with pytest.raises(Refused) as caught:
        sources([books["done"].parent], books["done"])

    assert caught.value.findings[0].code == "output-input"


def test_jobs_whose_books_have_one_name_keep_their_headings(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("COLUMNS", "160")
    job = done_job()
    paths = []
    for name in ("Mill", "Barn"):
        (tmp_path / name).mkdir()
        named = attrs.evolve(job, job=attrs.evolve(job.job, name=name, number=name))
        paths.append(put(named, tmp_path / name / "bid.xlsx", f"id-{name}"))

    show.tables(reconcile(paths))

    said = capsys.readouterr().out
    assert said.count("Mill") == said.count("Barn") == len(TABLES)


def test_jobs_of_one_name_are_told_apart_by_their_files(
    books: dict[str, Path], tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("COLUMNS", "160")
    shutil.copyfile(books["done"], tmp_path / "again.xlsx")

    show.tables(reconcile([books["done"], tmp_path / "again.xlsx", books["metric"]]), ["jobs"])

    said = capsys.readouterr().out
    assert "Done (D-1, done.xlsx)" in said
    assert "Done (D-1, again.xlsx)" in said
    assert "metric.xlsx" not in said


def test_books_are_never_written_to(books: dict[str, Path], tmp_path: Path) -> None:
    path = tmp_path / "mine.xlsx"
    shutil.copyfile(books["done"], path)
    path.chmod(0o444)
    before = (path.read_bytes(), path.stat().st_mtime_ns)

    reconcile([path])

    assert (path.read_bytes(), path.stat().st_mtime_ns) == before


# Many books


@pytest.fixture
def many(books: dict[str, Path], tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> list[Path]:
    """Return more books than one process reads: good ones, a copy, and one that is broken."""
    monkeypatch.setattr(pool, "FEW", 5)
    for number, name in enumerate(("done", "running", "metric", "done")):
        shutil.copyfile(books[name], tmp_path / f"{number}.xlsx")
    (tmp_path / "2a.xlsx").write_bytes(b"PK\x03\x04")
    return workbooks([tmp_path])


def test_workers_give_what_one_process_gives(many: list[Path]) -> None:
    """Tables, the order of rows, and the order of findings."""
    told: list[Path] = []

    alone, shared = reconcile(many), reconcile(many, processes=2, each=told.append)

    assert shared == alone
    assert shared.books == len(many) - 1
    assert told == many


def test_workers_do_not_outlive_a_run_that_is_killed(many: list[Path]) -> None:
    code = "import sys; from pathlib import Path; from sheetgen.reconcile import reconcile; "
    code += "from sheetgen import pool; pool.FEW = 5; "
    code += "reconcile([Path(one) for one in sys.argv[1:]] * 20, processes=2, each=lambda _: print('read', flush=True))"
    with subprocess.Popen([sys.executable, "-c", code, *map(str, many)], stdout=subprocess.PIPE) as process:
        assert process.stdout is not None
        assert process.stdout.readline() == b"read\n"
        process.kill()
        # The workers hold the pipe too: its end comes when the last of them is gone.
        process.communicate(timeout=30)


def test_two_books_of_one_job_number_are_named(tmp_path: Path) -> None:
    """The bid and the finished book of one job in one folder, each made anew: both count, and that is said."""
    job = done_job()
    paths = [put(job, tmp_path / "bid.xlsx", "first"), put(job, tmp_path / "done.xlsx", "second")]

    found = [one for one in reconcile(paths).findings if one.code == "number-twice"]

    assert [(one.place, "bid.xlsx, D-1" in one.what) for one in found] == [("done.xlsx", True)]
