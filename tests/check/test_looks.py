"""What a book says of itself: checks that say LOOK, with the rows they count, and a missing price."""

from __future__ import annotations

import datetime as dt
from pathlib import Path

import attrs
import pytest
from jobs import SMALL, demo_job

from sheetgen.book.compile import compiled
from sheetgen.build import build_bid
from sheetgen.check.filled import check_filled
from sheetgen.check.looks import to_look_at
from sheetgen.check.meet import contents_of
from sheetgen.engine.job import Job
from sheetgen.engine.records import Area
from sheetgen.findings import Finding, Severity
from sheetgen.jobfile import starter

DAY = dt.date(2026, 3, 2)


def looks(job: Job) -> list[Finding]:
    """Return what a book of this job says to look at."""
    return to_look_at(contents_of(compiled("bid", "us", SMALL), job), "book.xlsx")


@pytest.fixture(scope="module")
def sound() -> Job:
    return demo_job()


def test_making_and_checking_a_book_say_the_same(sound: Job, tmp_path: Path) -> None:
    path = tmp_path / "book.xlsx"
    job = attrs.evolve(sound, slab=())

    built = build_bid(job, path, made_on=DAY, book_id="b", rows=SMALL)

    assert [one for one in built.findings if one.severity is Severity.LOOK] == looks(job) != []
    assert [one for one in check_filled(path).findings if one.severity is Severity.LOOK] == looks(job)


def test_a_sound_job_and_a_blank_book_say_nothing(sound: Job) -> None:
    assert looks(sound) == []
    assert looks(starter("us")) == []


def test_zones_that_are_not_ready_are_named(sound: Job) -> None:
    """A repair that is not taken up, and a slab that nobody tested."""
    job = attrs.evolve(sound, slab=())

    found = [one for one in looks(job) if "ready to be covered" in one.what]

    assert [one.what.split(": ", 2)[1] for one in found] == ["'Patio'", "'Front steps'"]
    assert "ready after repair" in found[0].what
    assert "not known" in found[1].what


def test_a_doubtful_data_sheet_is_named(sound: Job) -> None:
    first, *others = sound.systems
    job = attrs.evolve(sound, systems=(attrs.evolve(first, yield_=first.yield_ / 2), *others))

    found = [one for one in looks(job) if first.name in one.what]

    assert len(found) == 1
    assert found[0].code == "check-look"
    assert "yield" in found[0].what


def test_many_rows_are_counted_after_the_first_five(sound: Job) -> None:
    job = attrs.evolve(sound, areas=(*sound.areas, *(Area(label=f"Extra {n}", zone="Patio") for n in range(8))))

    found = [one.what for one in looks(job) if one.what.startswith("Areas and lengths")]

    assert [what.split(": ")[1] for what in found] == [*(f"'Extra {n}'" for n in range(5)), "and 3 rows more"]


def test_a_missing_price_is_said(sound: Job) -> None:
    job = attrs.evolve(sound, policy=attrs.evolve(sound.policy, margin=None))

    assert [one.code for one in looks(job)] == ["price-missing"]
