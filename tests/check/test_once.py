"""A copy in which repeated formulas are written once holds the same formulas, and is reckoned the same."""

from __future__ import annotations

import re
import zipfile
from pathlib import Path

import ironcalc
import pytest
import xlsxwriter
from hypothesis import given, settings
from hypothesis import strategies as st

from sheetgen.check.once import once

ROWS = 12
# By row and the row above, one of each kind that a column may repeat.
KINDS = (
    "=A{row}*2", "=A{row}+A{above}", "=SUM(A$1:A{row})", '="A{row}"&A{row}', '="A7"&A{row}', "=A{row}*50%", "=Q1!A{row}", "='Q 2'!$A${row}",
    "=IF(A{row}>5,A$3,LOG10(A{row}))", "=half*A{row}", '="50%d"&A{row}', '=IF(A{row}<>"","a&b","<")', "=A1",
)  # fmt: skip


def written(path: Path, columns: list[list[str]]) -> Path:
    """Write columns of formulas beside a column of numbers, on a sheet before two others."""
    book = xlsxwriter.Workbook(path)
    sheets = [book.add_worksheet(name) for name in ("Sums", "Q1", "Q 2")]
    book.define_name("half", "=0.5")
    for sheet in sheets:
        sheet.write_column(0, 0, range(1, ROWS + 1))
    for number, column in enumerate(columns, start=1):
        for row, formula in enumerate(column, start=1):
            sheets[0].write_formula(row - 1, number, formula.format(row=row, above=max(1, row - 1)))
    book.close()
    return path


def reckoned(path: Path) -> list[object]:
    model = ironcalc.load_from_xlsx(str(path), "en", "UTC", "en")
    model.evaluate()
    return [model.get_cell_value(0, row, column) for row in range(1, ROWS + 1) for column in range(1, 9)]


def formulas(path: Path) -> list[str]:
    """Return the formulas that are written out on the first sheet."""
    with zipfile.ZipFile(path) as held:
        return re.findall(r"<f[^>]*>([^<]+)</f>", held.read("xl/worksheets/sheet1.xml").decode())


@given(columns=st.lists(st.lists(st.sampled_from(KINDS), min_size=ROWS, max_size=ROWS), min_size=1, max_size=6))
@settings(max_examples=40, deadline=None)
def test_every_cell_is_what_it_was(columns: list[list[str]], tmp_path_factory: pytest.TempPathFactory) -> None:
    """A copy of a workbook holds the same formulas: it is reckoned the same."""
    path = written(tmp_path_factory.mktemp("once") / "book.xlsx", columns)
    with once(path) as copy:
        assert reckoned(copy) == reckoned(path)


@pytest.mark.parametrize("kind", [kind for kind in KINDS if '{row}"' not in kind and "{above}" not in kind])
def test_a_formula_that_is_repeated_is_written_once(kind: str, tmp_path: Path) -> None:
    path = written(tmp_path / "book.xlsx", [[kind] * ROWS])
    with once(path) as copy:
        assert len(formulas(path)) == ROWS
        assert len(formulas(copy)) == (ROWS if kind == "=A1" or kind.endswith("!$A${row}") else 1)


def test_one_cell_that_was_changed_stands_for_itself(tmp_path: Path) -> None:
    path = written(tmp_path / "book.xlsx", [["=A{row}*2"] * 5 + ["=A{row}*2+0"] + ["=A{row}*2"] * (ROWS - 6)])
    with once(path) as copy:
        assert formulas(copy) == ["A1*2", "A6*2+0", "A7*2"]


def test_texts_whose_quotes_are_written_otherwise_are_left_alone(tmp_path: Path) -> None:
    """``"A1"`` in row 1 and ``"A2"`` in row 2 are two texts, whether or not the quotes are seen."""
    path = written(tmp_path / "book.xlsx", [['="A{row}"'] * ROWS])
    other = tmp_path / "other.xlsx"
    with zipfile.ZipFile(path) as held, zipfile.ZipFile(other, "w") as out:
        for name in held.namelist():
            data = held.read(name)
            out.writestr(name, re.sub(rb'<f>"(A\d+)"</f>', rb"<f>&quot;\1&quot;</f>", data) if "sheet1" in name else data)
    with once(other) as copy:
        assert len(formulas(copy)) == len(formulas(other)) == ROWS
        assert reckoned(copy) == reckoned(path)


def test_a_sheet_that_shares_formulas_already_stays_as_it_is(tmp_path: Path) -> None:
    path = written(tmp_path / "book.xlsx", [["=A{row}*2"] * ROWS])
    with once(path) as copy, once(copy) as again, zipfile.ZipFile(copy) as first, zipfile.ZipFile(again) as second:
        assert first.read("xl/worksheets/sheet1.xml") == second.read("xl/worksheets/sheet1.xml")
