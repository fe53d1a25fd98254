"""An open bid is built anew with other rates: what is the job's stays, what is the owner's comes from the rate book."""

from __future__ import annotations

import json
from pathlib import Path

import attrs
import pytest
from click.testing import CliRunner, Result
from filled_books import DAY, ROWS, put
from jobs import demo_job

from sheetgen.check.meet import job_of
from sheetgen.cli import main
from sheetgen.engine.job import Job, compute
from sheetgen.rates import build_rates
from sheetgen.reader.filled import read_filled
from sheetgen.reader.raw import read_raw
from sheetgen.reader.stamped import read_stamp

USED = "Grind"


def dearer(job: Job) -> Job:
    """Return a job with a wage, a price and a rate of its own, in tables of another order."""
    roles = tuple(attrs.evolve(role, wage=role.wage * 2) if role.wage else role for role in job.roles)
    products = tuple(attrs.evolve(one, price=one.price + 10) if one.price else one for one in job.products)
    return attrs.evolve(job, roles=roles, products=products, tasks=tuple(reversed(job.tasks)))


def open_job() -> Job:
    job = demo_job()
    grind = next(number for number, task in enumerate(job.tasks) if task.name == USED)
    tasks = [*job.tasks]
    tasks[grind] = attrs.evolve(tasks[grind], zone=job.zones[0].name)
    return attrs.evolve(job, tasks=tuple(tasks), hours_log=(), materials_log=())


def run(*arguments: object) -> Result:
    return CliRunner().invoke(main, [str(one) for one in arguments])


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    place = tmp_path_factory.mktemp("reprice")
    put(open_job(), place / "open.xlsx", "bid7")
    build_rates(dearer(demo_job()), place / "rates.xlsx", made_on=DAY, book_id="r")
    return place


@pytest.fixture(scope="module")
def told(folder: Path) -> dict[str, object]:
    result = run("bid", folder / "new.xlsx", "--reprice", folder / "open.xlsx", "--rates", folder / "rates.xlsx", "--json")
    assert result.exit_code == 0, result.output
    return dict(json.loads(result.stdout))


def job_in(path: Path) -> Job:
    filled = read_filled(path)
    return job_of(filled.entries, filled.stamp.system)


def test_rates_come_from_the_rate_book_and_the_rest_stays(folder: Path, told: dict[str, object]) -> None:
    old, new, wanted = job_in(folder / "open.xlsx"), job_in(folder / "new.xlsx"), dearer(demo_job())

    assert [role.wage for role in new.roles] == [role.wage for role in wanted.roles]
    assert [task.name for task in new.tasks] == [task.name for task in wanted.tasks]
    assert (new.zones, new.areas, new.job, new.visits) == (old.zones, old.areas, old.job, old.visits)
    # What the job says of a task moves with its name, not with its place.
    assert {task.name: task.zone for task in new.tasks} == {task.name: task.zone for task in old.tasks}
    assert next(task.zone for task in new.tasks if task.name == USED) == old.zones[0].name


def test_it_is_the_same_job(folder: Path, told: dict[str, object]) -> None:
    before, after = (read_stamp(read_raw(folder / name)) for name in ("open.xlsx", "new.xlsx"))

    assert after.book_id == before.book_id
    assert ROWS.items() <= dict(after.rows).items()


def test_old_and_new_figures_stand_side_by_side(folder: Path, told: dict[str, object]) -> None:
    old, new = (compute(job_in(folder / name)) for name in ("open.xlsx", "new.xlsx"))
    figures = {one["what"]: (one["old"], one["new"]) for one in told["figures"]}  # type: ignore[attr-defined]

    for label, name in (("Price before tax, rounded", "price.net"), ("Materials: see Materials", "price.materials"), ("Cost", "price.cost")):
        assert figures[label] == pytest.approx((old.scalar(name, "accepted"), new.scalar(name, "accepted")), rel=1e-12)
    # Other wages and prices change no hours and no packages.
    assert not any(what.endswith((", hours", "packages to use")) for what in figures)


def test_what_the_rate_book_lacks_is_named(folder: Path, tmp_path: Path) -> None:
    job = demo_job()
    without = tuple(task for task in job.tasks if task.name != USED)
    build_rates(attrs.evolve(job, tasks=without), tmp_path / "less.xlsx", made_on=DAY, book_id="r")

    result = run("bid", tmp_path / "new.xlsx", "--reprice", folder / "open.xlsx", "--rates", tmp_path / "less.xlsx")

    assert result.exit_code == 0
    assert f"'{USED}' of tasks is not in the rate book" in result.output
    assert f"{USED}, hours: " in result.output


def test_nothing_is_written_over(folder: Path) -> None:
    before = (folder / "open.xlsx").read_bytes()
    for goal in ("open.xlsx", "rates.xlsx"):
        result = run("bid", folder / goal, "--reprice", folder / "open.xlsx", "--rates", folder / "rates.xlsx", "--replace")
        assert (result.exit_code, "output-input" in result.output) == (1, True)
    assert (folder / "open.xlsx").read_bytes() == before


@pytest.mark.parametrize("more", [[], ["--rates", "r.xlsx", "--units", "us"], ["--rates", "r.xlsx", "--areas", "a.csv"]])
def test_a_bid_is_repriced_as_it_is(more: list[str]) -> None:
    assert run("bid", "new.xlsx", "--reprice", "open.xlsx", *more).exit_code == 2
