"""Commands as a person gives them: what is said, the exit code, and that no file is left half done."""

from __future__ import annotations

import json
import re
import shutil
import sqlite3
import subprocess
import sys
from pathlib import Path
from typing import TYPE_CHECKING, Any

import pytest
from click.testing import CliRunner
from filled_books import ROWS, done_job, put, type_into
from jobs import SMALL as OF_JOBS

from sheetgen import __version__, build, jobfile, reconcile
from sheetgen.book.compile import compile_plan, compiled
from sheetgen.book.load import load, template_folder
from sheetgen.book.plan import Plan
from sheetgen.build import Built
from sheetgen.check import filled
from sheetgen.check.book import Checked
from sheetgen.check.compare import Counts
from sheetgen.cli import main
from sheetgen.figures import TABLES
from sheetgen.findings import Finding, Severity

if TYPE_CHECKING:
    from click.testing import Result

README = (Path(__file__).parents[1] / "README.md").read_text(encoding="utf-8")
COMMANDS = ("add", "bid", "carry", "check", "demo", "fields", "log", "post", "proposal", "rates", "reconcile", "take-out", "tune")
SMALL = [f"--rows={name}={count}" for name, count in OF_JOBS.items()]
LOOK = Finding("for-a-test", Severity.LOOK, "Sheet!A1", "is odd", "see to it")
ERROR = Finding("for-a-test", Severity.ERROR, "Sheet!A1", "is wrong", "mend it")


def run(*arguments: object) -> Result:
    return CliRunner().invoke(main, [str(one) for one in arguments])


def codes(text: str) -> list[str]:
    """Return the codes of the findings that were printed as lines; each has a place and says what to do."""
    lines = [line for line in text.splitlines() if re.match(r"(error|look|note) ", line)]
    for line in lines:
        assert re.match(r"(error|look|note) [a-z0-9-]+ [^:]+: .+; .+", line), line
    return [line.split()[1] for line in lines]


@pytest.fixture(scope="module")
def made(tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, dict[str, Any]]:
    """Return a bid book made by its command, and what --json said."""
    path = tmp_path_factory.mktemp("cli") / "new folder" / "kitchen.xlsx"
    job = template_folder("demo") / "bid.toml"
    result = run("bid", path, "--job", job, "--date", "2026-03-02", "--id", "cli-1", *SMALL, "--json")
    assert result.exit_code == 0, result.output
    return path, json.loads(result.stdout)


# Help and usage


def test_help_names_every_command() -> None:
    result = run("--help")

    assert result.exit_code == 0
    assert tuple(main.commands) == tuple(sorted(COMMANDS, key=list(main.commands).index))
    assert [name for name in COMMANDS if f"\n  {name} " not in result.output] == []


@pytest.mark.parametrize("command", COMMANDS)
def test_help_carries_an_example_that_names_its_command(command: str) -> None:
    for flag in ("--help", "-h"):
        result = run(command, flag)

        assert result.exit_code == 0
        assert f"Example: sheetgen {command} " in result.output


@pytest.mark.parametrize("command", COMMANDS)
def test_examples_use_options_that_exist(command: str) -> None:
    example = re.search(r"Example: (.+)", run(command, "--help").output)
    assert example is not None
    known = {name for parameter in main.commands[command].params for name in parameter.opts}

    assert [word for word in example[1].split() if word.startswith("--") and word not in known] == []


def test_the_version_is_that_of_the_package() -> None:
    assert run("--version").output.strip().endswith(__version__)


def test_the_readme_shows_commands_and_options_that_exist() -> None:
    shown = re.findall(r"`sheetgen ([\w-]+)([^`\n]*)`", README)
    assert {command for command, _ in shown} >= {"add", "bid", "check", "reconcile", "fields", "post", "take-out"}

    for command, rest in shown:
        known = {name for parameter in main.commands[command].params for name in parameter.opts}
        assert [word for word in rest.split() if word.startswith("--") and word not in known] == [], command


def test_help_does_not_wait_for_the_heavy_parts() -> None:
    code = "import sys, sheetgen.cli; print([m for m in ('openpyxl', 'xlsxwriter', 'pint', 'numpy', 'ironcalc', 'pandas') if m in sys.modules])"
    result = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)

    assert result.stdout.strip() == "[]"


@pytest.mark.parametrize(
    "arguments",
    [
        ["bid"], ["carry", "x.xlsx"], ["log", "x.xlsx", "--hours", "x.csv"], ["log", "x.xlsx", "--out", "y.xlsx"], ["check"], ["reconcile"], ["fields"], ["post"], ["bids", "x.xlsx"], ["bid", "x.xlsx", "--unit", "us"],
        ["bid", "x.xlsx", "--units", "imperial"], ["bid", "x.xlsx", "--date", "31.5.2026"], ["bid", "x.xlsx", "--rows", "areas"],
        ["bid", "x.xlsx", "--rows", "areas=many"], ["bid", "x.xlsx", "--rows", "areas=-1"],
        ["check", "x.xlsx", "--recalculate", "by-hand"], ["reconcile", "x.xlsx", "--units", "imperial"], ["fields", "a", "b"],
        ["reconcile", "--since-last"], ["reconcile", "x.xlsx", "--ledger", "ledger.sqlite"], ["post", "x.xlsx", "--amend", " "],
        ["add", "x.xlsx"], ["take-out", "x.xlsx"], ["rates"], ["rates", "x.xlsx", "--compare", "a.xlsx", "b.xlsx"],
    ],
)  # fmt: skip
def test_a_wrong_command_line_is_usage(arguments: list[str]) -> None:
    result = run(*arguments)

    assert result.exit_code == 2
    assert "Usage:" in result.stderr
    assert result.stdout == ""


# A fault of ours


@pytest.mark.parametrize("command", COMMANDS)
def test_a_fault_of_ours_says_so(command: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    from sheetgen import carry, demo, log, proposal, rates
    from sheetgen import post as posting
    from sheetgen.host import add, take_out
    from sheetgen.reader import listing

    def fault(*_: object, **__: object) -> None:
        raise KeyError("a table that is not there")

    monkeypatch.setattr(build, "build_bid", fault)
    monkeypatch.setattr(carry, "carry", fault)
    monkeypatch.setattr(log, "log", fault)
    monkeypatch.setattr(rates, "build_rates", fault)
    monkeypatch.setattr(rates, "read_rates", fault)
    monkeypatch.setattr(filled, "check_filled", fault)
    monkeypatch.setattr(reconcile, "reconcile", fault)
    monkeypatch.setattr(posting, "post", fault)
    monkeypatch.setattr(listing, "listing", fault)
    monkeypatch.setattr(demo, "run", fault)
    monkeypatch.setattr(add, "add", fault)
    monkeypatch.setattr(take_out, "take_out", fault)
    monkeypatch.setattr(proposal, "make_proposal", fault)

    out = ["--out", tmp_path / "y.xlsx"] if command in {"add", "carry", "log", "proposal", "take-out"} else []
    more = {
        "demo": [], "log": [tmp_path / "x.xlsx", "--hours", tmp_path / "x.csv"],
        "tune": [tmp_path / "x.xlsx", "--rates", tmp_path / "r.xlsx"],
    }  # fmt: skip

    result = run(command, *more.get(command, [tmp_path / "x.xlsx"]), *out)

    assert result.exit_code == 3
    assert "sheetgen itself failed: KeyError" in result.stderr
    assert "not of your file" in result.stderr
    assert "Traceback" not in result.output


def test_a_reader_that_stops_early_is_no_fault(made: tuple[Path, dict[str, Any]]) -> None:
    """``sheetgen fields book.xlsx | head`` closes the pipe before the end."""
    command = [sys.executable, "-m", "sheetgen.cli", "fields", str(made[0])]
    with subprocess.Popen(command, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True) as process:
        assert process.stdout is not None
        assert process.stderr is not None
        process.stdout.readline()
        process.stdout.close()
        said = process.stderr.read()

    assert "failed" not in said


# What a user can mend


def test_json_of_bid_counts_what_was_compared(made: tuple[Path, dict[str, Any]]) -> None:
    path, said = made

    assert said["book"] == str(path)
    assert said["counts"]["found"] == said["counts"]["recalculated"] >= said["counts"]["compared"] > 1000
    assert [one for one in said["findings"] if one["severity"] == "error"] == []
    assert [one.name for one in path.parent.iterdir()] == ["kitchen.xlsx"]


@pytest.mark.parametrize(
    ("name", "text", "code"),
    [
        ("job.toml", "[job\nname = 'x'", "job-toml"),
        ("job.toml", "[job]\nnam = 'x'", "job-field"),
        ("job.toml", "[[areas]]\nfirst = 'long'\nzone = 'Zone 1'", "job-value"),
        ("job.toml", "[[areas]]\nzone = 'Nowhere'", "job-name"),
        ("areas.csv", "label;first\nHall;2\n", "areas-header"),
        ("areas.csv", "label,first\nHall,long\n", "job-value"),
        ("areas.csv", "", "areas-empty"),
        ("gone.toml", None, "job-file"),
        ("gone.csv", None, "areas-file"),
    ],
)
def test_a_bad_file_is_named_and_the_old_book_stays_whole(tmp_path: Path, name: str, text: str | None, code: str) -> None:
    path, goal = tmp_path / name, tmp_path / "old.xlsx"
    goal.write_bytes(b"the old file")
    if text is not None:
        path.write_text(text, encoding="utf-8")
    option = "--areas" if name.endswith(".csv") else "--job"

    result = run("bid", goal, option, path)

    assert result.exit_code == 1
    assert codes(result.stderr) == [code]
    assert name in result.stderr
    assert result.stdout == ""
    assert goal.read_bytes() == b"the old file"
    assert {one.name for one in tmp_path.iterdir()} <= {"old.xlsx", name}


@pytest.mark.parametrize(
    ("arguments", "code"),
    [
        (["x.pdf"], "output-name"),
        (["x.xlsx", "--rows", "areas=0"], "rows-count"),
        (["x.xlsx", "--rows", "areas=5001"], "rows-count"),
        (["x.xlsx", "--rows", "rooms=5"], "rows-unknown"),
    ],
)
def test_a_book_that_cannot_be_made_is_named(tmp_path: Path, arguments: list[str], code: str) -> None:
    result = run("bid", tmp_path / arguments[0], *arguments[1:])

    assert result.exit_code == 1
    assert codes(result.stderr) == [code]
    assert list(tmp_path.iterdir()) == []


def test_too_many_areas_say_how_to_make_a_larger_book(tmp_path: Path) -> None:
    (tmp_path / "areas.csv").write_text("first,second\n" + "3,4\n" * 61, encoding="utf-8")

    result = run("bid", tmp_path / "x.xlsx", "--areas", tmp_path / "areas.csv")

    assert result.exit_code == 1
    assert "--rows areas=71" in result.stderr
    assert not (tmp_path / "x.xlsx").exists()


@pytest.mark.parametrize(
    ("old", "new"),
    [(r'(?m)^formula = ".*"$', 'formula = "no_such_name * 2"'), (r'(?m)^unit = "area"$', 'unit = "furlong"')],
    ids=["formula", "unit"],
)
def test_a_bad_template_is_named_with_file_and_line(tmp_path: Path, monkeypatch: pytest.MonkeyPatch, old: str, new: str) -> None:
    folder, goal = tmp_path / "bid", tmp_path / "old.xlsx"
    goal.write_bytes(b"the old file")
    shutil.copytree(template_folder("bid"), folder)
    sheet = folder / "03-takeoff.toml"
    text, changed = re.subn(old, lambda _: new, sheet.read_text(encoding="utf-8"), count=1)
    assert changed == 1
    # The line itself, or that of the [[block.field]] to which it belongs.
    line = text[: text.index(new)].count("\n") + 1
    heading = text[: text.rindex("[[block.field]]", 0, text.index(new))].count("\n") + 1
    sheet.write_text(text, encoding="utf-8")
    jobfile.starter("us")
    monkeypatch.setattr(build, "compiled", lambda *_: compile_plan(Plan(load(folder), "us")))

    result = run("bid", goal, "--replace")

    assert result.exit_code == 1, result.output
    found = re.search(r"03-takeoff\.toml:(\d+):\d+", result.stderr)
    assert found is not None
    assert heading <= int(found[1]) <= line
    assert goal.read_bytes() == b"the old file"


@pytest.mark.parametrize("command", ["check", "fields", "post", "reconcile"])
@pytest.mark.parametrize("kind", ["missing", "text", "cut", "foreign"])
def test_a_workbook_that_cannot_be_read_is_named(
    tmp_path: Path, made: tuple[Path, dict[str, Any]], command: str, kind: str
) -> None:
    import openpyxl

    path = tmp_path / "theirs.xlsx"
    if kind == "text":
        path.write_text("label,first\n")
    elif kind == "cut":
        path.write_bytes(made[0].read_bytes()[:5000])
    elif kind == "foreign":
        openpyxl.Workbook().save(path)

    result = run(command, path, *(["--out", tmp_path / "costs.xlsx", "--csv", tmp_path / "t"] if command == "reconcile" else []))

    assert result.exit_code == 1
    assert codes(result.stderr)
    assert "theirs.xlsx" in result.stderr
    assert {one.name for one in tmp_path.iterdir()} <= {"theirs.xlsx"}


@pytest.mark.parametrize(
    ("arguments", "code"),
    [
        (["carry", "there", "--out", "x.xlsx"], "file-folder"), (["fields", "there"], "file-folder"),
        (["bid", "x.xlsx", "--rates", "there"], "file-folder"), (["bid", "x.xlsx", "--job", "there"], "job-file"),
        (["bid", "x.xlsx", "--areas", "there"], "areas-file"), (["bid", "x.xlsx", "--picture", "there"], "picture"),
        (["bid", "there", "--replace"], "output-name"), (["reconcile", "--ledger", "there"], "ledger-open"),
        (["reconcile", "x.xlsx", "--out", "there"], "output-input"),
    ],
)  # fmt: skip
def test_a_folder_where_a_file_is_wanted_is_said_to_be_one(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, arguments: list[str], code: str
) -> None:
    monkeypatch.chdir(tmp_path)
    (tmp_path / "there").mkdir()

    result = run(*arguments)

    assert result.exit_code == 1
    assert codes(result.stderr) == [code]
    assert "folder" in result.stderr
    assert [one.name for one in tmp_path.rglob("*")] == ["there"]


def test_findings_are_json_where_json_is_asked_for(tmp_path: Path) -> None:
    (tmp_path / "job.toml").write_text("[job]\nnam = 'x'\nbid_date = 'soon'")

    for result in (run("bid", tmp_path / "x.xlsx", "--job", tmp_path / "job.toml", "--json"), run("fields", tmp_path / "x", "--json")):
        found = json.loads(result.stdout)["findings"]
        assert result.exit_code == 1
        assert all(set(one) == {"code", "severity", "place", "what", "mend"} and one["mend"] for one in found)
        assert result.stderr == ""


def test_what_a_person_typed_does_not_steer_the_terminal(tmp_path: Path) -> None:
    (tmp_path / "job.toml").write_text('[job]\nstatus = "a\\u009bb"', encoding="utf-8")

    result = run("bid", tmp_path / "x.xlsx", "--job", tmp_path / "job.toml")

    assert result.exit_code == 1
    assert "\x9b" not in result.output


# check, fields, reconcile on a good book


def test_check_counts_every_cell(made: tuple[Path, dict[str, Any]]) -> None:
    result = run("check", made[0], "--json")
    said = json.loads(result.stdout)

    assert said["books"] == [{"book": str(made[0]), "counts": made[1]["counts"]}]
    assert [one for one in said["findings"] if one["severity"] == "error"] == []
    assert result.exit_code == int(any(one["severity"] == "look" for one in said["findings"]))


@pytest.mark.parametrize(
    ("counts", "findings", "code", "words"),
    [
        (Counts(5000, 5000, 4000, 1000), (), 0, "all 5,000 formulas checked, every figure agrees with the independent engine"),
        (Counts(5000, 5000, 4000, 1000), (LOOK,), 1, "all 5,000 formulas checked, every figure agrees with the independent engine"),
        (Counts(5000, 5000, 4000, 1000), (ERROR,), 1, "5,000 formulas checked, and something is wrong, see below"),
        (Counts(5000, 5000, 4000, 990, 10), (), 0, "4,990 of 5,000 formulas agree with the independent engine; the other 10 take over"),
        (Counts(), (LOOK,), 1, "no formula was checked, see below"),
    ],
)
def test_check_says_what_its_counts_say_and_gives_1_where_there_is_something_to_see(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, counts: Counts, findings: tuple[Finding, ...], code: int, words: str
) -> None:
    monkeypatch.setattr(filled, "check_filled", lambda *_: Checked(counts, findings))

    result = run("check", tmp_path / "a.xlsx")

    assert result.exit_code == code
    assert f"{tmp_path / 'a.xlsx'}: {words}" in result.stdout


def test_check_goes_on_after_a_book_that_cannot_be_read(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    real = filled.check_filled
    good = tmp_path / "good.xlsx"
    monkeypatch.setattr(filled, "check_filled", lambda path, program: Checked(Counts(), ()) if path == good else real(path, program))

    result = run("check", tmp_path / "gone.xlsx", good)

    assert result.exit_code == 1
    assert "gone.xlsx" in result.stderr
    assert "good.xlsx" in result.stdout


@pytest.mark.parametrize(("strict", "code"), [([], 0), (["--strict"], 1)])
def test_bid_is_strict_where_it_is_asked(tmp_path: Path, monkeypatch: pytest.MonkeyPatch, strict: list[str], code: int) -> None:
    monkeypatch.setattr(build, "build_bid", lambda _, out, **__: Built(out, Counts(), (LOOK,)))

    result = run("bid", tmp_path / "x.xlsx", *strict)

    assert result.exit_code == code
    assert codes(result.stdout) == ["for-a-test"]


def test_fields_lists_name_cell_label_and_value(made: tuple[Path, dict[str, Any]]) -> None:
    lines = [line.split("\t") for line in run("fields", made[0]).stdout.splitlines()]
    result = run("fields", made[0], "--json")
    fields = {one["name"]: one for one in json.loads(result.stdout)["fields"]}

    assert result.exit_code == 0
    assert {len(line) for line in lines if not line[0].startswith(("note ", "look "))} == {6}
    assert ["job.number", "input", "D-101"] in [[line[0], line[2], line[-1]] for line in lines]
    assert fields["job.number"]["value"] == "D-101"
    assert fields["takeoff.waste"]["value"] == 0.08
    assert re.fullmatch(r"[A-Z]+\d+", fields["areas.first[1]"]["cell"])


def test_every_field_that_a_job_file_takes_is_listed(made: tuple[Path, dict[str, Any]]) -> None:
    """Field names are those that ``sheetgen fields`` prints, and the two words that name a pair."""
    import tomllib

    said = json.loads(run("fields", made[0], "--json").stdout)["fields"]
    listed = {re.sub(r"\[\d+\]", "", one["name"]) for one in said}
    job = tomllib.loads((template_folder("demo") / "bid.toml").read_text(encoding="utf-8"))
    used = {
        f"{block}.{name}"
        for block, held in job.items()
        for record in (held if isinstance(held, list) else [held])
        for name in record
    }

    assert used - listed == {"slab.zone", "slab.criterion"}


def test_reconcile_makes_tables_and_a_cost_book(made: tuple[Path, dict[str, Any]], tmp_path: Path) -> None:
    out, tables = tmp_path / "costs.xlsx", tmp_path / "tables"
    arguments = ["reconcile", made[0], "--out", out, "--csv", tables, "--date", "2026-03-02", "--id", "c"]

    result = run(*arguments, "--json")
    first = out.read_bytes()
    again = run(*arguments)

    said = json.loads(result.stdout)
    assert (result.exit_code, again.exit_code) == (0, 0)
    assert said["made"] == [*(str(tables / f"{name}.csv") for name in (*TABLES, "unread")), str(out)]
    assert [one["job_number"] for one in said["tables"]["jobs"]] == ["D-101"]
    assert "above 0 is over" in again.stdout
    assert out.read_bytes() == first


def test_reconcile_is_strict_where_it_is_asked(made: tuple[Path, dict[str, Any]], tmp_path: Path) -> None:
    shutil.copyfile(made[0], tmp_path / "copy.xlsx")

    loose, strict = run("reconcile", made[0], tmp_path / "copy.xlsx"), run("reconcile", made[0], tmp_path / "copy.xlsx", "--strict")

    assert (loose.exit_code, strict.exit_code) == (0, 1)
    assert "look book-twice copy.xlsx" in loose.stdout


def test_reconcile_makes_its_book_and_names_the_one_that_was_left_out(made: tuple[Path, dict[str, Any]], tmp_path: Path) -> None:
    (tmp_path / "bad.xlsx").write_bytes(b"PK\x03\x04")

    result = run("reconcile", tmp_path / "bad.xlsx", made[0], "--csv", tmp_path / "t")

    assert result.exit_code == 1
    assert "error book-left-out bad.xlsx" in result.stderr
    assert (tmp_path / "t" / "jobs.csv").exists()


def test_reconcile_never_writes_over_a_book_that_it_reads(made: tuple[Path, dict[str, Any]], tmp_path: Path) -> None:
    mine = tmp_path / "mine.xlsx"
    shutil.copyfile(made[0], mine)

    result = run("reconcile", mine, "--out", mine)

    assert result.exit_code == 1
    assert codes(result.stderr) == ["output-input"]
    assert mine.read_bytes() == made[0].read_bytes()


def test_a_folder_without_workbooks_is_named(tmp_path: Path) -> None:
    for command in ("check", "post", "reconcile"):
        result = run(command, tmp_path)

        assert result.exit_code == 1
        assert codes(result.stderr) == ["folder-empty"]


def test_a_book_that_is_there_is_not_replaced_unless_asked(tmp_path: Path) -> None:
    """A filled book is not lost because the same command was given again."""
    goal = tmp_path / "garage.xlsx"
    goal.write_bytes(b"filled for months")

    result = run("bid", goal)

    assert result.exit_code == 1
    assert "output-there" in result.output
    assert goal.read_bytes() == b"filled for months"
    assert run("bid", goal, "--replace").exit_code == 0
    assert goal.read_bytes()[:2] == b"PK"


@pytest.mark.parametrize("source", ["files", "ledger"])
def test_the_cost_book_never_takes_the_place_of_another_book(
    made: tuple[Path, dict[str, Any]], closed: Path, tmp_path: Path, source: str
) -> None:
    """Not even of one that is not read."""
    mine, ledger = tmp_path / "mine.xlsx", tmp_path / "ledger.sqlite"
    shutil.copyfile(made[0], mine)
    run("post", closed, "--ledger", ledger)

    result = run("reconcile", *([closed] if source == "files" else ["--ledger", ledger]), "--out", mine)

    assert result.exit_code == 1
    assert codes(result.stderr) == ["output-input"]
    assert mine.read_bytes() == made[0].read_bytes()


# post, and reconcile from a ledger


@pytest.fixture(scope="module")
def closed(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return put(done_job(), tmp_path_factory.mktemp("closed") / "done.xlsx", "id-done")


def test_post_records_closed_jobs_and_says_which(made: tuple[Path, dict[str, Any]], closed: Path, tmp_path: Path) -> None:
    ledger = tmp_path / "ledger.sqlite"

    first = run("post", closed, made[0], "--ledger", ledger, "--date", "2026-03-02")
    again = run("post", closed, "--ledger", ledger)

    assert (first.exit_code, again.exit_code) == (0, 0)
    assert f"posted {closed}: job D-1\n" in first.stdout
    assert f"not posted {made[0]}: job D-101, not done\n" in first.stdout
    assert f"{ledger}: 1 posted, 1 not posted (1 not done)\n" in first.stdout
    assert codes(first.stdout) == ["ledger-new", "job-open"]
    assert again.stdout == f"already there {closed}: job D-1, as posted on 2026-03-02\n{ledger}: 1 already there\n"


def test_post_shows_what_was_changed_and_asks_why(closed: Path, tmp_path: Path) -> None:
    ledger = tmp_path / "ledger.sqlite"
    changed = type_into(closed, tmp_path / "done.xlsx", {"takeoff.waste": 0.125})
    run("post", closed, "--ledger", ledger, "--date", "2026-03-02")

    refused = run("post", changed, "--ledger", ledger)
    amended = run("post", changed, "--ledger", ledger, "--amend", "  measured\nagain ", "--date", "2026-04-01")

    cell = compiled("bid", "us", ROWS).plan.spot("takeoff", "waste").cell().a1
    assert (refused.exit_code, amended.exit_code) == (1, 0)
    assert refused.stdout == (
        f"not posted {changed}: job D-1, changed\n"
        f"    {cell} Waste of topping (takeoff.waste): 8 %, now 12.5 %\n"
        f"{ledger}: 1 not posted (1 changed)\n"
    )
    assert codes(refused.stderr) == ["job-changed"]
    assert f"amended {changed}: job D-1, revision 2\n" in amended.stdout
    assert "amended on 2026-04-01: measured again" in run("reconcile", "--ledger", ledger).stdout


def test_post_is_strict_where_it_is_asked(made: tuple[Path, dict[str, Any]], tmp_path: Path) -> None:
    arguments = ["post", made[0], "--ledger", tmp_path / "ledger.sqlite"]

    assert (run(*arguments).exit_code, run(*arguments, "--strict").exit_code) == (0, 1)


def test_json_of_post_tells_what_became_of_each_book(closed: Path, tmp_path: Path) -> None:
    ledger = tmp_path / "ledger.sqlite"
    changed = type_into(closed, tmp_path / "done.xlsx", {"takeoff.waste": 0.125})
    run("post", closed, "--ledger", ledger, "--date", "2026-03-02")

    result = run("post", changed, "--ledger", ledger, "--json")

    said = json.loads(result.stdout)
    assert result.exit_code == 1
    assert said["ledger"] == str(ledger)
    (book,) = said["books"]
    (change,) = book.pop("changes")
    assert book == {
        "book": str(changed), "became": "not posted", "why": "changed", "same_as": None, "book_id": "id-done", "job_number": "D-1", "job_name": "Done", "revision": 1,
        "posted_on": "2026-03-02",
    }  # fmt: skip
    assert (change["field"], change["before"], change["after"]) == ("takeoff.waste", "8 %", "12.5 %")
    assert [one["code"] for one in said["findings"]] == ["job-changed"]


def test_the_ledger_stands_beside_the_first_book_unless_it_is_named(closed: Path, tmp_path: Path) -> None:
    for name in ("a", "b"):
        (tmp_path / name).mkdir()
        shutil.copyfile(closed, tmp_path / name / "done.xlsx")

    run("post", tmp_path / "a", tmp_path / "b" / "done.xlsx")
    run("post", tmp_path / "b" / "done.xlsx")

    assert {path.relative_to(tmp_path).as_posix() for path in tmp_path.rglob("ledger*")} == {"a/ledger.sqlite", "b/ledger.sqlite"}


def test_reconcile_makes_its_outputs_from_a_ledger(closed: Path, tmp_path: Path) -> None:
    ledger, tables = tmp_path / "ledger.sqlite", tmp_path / "tables"
    run("post", closed, "--ledger", ledger)

    result = run("reconcile", "--ledger", ledger, "--out", tmp_path / "costs.xlsx", "--csv", tables, "--id", "c")
    read = run("reconcile", closed, "--csv", tmp_path / "read")

    assert (result.exit_code, read.exit_code) == (0, 0)
    assert (tmp_path / "costs.xlsx").exists()
    for path in tables.iterdir():
        assert path.read_bytes() == (tmp_path / "read" / path.name).read_bytes()


def test_reconcile_shows_what_changed_since_its_last_run(closed: Path, tmp_path: Path) -> None:
    book, out = tmp_path / "done.xlsx", tmp_path / "made" / "costs.xlsx"
    arguments = ["reconcile", book, "--out", out, "--since-last"]
    shutil.copyfile(closed, book)

    first = run(*arguments, "--date", "2026-03-16")
    same = run(*arguments, "--date", "2026-03-23")
    type_into(closed, book, {"job.status": "closed"})
    changed = run(*arguments, "--date", "2026-03-30", "--json")
    since = json.loads(changed.stdout)["since"]

    assert [one.exit_code for one in (first, same, changed)] == [0, 0, 0]
    assert f"remembered in {out.parent / 'ledger.sqlite'}" in first.stdout
    assert "Nothing changed since the run of 2026-03-16" in same.stdout
    assert (since["day"], since["new"], since["gone"]) == ("2026-03-23", [], [])
    assert [(one["column"], one["before"], one["after"]) for one in since["changes"]] == [("status", "done", "closed")]
    assert "since" not in json.loads(run("reconcile", book, "--json").stdout)


def test_a_run_whose_output_failed_is_not_remembered(closed: Path, tmp_path: Path) -> None:
    ledger = tmp_path / "ledger.sqlite"
    (tmp_path / "file").write_text("not a folder")

    failed = run("reconcile", closed, "--ledger", ledger, "--since-last", "--csv", tmp_path / "file")

    assert failed.exit_code == 1
    assert "no earlier run" in run("reconcile", closed, "--ledger", ledger, "--since-last").stdout


def test_outputs_are_named_though_the_ledger_fails(closed: Path, tmp_path: Path) -> None:
    (tmp_path / "ledger.sqlite").write_text("mine " * 50)

    result = run("reconcile", closed, "--since-last", "--out", tmp_path / "costs.xlsx")

    assert result.exit_code == 1
    assert f"made {tmp_path / 'costs.xlsx'}" in result.stdout
    assert codes(result.stderr) == ["ledger-foreign"]
    assert (tmp_path / "ledger.sqlite").read_text() == "mine " * 50


@pytest.mark.parametrize("command", [["post"], ["reconcile", "--since-last"], ["reconcile"]])
def test_a_ledger_of_a_newer_version_is_named(closed: Path, tmp_path: Path, command: list[str]) -> None:
    ledger = tmp_path / "ledger.sqlite"
    run("post", closed, "--ledger", ledger)
    with sqlite3.connect(ledger) as connection:
        connection.execute("PRAGMA user_version = 99")
    connection.close()
    before = ledger.read_bytes()

    result = run(*command, *([closed] if command != ["reconcile"] else []), "--ledger", ledger)

    assert result.exit_code == 1
    assert codes(result.stderr) == ["ledger-newer"]
    assert "use the newer sheetgen" in result.stderr
    assert ledger.read_bytes() == before
