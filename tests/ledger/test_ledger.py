"""What is posted is read again as it was, whatever came later; text and digests of it."""

from __future__ import annotations

import datetime as dt
import sqlite3
from pathlib import Path

import attrs
import pytest
from postings import DAY, JOB, LATER, OTHER, numbers, post, refused

from sheetgen.ledger import Posting, reading, writing
from sheetgen.ledger_text import digest, from_text, to_text
from sheetgen.version import __version__


def test_what_is_posted_is_read_again_as_it_was(path: Path) -> None:
    """Every digit of a number, blanks as blanks, days as days."""
    post(path, JOB, OTHER)

    with reading(path) as ledger:
        first, second = ledger.jobs()
        assert ledger.newest("b1", "24-1") == first
        assert ledger.newest("b1", "24-2") is None
    assert first.posting == JOB
    assert second.posting == OTHER
    assert (first.revision, first.day, first.reason, first.tool) == (1, DAY, "", __version__)
    assert first.fingerprint == JOB.fingerprint


def test_old_figures_stay_where_a_job_is_amended(path: Path) -> None:
    amended = attrs.evolve(JOB, content={"entries": {}}, tables={"jobs": [{"price": 5.0}]})
    post(path, JOB, OTHER)
    post(path, amended, reason="a receipt turned up", day=LATER)

    with reading(path) as ledger:
        old, new = ledger.history("b1", "24-1")
        assert [one.posting for one in ledger.jobs()] == [amended, OTHER]
    assert (old.posting, old.day, old.reason) == (JOB, DAY, "")
    assert (new.posting, new.revision, new.day, new.reason) == (amended, 2, LATER, "a receipt turned up")


@pytest.mark.parametrize(
    "statement",
    [
        f"{what} {table}{how}"
        for table, column in (("revisions", "content"), ("figures", "rows"), ("jobs", "number"))
        for what, how in (("UPDATE", f" SET {column} = 'x'"), ("DELETE FROM", ""))
    ],
)
def test_what_was_posted_is_changed_by_nobody(path: Path, statement: str) -> None:
    """Not even by a person with a program for SQLite."""
    post(path, JOB)
    with sqlite3.connect(path) as connection, pytest.raises(sqlite3.IntegrityError, match="what was posted stays"):
        connection.execute(statement)

    connection.close()
    assert numbers(path) == ["24-1"]


@pytest.mark.parametrize(
    ("job", "reason"),
    [(attrs.evolve(JOB, number=""), ""), (JOB, "no reason for a first posting")],
    ids=["no number", "first with a reason"],
)
def test_a_row_that_makes_no_sense_is_refused_by_the_schema(path: Path, job: Posting, reason: str) -> None:
    with pytest.raises(sqlite3.IntegrityError):
        post(path, job, reason=reason)

    assert refused(path, write=False)[0] == "ledger-empty"


def test_an_amendment_needs_a_reason(path: Path) -> None:
    post(path, JOB)

    with pytest.raises(sqlite3.IntegrityError):
        post(path, JOB)


def test_what_was_posted_by_a_day_is_told_as_it_was_then(path: Path) -> None:
    """An amendment, and a job, of a later day do not count; those of the day itself do."""
    between, after = DAY + dt.timedelta(days=1), LATER + dt.timedelta(days=1)
    post(path, JOB, day=DAY)
    post(path, attrs.evolve(JOB, workbook="again.xlsx"), reason="measured", day=LATER)
    post(path, OTHER, day=LATER)

    with reading(path) as ledger:
        for day, told in ((DAY, ["hall.xlsx"]), (between, ["hall.xlsx"]), (LATER, ["again.xlsx", "yard.xlsx"]), (after, ["again.xlsx", "yard.xlsx"])):
            assert [one.posting.workbook for one in ledger.jobs(day)] == told
        assert list(ledger.jobs(DAY - dt.timedelta(days=1))) == []


def test_relatives_are_found(path: Path) -> None:
    post(path, JOB, OTHER, attrs.evolve(JOB, number="24-2", workbook="copy.xlsx"))

    with reading(path) as ledger:
        assert ledger.numbers("b1") == ("24-1", "24-2")
        assert ledger.numbers("b3") == ()
        assert ledger.workbooks("24-2") == ("yard.xlsx", "copy.xlsx")


def test_a_run_is_remembered_apart_from_others(path: Path) -> None:
    with writing(path) as ledger:
        assert ledger.last("reconcile files") is None
        ledger.remember(ledger.begin("reconcile files", DAY), iter([JOB.tables]))
        ledger.remember(ledger.begin("reconcile files", LATER), iter([OTHER.tables, JOB.tables, JOB.tables]))
        ledger.remember(ledger.begin("reconcile ledger", LATER), iter([]))

    with reading(path) as ledger:
        last = ledger.last("reconcile files")
        assert last is not None
        assert (last.day, last.tool, last.jobs) == (LATER, __version__, (OTHER.tables, JOB.tables, JOB.tables))
        empty = ledger.last("reconcile ledger")
        assert empty is not None
        assert empty.jobs == ()


def test_figures_that_did_not_change_are_held_once(path: Path) -> None:
    post(path, JOB)
    for _ in range(3):
        with writing(path) as ledger:
            ledger.remember(ledger.begin("reconcile files", DAY), iter([JOB.tables]))

    with sqlite3.connect(path) as connection:
        assert connection.execute("SELECT count(*) FROM figures").fetchone() == (1,)
    connection.close()


def test_the_order_of_names_does_not_change_a_digest() -> None:
    assert digest(to_text({"a": 1.0, "b": [None, "é"]})) == digest(to_text({"b": (None, "é"), "a": 1.0}))
    assert digest(to_text({"a": 1.0})) != digest(to_text({"a": "1.0"}))


def test_text_gives_the_content_again() -> None:
    content = {"a": [1.5, None, "x", DAY, {"$day": "x", "b": 1.0}]}

    assert from_text(to_text(content)) == content


@pytest.mark.parametrize("content", [float("nan"), float("inf"), {"a": {1, 2}}, b"x"])
def test_what_json_cannot_hold_is_refused(content: object) -> None:
    with pytest.raises((TypeError, ValueError)):
        to_text(content)
