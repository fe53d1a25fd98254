"""A job that was changed after it was posted: only with a reason, and the old figures stay."""

from __future__ import annotations

from pathlib import Path

import attrs
import pytest
from filled_books import DAY, ROWS, fill_in, metric_job, put
from posted_books import CHANGES, LATER, became, headed, only

from sheetgen import post as posting
from sheetgen.book.compile import compiled
from sheetgen.book_figures import Read
from sheetgen.figures import Figures
from sheetgen.findings import Severity
from sheetgen.ledger import reading
from sheetgen.post import post, posted
from sheetgen.reconcile import compare, reconcile
from sheetgen.version import __version__

pytestmark = pytest.mark.usefixtures("read_once")


def test_a_changed_book_is_shown_field_by_field_and_refused(books: dict[str, Path], changed: Path, ledger: Path) -> None:
    post([books["done"]], ledger, day=DAY)
    before = ledger.read_bytes()

    (outcome,), findings = post([changed], ledger, day=LATER)

    assert (outcome.became, outcome.revision, outcome.posted_on) == ("not posted", 1, DAY)
    assert {one.field: (one.before, one.after) for one in outcome.changes} == {
        "areas.first[2]": ("19 ft", "21.25 ft"),
        "job.site": ("'Lantern Point, Saltmarsh Cove'", "'Behind the mill'"),
        "job.status": ("'done'", "'closed'"),
        "takeoff.waste": ("8 %", "12.5 %"),
        "hours_log.date[1]": ("2026-03-09", "2026-03-12"),
        "hours_log.people[2]": ("1", "blank"),
        "hours_log.note[14]": ("blank", "'no work, rain'"),
    }
    (area,) = [one for one in outcome.changes if one.field == "areas.first[2]"]
    assert (area.place, area.label) == (compiled("bid", "us", ROWS).plan.spot("areas", "first").cell(1).a1, "Size 1")
    found = only(findings, "job-changed")
    assert (found.place, found.severity) == ("done.xlsx", Severity.ERROR)
    assert str(DAY) in found.what
    assert '--amend "why"' in found.mend
    assert ledger.read_bytes() == before


def test_a_reason_posts_it_anew_and_the_old_figures_stay(books: dict[str, Path], changed: Path, ledger: Path) -> None:
    post([books["done"], books["metric"]], ledger, day=DAY)

    outcomes, findings = post([books["metric"], changed], ledger, day=LATER, amend="the hall was measured again")

    assert [(one.became, one.revision, one.posted_on) for one in outcomes] == [("unchanged", 1, DAY), ("amended", 2, LATER)]
    assert len(outcomes[1].changes) == len(CHANGES)
    assert findings == ()
    with reading(ledger) as held:
        old, new = held.history("id-done", "D-1")
    assert (old.revision, old.day, old.reason) == (1, DAY, "")
    assert (new.revision, new.day, new.reason) == (2, LATER, "the hall was measured again")
    assert old.posting.content["entries"]["takeoff.waste"] == [0.08]
    assert new.posting.content["entries"]["takeoff.waste"] == [0.125]
    assert compare(posted(ledger)).tables["jobs"] == reconcile([changed, books["metric"]]).tables["jobs"]
    assert old.posting.tables["jobs"] == list(reconcile([books["done"]]).tables["jobs"])


def test_an_amended_job_says_so_in_the_comparison(books: dict[str, Path], changed: Path, ledger: Path) -> None:
    post([books["done"]], ledger, day=DAY)
    post([changed], ledger, day=LATER, amend="the hall was measured again")

    found = only(compare(posted(ledger)).findings, "job-amended")

    assert found.severity is Severity.NOTE
    assert found.what == f"job D-1 was amended on {LATER}: the hall was measured again"


def test_a_reason_without_a_change_is_a_note(books: dict[str, Path], ledger: Path) -> None:
    post([books["done"]], ledger, day=DAY)

    assert became([books["done"]], ledger, amend="why not") == (["unchanged"], ["amend-none"])
    assert became([books["metric"]], ledger, amend="why not") == (["posted"], ["amend-none"])


def test_a_book_that_goes_back_to_what_it_was_is_another_amendment(books: dict[str, Path], changed: Path, ledger: Path) -> None:
    post([books["done"]], ledger, day=DAY)
    post([changed], ledger, day=LATER, amend="measured again")

    assert became([books["done"]], ledger) == (["not posted"], ["job-changed"])
    assert became([books["done"]], ledger, amend="the first was right") == (["amended"], [])


def test_another_unit_system_is_a_change(books: dict[str, Path], ledger: Path, tmp_path: Path) -> None:
    metric = put(headed(metric_job(), number="D-1"), tmp_path / "done.xlsx", "id-done")
    post([books["done"]], ledger, day=DAY)

    (outcome,), _ = post([metric], ledger, day=LATER)

    shown = {one.field: (one.before, one.after) for one in outcome.changes}
    assert shown["units"] == ("us", "metric")
    assert shown["areas.first[1]"] == ("16 ft", "5 m")
    assert shown["areas.first_in[1]"] == ("4", "blank")


def test_the_same_entries_with_other_figures_are_a_note(books: dict[str, Path], ledger: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A newer engine computes otherwise: what was posted stays, and that is said."""
    post([books["done"]], ledger, day=DAY)
    before = ledger.read_bytes()
    real = posting.figures_of

    def dearer(book: Read) -> Figures:
        made = real(book)
        return attrs.evolve(made, tables={**made.tables, "jobs": ({**made.head, "cost": made.head["cost"] + 1.0},)})

    monkeypatch.setattr(posting, "figures_of", dearer)
    for amend in ("", "another reason"):
        outcomes, findings = post([books["done"]], ledger, day=LATER, amend=amend)

        assert [one.became for one in outcomes] == ["unchanged"]
        found = only(findings, "figures-other")
        assert found.severity is Severity.NOTE
        assert found.what == f"gives other figures than were posted on {DAY} by sheetgen {__version__}, 1 in all"
    assert ledger.read_bytes() == before


def test_a_posted_job_that_is_open_again_is_a_change(books: dict[str, Path], ledger: Path, tmp_path: Path) -> None:
    """And not a job that was never closed: its figures would stay in every total and nobody would know."""
    reopened = fill_in(books["done"], tmp_path / "done.xlsx", {"job.status": "running"})
    post([books["done"]], ledger, day=DAY)

    (outcome,), findings = post([reopened], ledger, day=LATER)

    assert [one.code for one in findings] == ["job-changed"]
    assert [(one.field, one.before, one.after) for one in outcome.changes] == [("job.status", "'done'", "'running'")]


def test_a_posted_job_is_taken_out_with_a_reason_and_put_back(books: dict[str, Path], ledger: Path, tmp_path: Path) -> None:
    reopened = fill_in(books["done"], tmp_path / "done.xlsx", {"job.status": "running"})
    post([books["done"], books["metric"]], ledger, day=DAY)

    assert became([reopened], ledger, amend="rework in the hall") == (["amended"], [])
    assert became([reopened], ledger) == (["unchanged"], [])
    assert [job["job_number"] for job in compare(posted(ledger)).tables["jobs"]] == ["M-1"]
    with reading(ledger) as held:
        assert held.history("id-done", "D-1")[0].posting.tables["jobs"][0]["status"] == "done"
    assert became([books["done"]], ledger, amend="rework is done") == (["amended"], [])
    assert [job["job_number"] for job in compare(posted(ledger)).tables["jobs"]] == ["D-1", "M-1"]


def test_an_open_job_that_was_never_posted_is_no_error(books: dict[str, Path], ledger: Path) -> None:
    post([books["done"]], ledger, day=DAY)

    assert became([books["running"]], ledger, amend="whatever") == (["not posted"], ["job-open", "amend-none"])


def test_two_open_books_of_one_job_are_only_open(books: dict[str, Path], ledger: Path, tmp_path: Path) -> None:
    older = fill_in(books["running"], tmp_path / "older.xlsx", {"takeoff.waste": 0.2})

    assert became([books["running"], older], ledger) == (["not posted", "not posted"], ["job-open", "job-open"])


def test_an_older_copy_that_still_runs_does_not_take_a_job_out(books: dict[str, Path], ledger: Path, tmp_path: Path) -> None:
    older = fill_in(books["done"], tmp_path / "older.xlsx", {"job.status": "running"})

    for _ in range(2):
        assert became([books["done"], older], ledger, amend="why not")[0] == ["not posted", "not posted"]
        post([books["done"]], ledger, day=DAY)
    assert [job["job_number"] for job in compare(posted(ledger)).tables["jobs"]] == ["D-1"]
