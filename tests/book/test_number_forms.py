"""Numbers written for a reader: fractions, no needless zeros, signs; in a book by its conditions, on a page value by value."""

from __future__ import annotations

import subprocess
from pathlib import Path
from shutil import which

import openpyxl
import pytest
from minibook import Mini, block

from sheetgen.book.number_forms import cases, condition, form_of, plain_form
from sheetgen.book.template import Field, Where

ROWS = [0.125, 0.0625, 0.1875, 0.03125, 1.0, 1.5, 0.13]


def field(unit: str, form: str) -> Field:
    return Field("x", "formula", unit, "x", Where("x.toml", 1), form=form)


@pytest.mark.parametrize(
    ("value", "form"),
    [
        (0.125, "# ?/?"), (0.75, "# ?/?"), (1.5, "# ?/?"),
        (0.0625, "# ??/??"), (0.1875, "# ??/??"), (0.03125, "# ??/??"), (0.09375, "# ??/??"), (2.0625, "# ??/??"),
        (1.0, "0"), (0.0, "0"),
        # Not a whole number of thirty-seconds.
        (0.13, "0.0###"), (1 / 3, "0.0###"), (0.015625, "0.0###"),
    ],
)  # fmt: skip
def test_a_size_in_inches_is_a_fraction_where_it_is_one(value: float, form: str) -> None:
    assert form_of(field("depth", "fraction"), "us", value) == form
    assert form_of(field("inch", "fraction"), "metric", value) in {form, "0.##"}


@pytest.mark.parametrize(("value", "form"), [(3.0, "0"), (1.5, "0.0###"), (0.125, "0.0###")])
def test_millimetres_have_no_needless_zeros(value: float, form: str) -> None:
    assert form_of(field("depth", "fraction"), "metric", value) == form


@pytest.mark.parametrize(
    ("unit", "value", "form"),
    [("hour", 24.0, "#,##0"), ("hour", 1.5, "#,##0.00"), ("share", 0.3, "0%"), ("share", 0.07, "0%"), ("share", 0.333, "0.0%")],
)
def test_whole_numbers_have_no_decimals(unit: str, value: float, form: str) -> None:
    assert form_of(field(unit, "short"), "us", value) == form


def test_a_signed_number_shows_plus_and_minus_and_zero_neither() -> None:
    assert form_of(field("money", "signed"), "us", 475.0) == '+#,##0.00;"−"#,##0.00;#,##0.00'
    assert cases(field("money", "signed"), "us") == ()


def test_words_and_blanks_keep_the_plain_form() -> None:
    one = field("depth", "fraction")

    assert form_of(one, "us", None) == form_of(one, "us", "") == plain_form(one) == "0.0###"


def test_a_book_follows_its_numbers_by_conditions(mini: Mini) -> None:
    book = mini.sums(block("x", "rows", "n: depth", "m: depth = n + n; form = 'fraction'", "o: money = p; form = 'signed'", "p: money", rows=7))
    made = book.recalculated({("x.n", row): value for row, value in enumerate(ROWS)})
    sheet = openpyxl.load_workbook(made.path)["Sums"]

    (group,) = sheet.conditional_formatting
    first = made.plan.spot("x", "m").row + 1
    assert str(group.sqref) == f"B{first}:B{first + 6}"
    assert [one.formula[0] for one in group.rules] == [condition(case, f"B{first}")[1:] for case in cases(field("depth", "fraction"), "us")]
    assert [one.dxf.numFmt.formatCode for one in group.rules] == ["0", "# ?/?", "# ??/??"]
    assert [one.stopIfTrue for one in group.rules] == [True] * 3
    assert sheet.cell(first, 3).number_format == '+#,##0.00;"−"#,##0.00;#,##0.00'


@pytest.mark.office
@pytest.mark.skipif(which("soffice") is None or which("pdftotext") is None, reason="LibreOffice or poppler is not installed")
def test_libreoffice_writes_the_fractions(mini: Mini, tmp_path: Path) -> None:
    mini.sums(block("x", "rows", "n: depth; kind = 'posted'", "m: depth = n; form = 'fraction'; width = 12", rows=8))
    made = mini.recalculated({("x.n", row): value for row, value in enumerate(ROWS)})
    profile = (tmp_path / "profile").as_uri()
    command = ["soffice", f"-env:UserInstallation={profile}", "--headless", "--convert-to", "pdf", "--outdir", str(tmp_path), str(made.path)]
    subprocess.run(command, check=True, capture_output=True, timeout=170)

    text = subprocess.run(["pdftotext", "-layout", tmp_path / "book.pdf", "-"], check=True, capture_output=True, text=True).stdout
    for said in ("1/8", "1/16", "3/16", "1/32", "1 1/2", "0.13"):
        assert any(line.split()[1:] == said.split() for line in text.splitlines()), said
