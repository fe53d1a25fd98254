"""Rows, columns and sheets that a person changed in LibreOffice, which moves formulas, names and validations along."""

from __future__ import annotations

import shutil
import subprocess
from pathlib import Path

import pytest
from filled_books import ROWS, done_job, put

from sheetgen.book.compile import compiled
from sheetgen.check.filled import check_filled
from sheetgen.findings import Severity
from sheetgen.reader.filled import Filled, read_filled

OFFICE = shutil.which("soffice") or shutil.which("libreoffice")
PYTHON = "/usr/bin/python3"


def _has_uno() -> bool:
    if OFFICE is None or not Path(PYTHON).exists():
        return False
    return subprocess.run([PYTHON, "-c", "import uno"], capture_output=True, check=False).returncode == 0


pytestmark = [pytest.mark.office, pytest.mark.long, pytest.mark.skipif(not _has_uno(), reason="LibreOffice with Python is not installed")]
PLAN = compiled("bid", "us", ROWS).plan


@pytest.fixture(scope="module")
def book(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return put(done_job(), tmp_path_factory.mktemp("by hand") / "job.xlsx", "by-hand")


def by_hand(book: Path, folder: Path, sheet: str, *acts: str) -> Path:
    goal = folder / "job.xlsx"
    command = [PYTHON, str(Path(__file__).with_name("by_hand.py")), str(OFFICE), str(folder / "profile"), str(book), str(goal), sheet, *acts]
    subprocess.run(command, check=True, timeout=170, capture_output=True)
    return goal


def close(one: Filled, other: Filled) -> None:
    """Assert that the same was typed; LibreOffice saves fifteen digits."""
    for name, column in one.entries.items():
        for before, after in zip(column, other.entries[name], strict=True):
            assert before == (pytest.approx(after, rel=1e-14) if isinstance(after, float) else after), name


def test_rows_and_a_name_changed_by_hand(book: Path, tmp_path: Path) -> None:
    """A row put in above the areas and one taken out of the working columns; the sheet renamed: all is still read."""
    row = PLAN.spot("areas", "first").row + 1

    path = by_hand(book, tmp_path, "Takeoff", "insert-row", str(row + 2), "rename", "Measured")

    filled = read_filled(path)
    assert [(one.code, one.place) for one in filled.findings if one.severity is Severity.LOOK] == [
        ("sheet-renamed", "job.xlsx Takeoff"), ("rows-inserted", f"job.xlsx Measured!{row + 2}:{row + 2}"),
    ]  # fmt: skip
    close(filled, read_filled(book))
    checked = check_filled(path)
    assert {one.code for one in checked.findings if one.severity > Severity.NOTE} == {
        "sheet-renamed", "rows-inserted", "sheet-unprotected", "compared-none",
    }  # fmt: skip
