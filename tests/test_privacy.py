"""No file of ours tells where it was made, by whom or on which machine, and a report of a fault tells nothing of the job."""

from __future__ import annotations

import datetime as dt
import getpass
import shutil
import socket
import subprocess
import sys
import zipfile
from pathlib import Path

import pytest
from filled_books import LEAST, metric_job

from sheetgen.book.compile import compiled
from sheetgen.book.stamp import Stamp
from sheetgen.build import hand_out
from sheetgen.check.meet import contents_of
from sheetgen.cost import build_cost
from sheetgen.csv_tables import write_csv
from sheetgen.reconcile import reconcile
from sheetgen.sources import workbooks

DAY = dt.date(2026, 3, 2)
SECRET = "the-maker-s-own-folder"


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Return a folder with every kind of file that is made, of good books and bad ones."""
    folder = tmp_path_factory.mktemp(SECRET)
    jobs = folder / "jobs"
    jobs.mkdir()
    made = compiled("bid", "metric", LEAST)
    hand_out(contents_of(made, metric_job()), Stamp.of(made.plan, "a", DAY), jobs / "a.xlsx")
    (jobs / "broken.xlsx").write_bytes((jobs / "a.xlsx").read_bytes()[:9_000])
    (jobs / "text.xlsx").write_text("no workbook")
    compared = reconcile(workbooks([jobs]))
    assert compared.books == 1
    assert len(compared.findings) >= 4
    build_cost(compared, folder / "cost.xlsx", made_on=DAY, book_id="c")
    write_csv(compared, folder / "tables")
    from sheetgen.post import post

    post(workbooks([jobs]), folder / "ledger.sqlite", day=DAY)
    return folder


def texts(path: Path) -> bytes:
    """Return all that a file says: the parts of a workbook, or its bytes."""
    if not zipfile.is_zipfile(path):
        return path.read_bytes()
    with zipfile.ZipFile(path) as archive:
        return b"\n".join([archive.comment, *(info.extra + info.comment + archive.read(info) for info in archive.infolist())])


def words() -> list[str]:
    known = [SECRET, str(Path.home()), getpass.getuser(), socket.gethostname(), str(Path(__file__).parents[1])]
    # A user called "root" or a home at "/" stand in ordinary words.
    return [word for word in known if len(word) > 5]


def test_no_file_tells_where_and_by_whom_it_was_made(folder: Path) -> None:
    made = [path for path in folder.rglob("*") if path.is_file() and path.name not in {"broken.xlsx", "text.xlsx"}]

    found = [(path.name, word) for path in made for word in words() if word.casefold().encode() in texts(path).lower()]

    assert {path.suffix for path in made} == {".xlsx", ".csv", ".sqlite"}
    assert found == []


def test_the_findings_of_the_cost_book_name_the_files_that_were_bad(folder: Path) -> None:
    said = texts(folder / "cost.xlsx")

    assert b"broken.xlsx" in said
    assert b"text.xlsx" in said


def test_the_author_is_never_the_user_of_the_machine(folder: Path) -> None:
    for name in ("jobs/a.xlsx", "cost.xlsx"):
        with zipfile.ZipFile(folder / name) as archive:
            core = archive.read("docProps/core.xml").decode()
        assert "<dc:creator>sheetgen</dc:creator>" in core
        assert "<cp:lastModifiedBy>sheetgen</cp:lastModifiedBy>" in core


@pytest.mark.office
@pytest.mark.skipif(shutil.which("soffice") is None, reason="LibreOffice is not installed")
def test_a_pdf_tells_nothing_either(folder: Path, tmp_path: Path) -> None:
    """Printed by LibreOffice, as a person would hand a proposal out."""
    profile, out = tmp_path / "profile", tmp_path / "out"
    command = ["soffice", f"-env:UserInstallation={profile.as_uri()}", "--headless", "--convert-to", "pdf", "--outdir", str(out)]
    subprocess.run([*command, str(folder / "cost.xlsx")], check=True, capture_output=True, timeout=170)

    said = (out / "cost.pdf").read_bytes()

    assert said.startswith(b"%PDF")
    assert [word for word in words() if word.encode() in said or word.encode("utf-16-be") in said] == []


def test_a_fault_of_ours_says_where_it_is_and_nothing_of_the_job(tmp_path: Path) -> None:
    """The lines are meant to be sent to the makers."""
    code = (
        "import sys\nfrom sheetgen.reader import listing\n"
        "def fault(path): raise KeyError('A. Customer, 12 Any Street')\n"
        "listing.listing = fault\nfrom sheetgen.cli import main\nsys.argv = ['sheetgen', 'fields', 'x.xlsx']\nmain()\n"
    )
    result = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=False)

    assert result.returncode == 3
    assert "sheetgen itself failed: KeyError" in result.stderr
    assert "Customer" not in result.stderr + result.stdout

