"""Sheets that reach too far, hold too much or contradict themselves: each breaks one guard."""

import attrs
import pytest
from hand_made import book_parts, cell, codes, many, refused, said, shared, sheet, write

from sheetgen.reader.gate import inspect
from sheetgen.reader.limits import BOOK
from sheetgen.reader.raw import read_raw

LINKS = book_parts()["xl/_rels/workbook.xml.rels"]
LIMITS = attrs.evolve(BOOK, ratio=10_000)  # so that a small zip can break the other limits


def test_cell_at_the_far_corner(tmp_path):
    path = write(tmp_path, book_parts(cell("<v>1</v>", "XFD1048576")))
    assert codes(path) == {"sheet-columns"}
    assert "16,384, 16,128 over 256" in said(path)


def test_last_row_and_column_that_are_allowed(tmp_path):
    assert inspect(write(tmp_path, book_parts(cell("<v>1</v>", "IV20000")))).tally.cells == 1


@pytest.mark.parametrize(("reference", "code"), [("IW1", "sheet-columns"), ("A20001", "sheet-rows")])
def test_first_row_and_column_that_are_not(tmp_path, reference, code):
    path = write(tmp_path, book_parts(cell("<v>1</v>", reference)))
    assert codes(path) == {code}
    assert " 1 over " in said(path)


def test_column_counted_where_no_reference_is_written(tmp_path):
    path = write(tmp_path, book_parts(sheet("<row>" + "<c/>" * 257 + "</row>")))
    assert codes(path) == {"sheet-columns"}


def test_one_empty_row_far_away_is_harmless(tmp_path):
    """LibreOffice writes an empty row 1048576 behind the data."""
    rows = '<row r="1"><c r="A1"><v>1</v></c></row><row r="1048576" ht="15"/>'
    assert inspect(write(tmp_path, book_parts(sheet(rows)))).tally.cells == 1


def test_many_empty_rows(tmp_path):
    assert codes(write(tmp_path, book_parts(sheet("<row/>" * 20_002)))) == {"sheet-rows"}


def test_too_many_cells_over_all_sheets(tmp_path):
    workbook = book_parts()["xl/workbook.xml"].replace("</sheets>", '<sheet name="Two" sheetId="2" r:id="rId9"/></sheets>')
    links = LINKS.replace("</Rel", '<Relationship Id="rId9" Type="x/worksheet" Target="worksheets/sheet2.xml"/></Rel')
    rows = sheet("<row>" + "<c/>" * 6 + "</row>")
    more = {"xl/workbook.xml": workbook, "xl/_rels/workbook.xml.rels": links, "xl/worksheets/sheet2.xml": rows}
    path = write(tmp_path, book_parts(rows, **more))

    assert inspect(path, attrs.evolve(BOOK, cells=12)).tally.cells == 12
    assert codes(path, attrs.evolve(BOOK, cells=11)) == {"book-cells"}


def test_too_many_merged_ranges(tmp_path):
    merges = "<mergeCells>" + many(5, '<mergeCell ref="A{0}:B{0}"/>') + "</mergeCells>"
    path = write(tmp_path, book_parts(sheet(after=merges)))
    assert codes(path, attrs.evolve(BOOK, merges=4)) == {"book-merges"}
    assert codes(path, attrs.evolve(BOOK, merged_cells=9)) == {"merged-cells"}
    assert inspect(path).tally.merges == 5


@pytest.mark.parametrize(
    "reference", ["A1:XFD1048576", "A1:A20001", "A1:IW1", "", "A1:", "B2:A1", "A0:B1", "nonsense", "A1:AAAA2"]
)
def test_merged_range_that_is_huge_or_none(tmp_path, reference):
    merge = f'<mergeCells><mergeCell ref="{reference}"/></mergeCells>'
    assert codes(write(tmp_path, book_parts(sheet(after=merge)))) == {"merge-range"}


def test_huge_merged_range_within_the_sheet(tmp_path):
    merge = '<mergeCells><mergeCell ref="A1:IV20000"/></mergeCells>'
    assert codes(write(tmp_path, book_parts(sheet(after=merge)))) == {"merged-cells"}


@pytest.mark.parametrize("reference", ["A1:XFD1048576", "x"])
def test_formula_over_a_huge_range(tmp_path, reference):
    formula = f'<f t="array" ref="{reference}">1</f><v>1</v>'
    assert codes(write(tmp_path, book_parts(cell(formula)))) == {"formula-range"}


LONG = "x" * 32_768


@pytest.mark.parametrize(
    ("inside", "kind"),
    [
        (f"<is><t>{LONG}</t></is>", "inlineStr"),
        (f"<is><r><t>{LONG[:20_000]}</t></r><r><t>{LONG[:20_000]}</t></r></is>", "inlineStr"),
        (f"<v>{LONG}</v>", "str"),
        (f"<f>{LONG[:8_193]}</f>", "n"),
        (f"<v>{'1' * 40_000}</v>", "n"),
    ],
)
def test_long_text(tmp_path, inside, kind):
    path = write(tmp_path, book_parts(cell(inside, attributes=f't="{kind}"')))
    assert codes(path, LIMITS) == {"text-long"}
    assert " over " in said(path, LIMITS)


@pytest.mark.parametrize("item", [f"<t>{LONG}</t>", f"<r><t>{LONG[:20_000]}</t></r><r><t>{LONG[:20_000]}</t></r>"])
def test_long_shared_text(tmp_path, item):
    path = write(tmp_path, book_parts(cell("<v>0</v>", attributes='t="s"'), shared("<t>a</t>", item)))
    assert codes(path, LIMITS) == {"text-long"}
    assert "string 2" in refused(path, LIMITS)[0].place


def test_text_as_long_as_excel_allows(tmp_path):
    path = write(tmp_path, book_parts(cell("<v>0</v>", attributes='t="s"'), shared(f"<t>{LONG[1:]}</t>")))
    assert inspect(path, LIMITS).tally.text == 32_768


def test_one_long_text_used_everywhere(tmp_path):
    rows = "<row>" + '<c t="s"><v>0</v></c>' * 100 + "</row>"
    path = write(tmp_path, book_parts(sheet(rows), shared(f"<t>{'x' * 1000}</t>")))
    assert codes(path, attrs.evolve(LIMITS, text_total=90_000)) == {"text-total"}


def test_one_long_formula_shared_everywhere(tmp_path):
    text = "+".join(["A1"] * 400)
    rows = f'<row r="1"><c><f t="shared" si="0" ref="A1:CV1">{text}</f></c>' + '<c><f t="shared" si="0"/></c>' * 99 + "</row>"
    path = write(tmp_path, book_parts(sheet(rows)))
    assert codes(path, attrs.evolve(LIMITS, text_total=90_000)) == {"text-total"}


def test_long_text_outside_of_cells_is_no_cell(tmp_path):
    lists = "<dataValidations>" + f"<a><formula1>{LONG[:30_000]}</formula1></a>" * 3 + "</dataValidations>"
    assert inspect(write(tmp_path, book_parts(sheet(after=lists))), LIMITS).tally.text == 0


@pytest.mark.parametrize("text", ["NaN", "INF", "-inf", "1e999", "1_000", "١٢", "0x10", "twelve", "1,5", " "])
def test_number_that_is_none_or_not_finite(tmp_path, text):
    path = write(tmp_path, book_parts(cell(f"<v>{text}</v>")))
    assert codes(path) == {"number-not-finite"}
    assert refused(path)[0].place.endswith("One!A1")


@pytest.mark.parametrize("text", ["1", "-0.5", "1E-300", "+3.", ".25", "12345678901234567890"])
def test_numbers_as_xml_may_write_them(tmp_path, text):
    assert read_raw(write(tmp_path, book_parts(cell(f"<v>{text}</v>")))).cell("One", 1, 1).value == float(text)


@pytest.mark.parametrize("text", ["1", "-1", "x", "", "0.0", "99999999999999999999"])
def test_shared_text_that_does_not_exist(tmp_path, text):
    assert codes(write(tmp_path, book_parts(cell(f"<v>{text}</v>", attributes='t="s"')))) == {"string-missing"}


def test_shared_text_without_the_part(tmp_path):
    parts = book_parts(cell("<v>0</v>", attributes='t="s"'), **{"xl/sharedStrings.xml": None})
    assert codes(write(tmp_path, parts)) == {"string-missing"}


def test_formula_shared_with_nobody(tmp_path):
    assert codes(write(tmp_path, book_parts(cell('<f t="shared" si="3"/>')))) == {"formula-missing"}


def test_unknown_kind_of_cell(tmp_path):
    assert codes(write(tmp_path, book_parts(cell("<v>1</v>", attributes='t="z"')))) == {"cell-type"}


@pytest.mark.parametrize("kind", ["s", "n", "b"])
def test_text_of_its_own_in_a_cell_of_another_kind(tmp_path, kind):
    path = write(tmp_path, book_parts(cell("<is><t>0</t></is>", attributes=f't="{kind}"')))
    assert codes(path) == {"cell-type"}


@pytest.mark.parametrize(
    "rows",
    [
        '<row r="1"><c r="A1"/><c r="A1"/></row>',
        '<row r="1"><c r="B1"/><c r="A1"/></row>',
        '<row r="1"><c r="A2"/></row>',
        '<row r="2"/><row r="1"/>',
        '<row r="1"/><row r="1"/>',
        '<row r="x"/>',
        '<row r="0"/>',
        '<row r="1" s="x"/>',
        '<row r="1"><c r="a1"/></row>',
        '<row r="1"><c r="$A$1"/></row>',
        '<row r="1"><c r="1"/></row>',
        '<row r="1"><c r="AAAA1"/></row>',
        '<row r="1"><c r=""/></row>',
        '<c r="A1"/>',
        "<row><row/></row>",
        "<row><c><c/></c></row>",
        "<row><c><v>1<b/>2</v></c></row>",
        "<d><row/></d>",
    ],
)
def test_cells_in_the_wrong_place(tmp_path, rows):
    assert codes(write(tmp_path, book_parts(sheet(rows)))) == {"cell-place"}


def test_rows_outside_of_the_cells(tmp_path):
    assert codes(write(tmp_path, book_parts(sheet(before="<cols><row/></cols>")))) == {"cell-place"}


@pytest.mark.parametrize("style", ["x", "", "-1", "1.5"])
def test_style_that_is_no_number(tmp_path, style):
    assert codes(write(tmp_path, book_parts(cell("<v>1</v>", attributes=f's="{style}"')))) == {"style-missing"}
