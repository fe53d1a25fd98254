"""LibreOffice as second witness; skipped where it is not installed."""

from __future__ import annotations

import hashlib
import shutil
import sys
from pathlib import Path

import pytest

sys.path.insert(0, str(Path(__file__).parents[1] / "check"))

from saved import saved

from sheetgen.check.office import recalculated_books, resave
from sheetgen.check.recalculate import recalculate, recalculate_all
from sheetgen.check.values import CellError, agree
from sheetgen.findings import Refused

office = pytest.mark.skipif(
    not (shutil.which("soffice") or shutil.which("libreoffice")), reason="LibreOffice is not installed"
)
# Every stored value is wrong; a value that is right was worked out.
CELLS = {
    "A1": 2.0, "A2": 3.0, "A3": "'=not a formula", "A4": 4.35,
    "B1": ("=A1*3", 999), "B2": ("=B1+1", 999), "B3": ('=A3&"!"', "wrong"), "B4": ("=A1>1", False),
    "B5": ('=IF(A9="","",A9)', 999), "B6": ("=1/(A1-A1)", 999), "B7": ("=SUMPRODUCT((A1:A2>A1)*A1:A2)", 999),
    "B8": ("=ROUND(ROUND(A4*A2/A1,6),2)", 999), "B9": ('=IFERROR(MATCH(A2,A1:A2,0),"")', 999),
    "B10": ("=SUM(the_list)", 999), "B11": ('=TEXT(A1,"0.00")', "wrong"),
}  # fmt: skip
NAMES = {"the_list": "='Take off'!$A$1:$A$2"}


@pytest.fixture
def book(tmp_path):
    return saved(tmp_path / "-a book.xlsx", {"Take off": CELLS}, NAMES)


@office
@pytest.mark.office
def test_stored_values_are_not_trusted(book):
    before = hashlib.sha256(book.read_bytes()).hexdigest()
    found = recalculate(book, "libreoffice")["Take off"]

    assert [found[row, 2] for row in range(1, 12)] == [
        6.0, 7.0, "=not a formula!", True, None, CellError("#DIV/0!"), 3.0, 6.53, 2.0, 5.0, "2.00",
    ]  # fmt: skip
    assert isinstance(found[6, 2], CellError)
    assert hashlib.sha256(book.read_bytes()).hexdigest() == before


@office
@pytest.mark.office
def test_both_programs_agree(book):
    ironcalc, libreoffice = (recalculate(book, program)["Take off"] for program in ("ironcalc", "libreoffice"))

    assert ironcalc.keys() == libreoffice.keys()
    for where, value in ironcalc.items():
        assert agree(value, libreoffice[where]) or isinstance(value, CellError), where


@office
@pytest.mark.office
def test_many_workbooks_of_one_name_share_one_run(tmp_path):
    paths = []
    for number in range(1, 5):
        (tmp_path / str(number)).mkdir()
        paths.append(saved(tmp_path / str(number) / "bid.xlsx", {"S": {"A1": float(number), "B1": ("=A1*2", 0)}}))

    assert [found["S"][1, 2] for found in recalculate_all(paths, "libreoffice")] == [2.0, 4.0, 6.0, 8.0]


@office
@pytest.mark.office
def test_names_and_locks_outlive_a_save_by_libreoffice(book):
    (again,) = recalculated_books([book])

    assert again.names["the_list"].replace("$'", "'") == "'Take off'!$A$1:$A$2"
    assert again.locked("Take off", 1, 2)


@office
@pytest.mark.office
def test_too_long_a_run_is_a_finding(book, tmp_path):
    with pytest.raises(Refused, match="office-slow LibreOffice"):
        resave([book], tmp_path, timeout_s=0.05)


@office
@pytest.mark.office
def test_a_file_that_cannot_be_read_is_a_finding(tmp_path):
    path = tmp_path / "a.xlsx"
    path.write_bytes(b"PK\x03\x04 no zip")

    with pytest.raises(Refused, match=r"office-refused a\.xlsx"):
        resave([path], tmp_path / "out")


def test_a_missing_program_is_a_finding(book, tmp_path):
    with pytest.raises(Refused, match="office-missing LibreOffice"):
        resave([book], tmp_path, program="no-such-office")


def test_a_missing_program_is_a_finding_on_an_empty_path(book, tmp_path, monkeypatch):
    monkeypatch.setenv("PATH", "")

    with pytest.raises(Refused, match="install LibreOffice"):
        resave([book], tmp_path)
