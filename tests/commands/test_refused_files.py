"""What a user can mend is named with its file, the exit code is 1, and no file is left half done."""

from __future__ import annotations

import json
import re
import shutil
from pathlib import Path
from typing import Any

import pytest
from command_line import codes, run

from sheetgen import build, jobfile
from sheetgen.book.compile import compile_plan
from sheetgen.book.load import load, template_folder
from sheetgen.book.plan import Plan


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
