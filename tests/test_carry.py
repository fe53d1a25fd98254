"""What was typed into a book comes over into the new one, or stands on a sheet of what is left over; nothing is lost."""

from __future__ import annotations

import datetime as dt
import json
import re
from pathlib import Path

import attrs
import openpyxl
import pytest
from click.testing import CliRunner
from filled_books import LEAST, ROWS, done_job, metric_job, put

from sheetgen.book.compile import compiled
from sheetgen.book.validate import bounds
from sheetgen.carry import Carried, carry
from sheetgen.check.filled import check_filled
from sheetgen.check.meet import job_of
from sheetgen.cli import main
from sheetgen.commands.carry import lines
from sheetgen.content import content_of
from sheetgen.engine.job import Job, convert_job
from sheetgen.engine.records import Area
from sheetgen.findings import Refused, Severity
from sheetgen.reader.filled import read_filled

DAY = dt.date(2027, 1, 4)
PLAN = compiled("bid", "metric", LEAST).plan


@pytest.fixture(scope="module")
def old(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return put(metric_job(), tmp_path_factory.mktemp("old") / "old.xlsx", "the-job", LEAST)


@pytest.fixture(scope="module")
def odd(old: Path) -> Path:
    """Return the old book with entries that cannot be read, a sheet of the person's own, and a note beside a table."""
    path = old.with_name("odd.xlsx")
    workbook = openpyxl.load_workbook(old)
    odd = (("takeoff.waste", 1.4), ("areas.second", "about four"), ("costs.freight", dt.date(2026, 1, 8)), ("job.customer", "x" * 900))
    for name, value in odd:
        spot = PLAN.spot(*name.split(".")).cell()
        workbook[spot.sheet].cell(spot.row + 1, spot.column + 1).value = value
    workbook["Takeoff"]["AZ3"] = "ask the customer"
    workbook.create_sheet("Doodles")
    workbook.save(path)
    return path


@pytest.fixture(scope="module")
def larger(old: Path) -> Carried:
    return carry(old, old.with_name("larger.xlsx"), made_on=DAY, rows={"areas": 12, "hours_log": 20})


@pytest.fixture(scope="module")
def left(odd: Path) -> Carried:
    return carry(odd, odd.with_name("left.xlsx"), made_on=DAY)


def test_everything_comes_over_into_a_larger_book(old: Path, larger: Carried) -> None:
    before, after = read_filled(old), read_filled(larger.built.path)

    assert content_of(after) == content_of(before)
    assert after.stamp.book_id == "the-job"
    assert after.stamp.made_on == DAY
    assert dict(after.stamp.rows) == {**LEAST, "areas": 12, "hours_log": 20}
    assert (larger.entries.changed, larger.left_over) == ((), ())


def test_the_report_counts_every_entry(old: Path, larger: Carried) -> None:
    held = {f"{block}.{field}": sum(value is not None for value in column) for (block, field), column in read_filled(old).entries.items()}

    assert larger.entries.moved == {name: count for name, count in held.items() if count}


def test_the_old_book_is_never_written_to(old: Path, larger: Carried) -> None:
    assert read_filled(old).stamp.made_on == dt.date(2026, 3, 2)
    assert larger.built.path != old


@pytest.fixture(scope="module")
def in_us(old: Path) -> Carried:
    """Return the book in US units, with a rate for the distance that is not round there."""
    book = old.with_name("metric.xlsx")
    workbook = openpyxl.load_workbook(old)
    spot = PLAN.spot("costs", "distance_rate").cell()
    workbook[spot.sheet].cell(spot.row + 1, spot.column + 1).value = 0.5
    workbook.save(book)
    return carry(book, old.with_name("us.xlsx"), made_on=DAY, system="us")


def test_in_other_units_every_change_is_told(in_us: Carried) -> None:
    after = read_filled(in_us.built.path)
    expected = convert_job(job_of(read_filled(in_us.built.path.with_name("metric.xlsx")).entries, "metric"), "us")
    assert _numbers(job_of(after.entries, "us")) == pytest.approx(_numbers(expected), rel=1e-11)
    assert after.entries["survey", "dew_margin"] == (5.4,)  # 3 °C
    changed = {one.field: (one.before, one.after) for one in in_us.entries.changed}
    assert changed["areas.first[1]"] == ("5 m", "16.4041994751 ft")  # 5 / 0.3048
    assert changed["hours_log.area_done[1]"] == ("20 m²", "215.278208334 ft²")  # 20 / 0.3048²
    assert "job.name" not in changed
    # A dose that is for one metre where nothing is typed is for 3.28 feet: that has to be typed there.
    assert {name for name, (before, _) in changed.items() if before == "blank"} == {"lines.per[1]"}
    assert in_us.entries.kept + len(changed) - 1 == sum(in_us.entries.moved.values())
    assert (in_us.entries.added, in_us.entries.ended) == ({}, {})


def _numbers(job: Job) -> list[float]:
    """Return every number of a job, in its order."""
    found = []
    for one in attrs.fields(Job):
        held = getattr(job, one.name)
        for record in held if isinstance(held, tuple) else (held,):
            found += [value for value in attrs.astuple(record) if isinstance(value, float)] if attrs.has(type(record)) else []
    return found


def test_beyond_what_the_other_units_take_there_is_no_book(tmp_path: Path) -> None:
    """Bounds are round in each system, so that some number is allowed in metres and too large in feet."""
    job = metric_job()
    most = bounds(PLAN.book.blocks["areas"].field("first"), PLAN)[1]
    assert most / 0.3048 > bounds(PLAN.book.blocks["areas"].field("first"), compiled("bid", "us", LEAST).plan)[1]
    path = put(attrs.evolve(job, areas=(Area(first=most, second=4.0),)), tmp_path / "wide.xlsx", "wide", LEAST)

    with pytest.raises(Refused) as refused:
        carry(path, tmp_path / "us.xlsx", made_on=DAY, system="us")

    assert {one.code for one in refused.value.findings} == {"input-bounds"}
    assert not (tmp_path / "us.xlsx").exists()


# What finds no place


def test_what_cannot_be_read_stands_on_a_sheet_of_its_own(left: Carried) -> None:
    after = read_filled(left.built.path)

    rows = dict(zip(after.entries["left_over", "field"], after.entries["left_over", "value"], strict=True))
    assert rows == {"takeoff.waste": "1.4", "areas.second[1]": "about four", "costs.freight": "2026-01-08", "job.customer": "x" * 900}
    assert [one.field for one in left.left_over] == list(rows)
    assert after.entries["takeoff", "waste"] == (None,)
    assert "Left over" in [sheet.name for sheet in after.raw.sheets]
    assert {one.place.split()[-1] for one in left.findings if one.code == "carry-left-over"} == set(rows)


def test_what_does_not_come_along_is_listed(left: Carried) -> None:
    behind = [one for one in left.findings if one.code == "carry-behind"]

    assert {one.place for one in behind} == {"odd.xlsx Doodles", "odd.xlsx Takeoff!AZ3"}
    assert all(one.severity is Severity.LOOK and one.mend for one in behind)


def test_a_book_with_what_is_left_over_passes_its_own_check(left: Carried) -> None:
    checked = check_filled(left.built.path)

    # What was too long for an input does not fit a column either, and that is said.
    assert {one.code for one in checked.findings if one.severity > Severity.NOTE} <= {"check-look", "price-missing", "rule-15-cut"}
    assert checked.counts.found == checked.counts.compared + checked.counts.shows


def test_what_is_left_over_stays_when_the_book_is_carried_again(left: Carried, tmp_path: Path) -> None:
    again = carry(left.built.path, tmp_path / "again.xlsx", made_on=DAY)

    assert again.left_over == left.left_over
    assert content_of(read_filled(tmp_path / "again.xlsx")) == content_of(read_filled(left.built.path))


def test_a_book_without_leftovers_has_no_such_sheet(larger: Carried) -> None:
    assert "Left over" not in [sheet.name for sheet in read_filled(larger.built.path).raw.sheets]


# Ids, and what is refused


def test_a_book_for_a_new_job_has_an_id_of_its_own_and_no_logs(old: Path, tmp_path: Path) -> None:
    carried = carry(old, tmp_path / "new.xlsx", made_on=DAY, new_job=True)

    after = read_filled(tmp_path / "new.xlsx")
    assert after.stamp.book_id != "the-job"
    job, before = job_of(after.entries, "metric"), job_of(read_filled(old).entries, "metric")
    assert (job.job.number, job.hours_log, job.materials_log) == (None, (), ())
    assert job.job.name == before.job.name
    assert set(carried.entries.ended) == {"job.number", *(f"hours_log.{name}" for name in ("date", "task", "zone", "people", "hours_each", "area_done"))}
    assert [(one.field, one.before, one.after) for one in carried.entries.changed if one.worth_seeing] == [("job.status", "done", "bid")]
    assert (job.areas, job.products, job.tasks) == (before.areas, before.products, before.tasks)


def test_a_book_whose_fields_are_not_found_is_refused(old: Path, tmp_path: Path) -> None:
    workbook = openpyxl.load_workbook(old)
    workbook.remove(workbook["Log"])
    workbook.save(tmp_path / "cut.xlsx")

    with pytest.raises(Refused) as refused:
        carry(tmp_path / "cut.xlsx", tmp_path / "new.xlsx", made_on=DAY)

    assert "sheet-missing" in {one.code for one in refused.value.findings}
    assert not (tmp_path / "new.xlsx").exists()


def test_too_few_rows_are_refused(tmp_path: Path) -> None:
    path = put(done_job(), tmp_path / "done.xlsx", "done", ROWS)

    with pytest.raises(Refused) as refused:
        carry(path, tmp_path / "new.xlsx", made_on=DAY, rows={"areas": 3})

    assert [one.code for one in refused.value.findings] == ["block-full"]


# The command


def run(*arguments: object) -> tuple[int, str]:
    result = CliRunner().invoke(main, [str(one) for one in arguments])
    return result.exit_code, result.output


def test_the_command_tells_field_by_field(odd: Path, tmp_path: Path) -> None:
    code, said = run("carry", odd, "--out", tmp_path / "new.xlsx", "--json")

    told = json.loads(said)
    assert code == 0
    assert told["moved"]["areas.first"] == 1
    assert {one["field"] for one in told["left_over"]} == {"takeoff.waste", "areas.second[1]", "costs.freight", "job.customer"}
    code, said = run("carry", odd, "--out", tmp_path / "new.xlsx")
    assert (code, "output-there" in said) == (1, True)
    code, said = run("carry", odd, "--out", odd, "--replace")
    assert (code, "output-input" in said) == (1, True)


def said(carried: Carried, *, every: bool) -> list[str]:
    return list(lines("metric.xlsx", carried, in_logs=False, every=every))


def test_one_sentence_says_what_came_over_and_then_what_should_be_seen(in_us: Carried) -> None:
    """A rate is shown with two decimals: 0.50 $/km is 0.804672 $/mi, 0.6 % more than 0.80; five metres look as long in feet."""
    first, *rest = said(in_us, every=False)

    told = re.fullmatch(r"([\d,]+) entries of metric\.xlsx came over: ([\d,]+) as they were, ([\d,]+) converted to US units; 0 left over", first)
    assert told is not None
    total, kept, others = (int(one.replace(",", "")) for one in told.groups())
    assert total == kept + others
    assert "  costs.distance_rate (Rate for the distance): 0.5 $/km → 0.804672 $/mi, shown as 0.80" in rest
    assert not any("areas.first" in line for line in rest)
    assert rest[-1] == "Every field and every entry: add --all, or --json."


def test_all_that_moved_is_said_where_it_is_asked_for(in_us: Carried) -> None:
    lines = said(in_us, every=True)

    assert "  areas: first 1, second 1" in lines
    assert "  areas.first[1] (Size 1): 5 m → 16.4041994751 ft" in lines
    assert not any("--all" in line for line in lines)


def test_a_rate_book_is_carried_like_a_bid(tmp_path: Path) -> None:
    from sheetgen.jobfile import starter
    from sheetgen.rates import build_rates

    build_rates(starter("us"), tmp_path / "rates.xlsx", made_on=DAY, book_id="the-rates")
    workbook = openpyxl.load_workbook(tmp_path / "rates.xlsx")
    spot = compiled("rates", "us").plan.spot("products", "price").cell()
    workbook[spot.sheet].cell(spot.row + 1, spot.column + 1).value = "ask"
    workbook.save(tmp_path / "rates.xlsx")

    carried = carry(tmp_path / "rates.xlsx", tmp_path / "new.xlsx", made_on=DAY, rows={"products": 60})

    after = read_filled(tmp_path / "new.xlsx")
    assert (after.stamp.kind, after.stamp.book_id, after.stamp.rows["products"]) == ("rates", "the-rates", 60)
    assert [(one.field, one.value) for one in carried.left_over] == [("products.price[1]", "ask")]
    assert after.entries["left_over", "value"] == ("ask",)
    assert after.entries["products", "name"][:3] == tuple(one.name for one in starter("us").products[:3])


def test_a_cost_book_is_made_anew_and_not_carried(tmp_path: Path) -> None:
    from sheetgen.book.stamp import Stamp
    from sheetgen.book.write import write
    from sheetgen.check.meet import contents_of_tables

    made = compiled("cost", "us")
    contents = contents_of_tables(made, {block.name: [] for block in made.plan.book.blocks.values()})
    write(tmp_path / "cost.xlsx", contents, Stamp.of(made.plan, "c", DAY))

    with pytest.raises(Refused) as refused:
        carry(tmp_path / "cost.xlsx", tmp_path / "new.xlsx", made_on=DAY)

    assert [one.code for one in refused.value.findings] == ["stamp-kind"]
