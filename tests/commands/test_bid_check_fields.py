"""A good book: made, checked, listed; what is said agrees with the counts, and the exit code with the findings."""

from __future__ import annotations

import json
import re
from pathlib import Path
from typing import Any

import pytest
from command_line import ERROR, LOOK, codes, run

from sheetgen import build
from sheetgen.book.load import template_folder
from sheetgen.build import Built
from sheetgen.check import filled
from sheetgen.check.book import Checked
from sheetgen.check.compare import Counts
from sheetgen.findings import Finding


def test_json_of_bid_counts_what_was_compared(made: tuple[Path, dict[str, Any]]) -> None:
    path, said = made

    assert said["book"] == str(path)
    assert said["counts"]["found"] == said["counts"]["recalculated"] >= said["counts"]["compared"] > 1000
    assert [one for one in said["findings"] if one["severity"] == "error"] == []
    assert [one.name for one in path.parent.iterdir()] == ["kitchen.xlsx"]


@pytest.mark.parametrize(("strict", "code"), [([], 0), (["--strict"], 1)])
def test_bid_is_strict_where_it_is_asked(tmp_path: Path, monkeypatch: pytest.MonkeyPatch, strict: list[str], code: int) -> None:
    monkeypatch.setattr(build, "build_bid", lambda _, out, **__: Built(out, Counts(), (LOOK,)))

    result = run("bid", tmp_path / "x.xlsx", *strict)

    assert result.exit_code == code
    assert codes(result.stdout) == ["for-a-test"]


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
