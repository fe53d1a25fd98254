"""Posting: closed jobs once, changes only with a reason, old figures kept; and the ledger gives the tables that the books gave."""

from __future__ import annotations

import datetime as dt
import shutil
import signal
import subprocess
import sys
from pathlib import Path
from typing import TYPE_CHECKING, Any

import attrs
import pytest
from filled_books import DAY, ROWS, done_job, metric_job, put, running_job, type_into
from test_ledger import small_disk

from sheetgen import figures, pool, show
from sheetgen import post as posting
from sheetgen import reconcile as reconciles
from sheetgen.book.compile import compiled
from sheetgen.book.stamp import Stamp
from sheetgen.book.write import write
from sheetgen.book_figures import Read
from sheetgen.check.meet import contents_of_tables
from sheetgen.check.office import resave
from sheetgen.csv_tables import write_csv
from sheetgen.figures import TABLES, Figures, columns
from sheetgen.findings import Finding, Refused, Severity
from sheetgen.ledger import reading, writing
from sheetgen.post import Outcome, post, posted
from sheetgen.reconcile import compare, reconcile
from sheetgen.version import __version__

if TYPE_CHECKING:
    from collections.abc import Sequence

    from sheetgen.engine.job import Job

ROOT = Path(__file__).parents[1]
LATER = dt.date(2026, 4, 1)


@pytest.fixture(scope="module")
def books(tmp_path_factory: pytest.TempPathFactory) -> dict[str, Path]:
    folder = tmp_path_factory.mktemp("jobs")
    return {
        "done": put(done_job(), folder / "done.xlsx", "id-done"),
        "metric": put(metric_job(), folder / "metric.xlsx", "id-metric"),
        "running": put(running_job(), folder / "running.xlsx", "id-running"),
    }


@pytest.fixture
def ledger(tmp_path: Path) -> Path:
    return tmp_path / "ledger.sqlite"


def headed(job: Job, **heading: Any) -> Job:
    return attrs.evolve(job, job=attrs.evolve(job.job, **heading))


def became(paths: Sequence[Path], ledger: Path, amend: str = "", day: dt.date = DAY) -> tuple[list[str], list[str]]:
    """Post, and return what became of the books, and the codes of what was found."""
    outcomes, findings = post(paths, ledger, day=day, amend=amend)
    return [one.became for one in outcomes], [one.code for one in findings]


def only(findings: tuple[Finding, ...], code: str) -> Finding:
    (found,) = [one for one in findings if one.code == code]
    return found


# Once, and only what is closed


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
def test_a_job_that_is_not_closed_is_not_posted(ledger: Path, tmp_path: Path, status: str | None) -> None:
    book = put(headed(done_job(), status=status), tmp_path / "x.xlsx", "id")

    outcomes, findings = post([book], ledger, day=DAY)

    assert [one.became for one in outcomes] == ["not posted"]
    found = only(findings, "job-open")
    assert (found.place, found.severity) == ("x.xlsx", Severity.LOOK)
    assert f"'{status or ''}'" in found.what
    assert not ledger.exists()


def test_a_job_without_a_number_is_not_posted(ledger: Path, tmp_path: Path) -> None:
    book = put(headed(done_job(), number=None), tmp_path / "x.xlsx", "id")

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
    waste = type_into(books["done"], tmp_path / "waste.xlsx", {"takeoff.waste": 0.2})
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


# Changed after posting

CHANGES = {
    "areas.first[2]": 21.25,
    "job.site": "Behind the mill",
    "job.status": "closed",
    "takeoff.waste": 0.125,
    "hours_log.date[1]": dt.datetime(2026, 3, 12),  # noqa: DTZ001 - a cell has no zone
    "hours_log.people[2]": None,
    "hours_log.note[14]": "no work, rain",
}


@pytest.fixture(scope="module")
def changed(books: dict[str, Path], tmp_path_factory: pytest.TempPathFactory) -> Path:
    return type_into(books["done"], tmp_path_factory.mktemp("changed") / "done.xlsx", CHANGES)


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


# No longer closed


def test_a_posted_job_that_is_open_again_is_a_change(books: dict[str, Path], ledger: Path, tmp_path: Path) -> None:
    """And not a job that was never closed: its figures would stay in every total and nobody would know."""
    reopened = type_into(books["done"], tmp_path / "done.xlsx", {"job.status": "running"})
    post([books["done"]], ledger, day=DAY)

    (outcome,), findings = post([reopened], ledger, day=LATER)

    assert [one.code for one in findings] == ["job-changed"]
    assert [(one.field, one.before, one.after) for one in outcome.changes] == [("job.status", "'done'", "'running'")]


def test_a_posted_job_is_taken_out_with_a_reason_and_put_back(books: dict[str, Path], ledger: Path, tmp_path: Path) -> None:
    reopened = type_into(books["done"], tmp_path / "done.xlsx", {"job.status": "running"})
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
    older = type_into(books["running"], tmp_path / "older.xlsx", {"takeoff.waste": 0.2})

    assert became([books["running"], older], ledger) == (["not posted", "not posted"], ["job-open", "job-open"])


def test_an_older_copy_that_still_runs_does_not_take_a_job_out(books: dict[str, Path], ledger: Path, tmp_path: Path) -> None:
    older = type_into(books["done"], tmp_path / "older.xlsx", {"job.status": "running"})

    for _ in range(2):
        assert became([books["done"], older], ledger, amend="why not")[0] == ["not posted", "not posted"]
        post([books["done"]], ledger, day=DAY)
    assert [job["job_number"] for job in compare(posted(ledger)).tables["jobs"]] == ["D-1"]


# Copies


def test_a_copied_book_is_a_job_of_its_own(books: dict[str, Path], ledger: Path, tmp_path: Path) -> None:
    """The same id with another job number."""
    copy = type_into(books["done"], tmp_path / "copy.xlsx", {"job.number": "D-2"})
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


# The ledger instead of the books


@pytest.mark.parametrize("system", ["us", "metric", None])
@pytest.mark.parametrize("first", ["done", "metric"])
def test_the_ledger_gives_the_tables_that_the_books_gave(
    books: dict[str, Path], ledger: Path, tmp_path: Path, system: Any, first: str
) -> None:
    paths = [books[first], books["metric" if first == "done" else "done"]]
    post(paths, ledger, day=DAY)

    held, read = compare(posted(ledger), system=system), reconcile(paths, system=system)

    assert (held.system, held.tables, held.findings) == (read.system, read.tables, read.findings)
    for one, other in zip(write_csv(held, tmp_path / "held"), write_csv(read, tmp_path / "read"), strict=True):
        assert one.read_bytes() == other.read_bytes()


def test_a_column_that_came_later_is_not_known_of_what_was_posted_before(
    books: dict[str, Path], ledger: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Tables grow; figures are held by the names of their columns."""
    post([books["done"]], ledger, day=DAY)
    grown = {**TABLES, "jobs": (("margin", "money"), *TABLES["jobs"]), "weather": (("reading", "temperature"),)}
    for module in (figures, reconciles):
        monkeypatch.setattr(module, "TABLES", grown)

    compared = compare(posted(ledger))

    (job,) = compared.tables["jobs"]
    assert tuple(job) == columns("jobs")
    assert job["margin"] is None
    assert job["hours_actual"] == reconcile([books["done"]]).tables["jobs"][0]["hours_actual"]
    assert compared.tables["weather"] == ()


def test_a_ledger_as_of_a_day_is_what_was_posted_by_then(books: dict[str, Path], changed: Path, ledger: Path) -> None:
    post([books["done"]], ledger, day=DAY)
    post([changed], ledger, day=LATER, amend="measured")
    post([books["metric"]], ledger, day=LATER)

    then, now = compare(posted(ledger, DAY)), compare(posted(ledger, LATER))

    assert [one["job_number"] for one in then.tables["jobs"]] == ["D-1"]
    assert then.tables == reconcile([books["done"]]).tables
    assert [one["job_number"] for one in now.tables["jobs"]] == ["D-1", "M-1"]
    with pytest.raises(Refused) as caught:
        list(posted(ledger, DAY - dt.timedelta(days=1)))
    assert caught.value.findings[0].code == "ledger-empty"
    assert str(DAY - dt.timedelta(days=1)) in caught.value.findings[0].what


def test_an_empty_ledger_says_so(ledger: Path) -> None:
    with writing(ledger):
        pass

    with pytest.raises(Refused) as caught:
        compare(posted(ledger))
    assert [one.code for one in caught.value.findings] == ["ledger-empty"]


# Many books, and runs that meet or die


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
