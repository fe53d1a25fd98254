"""The invented example runs from blank book to comparison, and is the same every time."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest
from click.testing import CliRunner

from sheetgen import build, demo
from sheetgen.check.book import Checked
from sheetgen.check.compare import Counts
from sheetgen.cli import main

if TYPE_CHECKING:
    from pathlib import Path

    from click.testing import Result

FILES = (
    "1-blank-bid-metric.xlsx", "1-blank-bid.xlsx", "2-filled-for-the-bid.xlsx", "2-page-for-the-customer.xlsx", "3-done-with-log.xlsx",
    "4-cost-book.xlsx", "5-rate-book.xlsx",
    "tables/hours.csv", "tables/jobs.csv", "tables/materials.csv", "tables/other_costs.csv", "tables/progress.csv",
    "tables/toppings.csv", "tables/unread.csv",
)  # fmt: skip


@pytest.fixture(scope="module")
def told(tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, Result]:
    """Return the folder of a demo that was run by its command, and what it said."""
    folder = tmp_path_factory.mktemp("demo")
    return folder, CliRunner().invoke(main, ["demo", "--out", str(folder)], catch_exceptions=False)


def files(folder: Path) -> dict[str, bytes]:
    return {path.relative_to(folder).as_posix(): path.read_bytes() for path in folder.rglob("*") if path.is_file()}


def test_the_demo_exits_0_and_makes_its_files(told: tuple[Path, Result]) -> None:
    folder, result = told

    assert result.exit_code == 0, result.output
    assert tuple(sorted(files(folder))) == FILES
    assert "error" not in result.output


def test_the_demo_says_that_it_is_invented_and_names_each_file(told: tuple[Path, Result]) -> None:
    folder, result = told

    assert result.stdout.startswith("Everything in this example is invented")
    assert [name for name in FILES if f"made {folder / name}" not in result.stdout] == []


def test_the_demo_shows_hours_that_were_logged(told: tuple[Path, Result]) -> None:
    """38.5 h is the sum of people times hours over the lines of templates/demo/log.toml."""
    jobs = (told[0] / "tables" / "jobs.csv").read_text(encoding="utf-8").splitlines()
    row = dict(zip(jobs[0].split(","), jobs[1].split(","), strict=True))

    assert row["hours_actual"] == "38.5"
    assert row["status"] == "done"
    assert "38.50" in told[1].stdout


def test_the_demo_writes_the_same_bytes_again(told: tuple[Path, Result], tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Same inputs, date and id → byte-identical file; the checks, which write nothing, are left out the second time."""
    passed = Checked(Counts(1, 1, 1, 0), ())
    monkeypatch.setattr(build, "check_file", lambda *_: passed)
    monkeypatch.setattr(demo, "check_filled", lambda *_: passed)

    demo.run(tmp_path, lambda _: None)

    again = files(tmp_path)
    assert [name for name, content in files(told[0]).items() if again.get(name) != content] == []
    assert len(again) == len(FILES)
