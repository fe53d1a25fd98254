"""Posting: closed jobs once and nothing else; of each other book it is said why not."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest
from filled_books import DAY, ROWS, done_job, fill_in, put, type_into
from posted_books import LATER, became, headed, only

from sheetgen import show
from sheetgen.book.compile import compiled
from sheetgen.book.stamp import Stamp
from sheetgen.book.write import write
from sheetgen.check.meet import contents_of_tables
from sheetgen.check.office import resave
from sheetgen.findings import Severity
from sheetgen.ledger import reading
from sheetgen.post import Outcome, post

pytestmark = pytest.mark.usefixtures("read_once")


def test_a_closed_job_is_posted(books: dict[str, Path], ledger: Path) -> None:
    outcomes, findings = post([books["done"]], ledger, day=DAY)

    assert outcomes == [Outcome(str(books["done"]), "posted", book_id="id-done", job_number="D-1", job_name="Done", revision=1, posted_on=DAY)]
    assert [one.code for one in findings] == ["ledger-new"]
    with reading(ledger) as held:
        (revision,) = held.jobs()
    assert revision.posting.workbook == "done.xlsx"
    assert revision.posting.content["entries"]["job.status"] == ["done"]


def test_the_same_book_twice_does_nothing(books: dict[str, Path], ledger: Path) -> None:
    post([books["done"], books["metric"]], ledger, day=DAY)
    before = ledger.read_bytes()

    outcomes, findings = post([books["metric"], books["done"]], ledger, day=LATER)

    assert [(one.became, one.posted_on, one.revision) for one in outcomes] == [("unchanged", DAY, 1)] * 2
    assert findings == ()
    assert ledger.read_bytes() == before


def test_a_book_saved_by_another_program_is_the_same(books: dict[str, Path], ledger: Path, tmp_path: Path) -> None:
    again = type_into(books["done"], tmp_path / "saved again.xlsx", {})
    assert again.read_bytes() != books["done"].read_bytes()
    post([books["done"]], ledger, day=DAY)

    assert became([again], ledger) == (["unchanged"], [])


@pytest.mark.office
@pytest.mark.skipif(not (shutil.which("soffice") or shutil.which("libreoffice")), reason="LibreOffice is not installed")
def test_a_book_saved_by_libreoffice_is_the_same(books: dict[str, Path], ledger: Path, tmp_path: Path) -> None:
    (again,) = resave([books["done"]], tmp_path / "saved")
    post([books["done"]], ledger, day=DAY)

    assert became([again], ledger) == (["unchanged"], [])


def test_a_number_saved_with_fewer_digits_is_the_same(books: dict[str, Path], ledger: Path, tmp_path: Path) -> None:
    """Some programs save fifteen digits, some seventeen."""
    wastes = (1 / 12, 0.0833333333333333, 0.08333)
    paths = [type_into(books["done"], tmp_path / f"{waste}.xlsx", {"takeoff.waste": waste}) for waste in wastes]

    post(paths[:1], ledger, day=DAY)

    assert became(paths[1:2], ledger) == (["unchanged"], [])
    assert became(paths[2:], ledger) == (["not posted"], ["job-changed"])


def test_a_book_with_more_room_is_the_same(books: dict[str, Path], ledger: Path, tmp_path: Path) -> None:
    larger = put(done_job(), tmp_path / "larger.xlsx", "id-done", {**ROWS, "areas": 12, "hours_log": 20})
    post([books["done"]], ledger, day=DAY)

    assert became([larger], ledger) == (["unchanged"], [])


@pytest.mark.parametrize("status", ["bid", "won", "running", "lost", None])
def test_a_job_that_is_not_closed_is_not_posted(books: dict[str, Path], ledger: Path, tmp_path: Path, status: str | None) -> None:
    book = fill_in(books["done"], tmp_path / "x.xlsx", {"job.status": status})

    outcomes, findings = post([book], ledger, day=DAY)

    assert [one.became for one in outcomes] == ["not posted"]
    found = only(findings, "job-open")
    assert (found.place, found.severity) == ("x.xlsx", Severity.LOOK)
    assert f"'{status or ''}'" in found.what
    assert not ledger.exists()


def test_a_job_without_a_number_is_not_posted(books: dict[str, Path], ledger: Path, tmp_path: Path) -> None:
    book = fill_in(books["done"], tmp_path / "x.xlsx", {"job.number": None})

    outcomes, findings = post([book], ledger, day=DAY)

    assert [one.became for one in outcomes] == ["not posted"]
    assert only(findings, "job-number").severity is Severity.ERROR
    assert not ledger.exists()


def test_a_book_that_cannot_be_read_does_not_stop_the_others(books: dict[str, Path], ledger: Path, tmp_path: Path) -> None:
    broken = tmp_path / "broken.xlsx"
    broken.write_bytes(books["done"].read_bytes()[:9000])

    outcomes, findings = post([broken, books["done"], books["running"]], ledger, day=DAY)

    assert [one.became for one in outcomes] == ["not posted", "posted", "not posted"]
    assert only(findings, "book-left-out").place == "broken.xlsx"
    assert "not posted" in only(findings, "book-left-out").what


def test_every_book_that_is_not_posted_says_why(books: dict[str, Path], ledger: Path, tmp_path: Path) -> None:
    broken, numberless = tmp_path / "broken.xlsx", put(headed(done_job(), number=None), tmp_path / "x.xlsx", "id")
    broken.write_bytes(b"PK\x03\x04")
    made = compiled("cost", "us")
    tables = contents_of_tables(made, {block.name: [] for block in made.plan.book.blocks.values()})
    costs = tmp_path / "costs.xlsx"
    write(costs, tables, Stamp.of(made.plan, "c", DAY))
    waste = fill_in(books["done"], tmp_path / "waste.xlsx", {"takeoff.waste": 0.2})
    post([books["done"]], ledger, day=DAY)

    outcomes, _ = post([broken, numberless, books["running"], costs, waste], ledger, day=DAY)
    twice, _ = post([books["done"], waste], ledger, day=DAY)
    first, _ = post([books["running"]], tmp_path / "none.sqlite", day=DAY)

    assert [one.why for one in outcomes] == ["unreadable", "no number", "not done", "no job", "changed"]
    assert [(one.why, one.job_number) for one in twice] == [("told otherwise", "D-1")] * 2
    assert [(one.why, one.job_number) for one in first] == [("not done", "R-1")]


def test_what_became_of_the_books_is_told_by_reason(capsys: pytest.CaptureFixture[str]) -> None:
    show.posted(
        [
            Outcome("a.xlsx", "posted", job_number="1"), Outcome("b.xlsx", "same", same_as="a.xlsx", job_number="1"),
            Outcome("c.xlsx", why="not done", job_number="2"), Outcome("d.xlsx", why="unreadable"),
            Outcome("e.xlsx", "unchanged", job_number="3", posted_on=DAY), Outcome("f.xlsx", why="not done"),
            Outcome("g.xlsx", "amended", job_number="4", revision=2),
        ],
        Path("ledger.sqlite"),
    )  # fmt: skip

    assert capsys.readouterr().out.splitlines() == [
        "posted a.xlsx: job 1",
        "same job b.xlsx: job 1, the same as a.xlsx, posted once",
        "not posted c.xlsx: job 2, not done",
        "not posted d.xlsx: unreadable",
        f"already there e.xlsx: job 3, as posted on {DAY}",
        "not posted f.xlsx: not done",
        "amended g.xlsx: job 4, revision 2",
        "ledger.sqlite: 1 posted, 1 amended, 1 already there, 1 same job, 3 not posted (2 not done, 1 unreadable)",
    ]
