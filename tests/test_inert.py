"""What a person typed is data in every output: no program runs it, no terminal obeys it, and none of it is lost."""

from __future__ import annotations

import csv
import datetime as dt
import json
from pathlib import Path

import attrs
import openpyxl
import pytest
from click.testing import CliRunner, Result
from filled_books import LEAST, metric_job

from sheetgen.book.compile import compiled
from sheetgen.book.stamp import Stamp
from sheetgen.build import hand_out
from sheetgen.carry import carry
from sheetgen.check.meet import contents_of
from sheetgen.cli import main
from sheetgen.engine.job import Job
from sheetgen.engine.records import HoursEntry
from sheetgen.reader.filled import read_filled

DAY = dt.date(2026, 3, 2)
ROWS = {**LEAST, "hours_log": 40}
# Texts that some program takes for a formula, a command, mark-up or a control sequence; none has outer or doubled spaces.
CORPUS = (
    "=1+1", "=cmd|' /C calc'!A0", "+1+1", "-1+1", "@SUM(1,2)", '=HYPERLINK("http://x","y")', "'=1", "''", "'", '"', '""', "=", "+", "-", "@",
    "a;b", "a,b", "a|b", 'a"b', "{=1}", "{1;2}", "#REF!", "#N/A", "TRUE", "1/2", "1e3", "007", "0x10", "1,250", "5 %", "2026-03-31", "12:30",
    "[red]x[/red]", "[/]", "[link=http://x]y[/link]", ":smile:", "%s %d {0} {name}", "$HOME `id` $(id)", "<b>x</b>", "<!-- x -->", "&amp; & <",
    "]]>", "_x0041_", "_x000D_", "\\n \\0 \\u0041", "../../etc/passwd", "C:\\x", "DROP TABLE jobs; --", "null", "None", "NaN", "é ß ñ 漢字 🧱", "אב",
)  # fmt: skip
# What is left out when it is read: characters that nobody sees and that steer terminals or turn the direction of a text.
CONTROL = ("\x1b[2Jx", "a\x9bb", "\u202eevil", "a\u200bb", "a\x07b", "\x1b]0;x\x07")


def job_of_corpus() -> Job:
    """Return a job whose notes, persons and names are the corpus."""
    base = metric_job()
    place = next(task.name for task in base.tasks if task.name == "Place")
    texts = [*CORPUS[: ROWS["hours_log"]]]
    people = [*CORPUS[ROWS["hours_log"] :], *CORPUS]
    log = tuple(HoursEntry(date=DAY, task=place, hours_each=1.0, person=who, note=text) for text, who in zip(texts, people, strict=False))
    products = tuple(attrs.evolve(one, account=text) for one, text in zip(base.products, CORPUS, strict=False))
    return attrs.evolve(
        base, hours_log=log, products=(*products, *base.products[len(products) :]), job=attrs.evolve(base.job, name=CORPUS[1], customer=CORPUS[5])
    )


@pytest.fixture(scope="module")
def book(tmp_path_factory: pytest.TempPathFactory) -> Path:
    path = tmp_path_factory.mktemp("inert") / "job.xlsx"
    made = compiled("bid", "metric", ROWS)
    hand_out(contents_of(made, job_of_corpus()), Stamp.of(made.plan, "inert", DAY), path)
    return path


def run(*arguments: object) -> Result:
    return CliRunner().invoke(main, [str(one) for one in arguments])


def typed(path: Path) -> list[object]:
    entries = read_filled(path).entries
    held = [*entries["hours_log", "note"], *entries["hours_log", "person"], *entries["products", "account"], *entries["job", "name"]]
    return [one for one in held if one is not None]


def test_workbooks_hold_every_text_as_a_text(book: Path, tmp_path: Path) -> None:
    """The bid, the book that is carried from it, and the cost book; read by a library that is not ours."""
    carry(book, tmp_path / "carried.xlsx", made_on=DAY)
    assert run("reconcile", book, "--out", tmp_path / "cost.xlsx", "--csv", tmp_path / "tables").exit_code == 0

    assert set(CORPUS) <= set(typed(book))
    assert typed(tmp_path / "carried.xlsx") == typed(book)
    for path, wanted in ((book, set(CORPUS)), (tmp_path / "carried.xlsx", set(CORPUS)), (tmp_path / "cost.xlsx", {CORPUS[1]})):
        cells = [cell for sheet in openpyxl.load_workbook(path) for row in sheet.iter_rows() for cell in row]
        # As the file has it: a text that looks like a formula has the type of a text.
        assert wanted <= {cell.value for cell in cells if cell.data_type in {"s", "inlineStr"}}
        assert not [cell for cell in cells if cell.data_type == "f" and str(cell.value) in wanted]


def test_csv_has_no_cell_that_a_program_would_run(book: Path, tmp_path: Path) -> None:
    run("reconcile", book, "--csv", tmp_path)

    seen = set()
    for path in tmp_path.glob("*.csv"):
        with path.open(encoding="utf-8", newline="") as file:
            for row in csv.DictReader(file):
                texts = {name: cell for name, cell in row.items() if cell and not _is_number(cell)}
                assert not [cell for cell in texts.values() if cell.startswith(("=", "+", "-", "@", "\t", "\r"))]
                seen |= {cell.removeprefix("'") for cell in texts.values()}
    assert {CORPUS[1], "=1+1"} <= seen


def _is_number(text: str) -> bool:
    try:
        float(text)
    except ValueError:
        return False
    return True


def test_the_terminal_shows_every_text_as_it_is(book: Path) -> None:
    """Mark-up is not obeyed, and no character steers."""
    result = run("fields", book)

    assert result.exit_code == 0
    shown = {cell for line in result.stdout.splitlines() for cell in line.split("\t")}
    assert {text.replace("\t", " ") for text in CORPUS} <= shown
    for said in (result.output, run("reconcile", book).output, run("check", book).output):
        assert not [letter for letter in said if not (letter.isprintable() or letter in {"\n", "\t"})]


def test_json_gives_every_text_back(book: Path) -> None:
    fields = json.loads(run("fields", book, "--json").stdout)["fields"]

    assert set(CORPUS) <= {one["value"] for one in fields}
    assert json.loads(run("reconcile", book, "--json").stdout)["tables"]["jobs"][0]["job_name"] == CORPUS[1]


@pytest.mark.parametrize("text", CONTROL)
def test_what_nobody_sees_is_left_out_and_said(book: Path, tmp_path: Path, text: str) -> None:
    from sheetgen.reader.cell_text import as_text
    from sheetgen.reader.cells import RawCell

    found = as_text(RawCell(text, "text"))

    assert found.note == "invisible characters were left out"
    assert str(found.value).isprintable()
