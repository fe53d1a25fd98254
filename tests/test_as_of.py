"""A job as of a day: what came later does not count, and each thing that does not count is named."""

from __future__ import annotations

import datetime as dt
from typing import Any

import attrs
import pytest

from sheetgen.as_of import DATED, job_as_of
from sheetgen.engine.inputs import inputs
from sheetgen.engine.job import Job
from sheetgen.engine.records import Bill, ChangeOrder, CostEntry, Heading, HoursEntry, MaterialsEntry, WeatherEntry

DAY = dt.date(2026, 3, 31)
BEFORE, AFTER = DAY - dt.timedelta(days=1), DAY + dt.timedelta(days=1)
ROWS = {
    "hours_log": HoursEntry(task="Mix", hours_each=2.0), "materials_log": MaterialsEntry(product="Mix", taken=2.0),
    "costs_log": CostEntry(kind="travel", amount=5.0), "change_orders": ChangeOrder(name="1", price=9.0),
    "bills": Bill(kind="bill", amount=50.0), "weather_log": WeatherEntry(air=70.0),
}  # fmt: skip


def headed(**heading: Any) -> Job:
    return Job(job=Heading(name="Hall", **heading))


def test_every_block_whose_rows_have_a_date_is_cut() -> None:
    dated = {name.partition(".")[0] for name, one in inputs().items() if name.endswith(".date") and one.block == "rows"}

    assert set(DATED) <= dated
    assert dated - set(DATED) == {"readings"}, "what was read on the slab belongs to the bid"


@pytest.mark.parametrize("block", DATED)
def test_a_row_counts_to_the_day_itself_and_keeps_its_place(block: str) -> None:
    row = ROWS[block]
    rows = tuple(attrs.evolve(row, date=date) for date in (BEFORE, AFTER, DAY, None))

    job, findings = job_as_of(attrs.evolve(headed(), **{block: rows}), DAY, "hall.xlsx")

    assert job is not None
    kept = getattr(job, block)
    assert (kept[0], kept[2], kept[3]) == (rows[0], rows[2], rows[3])
    assert set(attrs.asdict(kept[1]).values()) == {None}
    (finding,) = findings
    assert (finding.code, finding.place) == ("rows-later", "hall.xlsx")
    assert f"1 of {block.replace('_', ' ')}" in finding.what


def test_a_job_without_later_dates_is_as_it_was() -> None:
    job = attrs.evolve(headed(status="done", bid_date=DAY, decided_date=DAY, finished_date=DAY), hours_log=(ROWS["hours_log"],))

    assert job_as_of(job, DAY, "hall.xlsx") == (job, ())


def test_a_job_that_was_bid_later_is_left_out_and_named() -> None:
    job, (finding,) = job_as_of(headed(bid_date=AFTER), DAY, "hall.xlsx")

    assert job is None
    assert (finding.code, finding.place) == ("job-later", "hall.xlsx")


@pytest.mark.parametrize(
    ("heading", "then"),
    [
        ({"status": "won", "decided_date": AFTER}, "sent"),
        ({"status": "lost", "decided_date": AFTER, "sent_date": BEFORE}, "sent"),
        ({"status": "done", "decided_date": AFTER, "sent_date": AFTER}, "bid"),
        ({"status": "sent", "sent_date": AFTER}, "bid"),
        ({"status": "done", "decided_date": BEFORE, "finished_date": AFTER}, "running"),
        ({"status": "closed", "finished_date": AFTER}, "running"),
        ({"status": "won", "decided_date": DAY}, "won"),
        ({"status": "done", "finished_date": DAY}, "done"),
        ({"status": "bid", "decided_date": AFTER}, "bid"),
        ({"status": "done"}, "done"),
    ],
)
def test_the_status_is_the_one_that_its_dates_tell(heading: dict[str, Any], then: str) -> None:
    job, findings = job_as_of(headed(**heading), DAY, "hall.xlsx")

    assert job is not None
    assert job.job.status == then
    assert [one.code for one in findings] == ["status-then"] * (then != heading["status"])


@pytest.mark.parametrize(
    ("block", "then"), [("hours_log", "running"), ("materials_log", "running"), ("costs_log", "running"), ("bills", "done")]
)
def test_a_job_that_was_still_worked_on_was_not_done(block: str, then: str) -> None:
    """A bill may follow long after the work."""
    rows = (attrs.evolve(ROWS[block], date=AFTER),)

    job, _ = job_as_of(attrs.evolve(headed(status="done"), **{block: rows}), DAY, "hall.xlsx")

    assert job is not None
    assert job.job.status == then
