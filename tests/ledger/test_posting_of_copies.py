"""Copies and relatives: which of them is a job is said, and none counts unseen; many books, and runs that meet or die."""

from __future__ import annotations

import shutil
import signal
import subprocess
import sys
from pathlib import Path

import pytest
from filled_books import DAY, fill_in, metric_job, put
from posted_books import became, headed, only
from postings import small_disk

from sheetgen import pool
from sheetgen.findings import Refused, Severity
from sheetgen.ledger import reading
from sheetgen.post import post, posted
from sheetgen.reconcile import compare

pytestmark = pytest.mark.usefixtures("read_once")

ROOT = Path(__file__).parents[2]


def test_a_copied_book_is_a_job_of_its_own(books: dict[str, Path], ledger: Path, tmp_path: Path) -> None:
    """The same id with another job number."""
    copy = fill_in(books["done"], tmp_path / "copy.xlsx", {"job.number": "D-2"})
    post([books["done"]], ledger, day=DAY)

    outcomes, findings = post([copy], ledger, day=DAY)

    assert [one.became for one in outcomes] == ["posted"]
    found = only(findings, "book-copied")
    assert (found.place, found.severity) == ("copy.xlsx", Severity.LOOK)
    assert "D-1" in found.what
    compared = compare(posted(ledger))
    assert [job["job_number"] for job in compared.tables["jobs"]] == ["D-1", "D-2"]
    assert only(compared.findings, "book-copied").place == "copy.xlsx"


def test_a_number_of_two_books_is_named(books: dict[str, Path], ledger: Path, tmp_path: Path) -> None:
    other = put(headed(metric_job(), number="D-1"), tmp_path / "other.xlsx", "id-other")

    outcomes, findings = post([books["done"], other], ledger, day=DAY)

    assert [one.became for one in outcomes] == ["posted", "posted"]
    found = only(findings, "number-twice")
    assert (found.place, found.severity) == ("other.xlsx", Severity.LOOK)
    assert "done.xlsx" in found.what


def test_the_same_file_under_two_names_is_the_same_job_posted_once(books: dict[str, Path], ledger: Path, tmp_path: Path) -> None:
    again = shutil.copyfile(books["done"], tmp_path / "again.xlsx")

    for first in ("posted", "unchanged"):
        outcomes, _ = post([books["done"], again], ledger, day=DAY)

        assert [(one.became, one.same_as) for one in outcomes] == [(first, None), ("same", str(books["done"]))]
    with reading(ledger) as held:
        assert len(list(held.jobs())) == 1


@pytest.mark.parametrize("amend", ["", "whichever"])
def test_two_books_that_tell_one_job_otherwise_are_both_refused(
    books: dict[str, Path], changed: Path, ledger: Path, tmp_path: Path, amend: str
) -> None:
    """Which is right is not for a program to say, whatever the reason."""
    other = tmp_path / "other.xlsx"
    shutil.copyfile(changed, other)

    outcomes, findings = post([books["done"], books["metric"], other], ledger, day=DAY, amend=amend)

    assert [one.became for one in outcomes] == ["not posted", "posted", "not posted"]
    twice = [one for one in findings if one.code == "job-twice"]
    assert [(one.place, one.severity) for one in twice] == [(str(books["done"]), Severity.ERROR), (str(other), Severity.ERROR)]
    assert str(other) in twice[0].what


def test_workers_post_what_one_process_posts(books: dict[str, Path], tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(pool, "FEW", 3)
    paths = [books["metric"], books["running"], books["done"]]
    told: list[Path] = []

    alone = post(paths, tmp_path / "a" / "ledger.sqlite", day=DAY)
    shared = post(paths, tmp_path / "b" / "ledger.sqlite", day=DAY, processes=2, each=told.append)

    assert shared[0] == alone[0]
    assert [one.code for one in shared[1]] == [one.code for one in alone[1]]
    assert told == paths
    assert compare(posted(tmp_path / "b" / "ledger.sqlite")) == compare(posted(tmp_path / "a" / "ledger.sqlite"))


def command(ledger: Path, *paths: Path, before: str = "") -> subprocess.Popen[str]:
    code = f"import sys; sys.path.insert(0, {str(ROOT)!r}); {before}from sheetgen.cli import main; main()"
    arguments = ["post", "--ledger", str(ledger), *map(str, paths)]
    return subprocess.Popen([sys.executable, "-c", code, *arguments], stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True)


def test_a_posting_that_is_killed_posts_nothing(books: dict[str, Path], ledger: Path) -> None:
    """Killed after the first of two jobs was entered."""
    before = "import time; from sheetgen import ledger; enter = ledger.Ledger.post; "
    before += "ledger.Ledger.post = lambda *one: (enter(*one), print('entered', flush=True), time.sleep(60)); "
    with command(ledger, books["done"], books["metric"], before=before) as run:
        assert run.stdout is not None
        assert run.stdout.readline() == "entered\n"
        run.send_signal(signal.SIGKILL)

    assert became([books["done"], books["metric"]], ledger)[0] == ["posted", "posted"]


def test_two_postings_at_once_both_post(books: dict[str, Path], ledger: Path) -> None:
    runs = [command(ledger, books[name]) for name in ("done", "metric")]

    for run in runs:
        said = run.communicate(timeout=60)
        assert run.returncode == 0, said
    assert sorted(job["job_number"] for job in compare(posted(ledger)).tables["jobs"]) == ["D-1", "M-1"]


def test_a_full_disk_posts_nothing(books: dict[str, Path], ledger: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    post([books["metric"]], ledger, day=DAY)
    before = ledger.read_bytes()
    small_disk(monkeypatch, ledger)

    with pytest.raises(Refused) as caught:
        post([books["done"]], ledger, day=DAY)

    assert [one.code for one in caught.value.findings] == ["ledger-full"]
    assert ledger.read_bytes() == before
