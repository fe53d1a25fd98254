"""What the raw reader makes of parts as programs write them, and as the standard allows."""

import datetime as dt
import os

import openpyxl
import pytest
import xlsxwriter
from hand_made import MAIN, RELATIONS, book_parts, cell, relationships, shared, sheet, write
from hypothesis import given
from hypothesis import strategies as st

from sheetgen.findings import Refused
from sheetgen.reader.gate import inspect
from sheetgen.reader.limits import HOST
from sheetgen.reader.raw import RawCell, read_raw
from sheetgen.reader.text import unescape


def read_cell(tmp_path, inside, attributes="", strings=None, **more):
    return read_raw(write(tmp_path, book_parts(cell(inside, "B3", attributes), strings, **more))).cell("One", 3, 2)


# Values


@pytest.mark.parametrize(
    ("inside", "attributes", "expected"),
    [
        ("<v>1.5</v>", "", RawCell(1.5, "number")),
        ("<v>1.5</v>", 't="n" s="2"', RawCell(1.5, "number", style=2)),
        ("<v>45000</v>", 's="1"', RawCell(45000.0, "number", is_date=True, style=1)),
        ("<v>45000</v>", 's="3"', RawCell(45000.0, "number", is_date=True, style=3)),
        ("<v>0</v>", 't="s"', RawCell("word", "text")),
        ("<v>0</v>", 't="s" s="1"', RawCell("word", "text", style=1)),
        ("<v>1</v>", 't="b"', RawCell(True, "bool")),
        ("<v>0</v>", 't="b"', RawCell(False, "bool")),
        ("<v>#N/A</v>", 't="e"', RawCell("#N/A", "error")),
        ("<v>2026-03-31</v>", 't="d"', RawCell(46112.0, "number", is_date=True)),
        ("<v>2026-03-31T12:00:00Z</v>", 't="d"', RawCell(46112.5, "number", is_date=True)),
        ("<v>soon</v>", 't="d"', RawCell("soon", "text")),
        ("<is><t>in line</t></is>", 't="inlineStr"', RawCell("in line", "text")),
        ("<is><r><t>in</t></r><r><t>line</t></r></is>", 't="inlineStr"', RawCell("inline", "text")),
        ("<f>A1*2</f><v>4</v>", "", RawCell(4.0, "number", "A1*2")),
        ('<f>A1&amp;"x"</f><v> x </v>', 't="str"', RawCell(" x ", "text", 'A1&"x"')),
        ('<f>""</f><v></v>', 't="str"', RawCell("", "text", '""')),
        ("<f>A1=1</f><v>1</v>", 't="b"', RawCell(True, "bool", "A1=1")),
        ("<f>1/0</f><v>#DIV/0!</v>", 't="e"', RawCell("#DIV/0!", "error", "1/0")),
        ("<f>A1*2</f>", "", RawCell(None, "blank", "A1*2")),
        ("<f>A1*2</f>", 't="str"', RawCell(None, "blank", "A1*2")),
        ("<f>A1*2</f><v></v>", "", RawCell(None, "blank", "A1*2")),
        ('<f t="array" ref="B3:B4">A1:A2*2</f><v>4</v>', "", RawCell(4.0, "number", "A1:A2*2", array=True)),
        ('<f t="dataTable" ref="B3:B4" r1="A1" r2="A2"/><v>4</v>', "", RawCell(4.0, "number", "TABLE(A1,A2)", array=True)),
        ("", 's="2"', RawCell(None, "blank", style=2)),
        ("", 't="s"', RawCell(None, "blank")),
        ("<!-- a --><v>1<!-- b -->2</v>", "", RawCell(12.0, "number")),
        ("<v><![CDATA[12]]></v>", "", RawCell(12.0, "number")),
        ("<v>1</v><extLst><ext/></extLst>", "", RawCell(1.0, "number")),
    ],
)
def test_what_a_cell_holds(tmp_path, inside, attributes, expected):
    assert read_cell(tmp_path, inside, attributes) == expected


@pytest.mark.parametrize(
    ("item", "expected"),
    [
        ("<t>plain</t>", "plain"),
        ("<t/>", ""),
        ("", ""),
        ('<t xml:space="preserve"> kept </t>', " kept "),
        ("<t> dropped\n</t>", "dropped"),
        ("<t>a\xa0b\xa0</t>", "a\xa0b\xa0"),
        ('<r><rPr><b/></rPr><t xml:space="preserve">bold </t></r><r><t>plain</t></r>', "bold plain"),
        ('<t>課</t><rPh sb="0" eb="1"><t>カ</t></rPh><phoneticPr fontId="1"/>', "課"),
        ("<t>two_x000D_\nlines</t>", "two\r\nlines"),
        ("<t>_x005F_x000D_</t>", "_x000D_"),
        ("<t>a_x00_b</t>", "a_x00_b"),
        ("<t>_xD83D__xDE00_</t>", "😀"),
        ("<t>_xD83D_</t>", "\ufffd"),
        ("<t>=SUM(A1)</t>", "=SUM(A1)"),
        ("<t>&lt;b&gt; &amp; &#233;</t>", "<b> & é"),
    ],
)
def test_shared_text(tmp_path, item, expected):
    assert read_cell(tmp_path, "<v>0</v>", 't="s"', shared(item)).value == expected


def test_the_writers_escape_comes_back(tmp_path):
    words = ["_x0041_", "a\rb", " outer ", "two\nlines", "tab\there", "", "=1+1", "½ × 3 ft", "\u00a0"]
    path = tmp_path / "book.xlsx"
    book = xlsxwriter.Workbook(path, {"strings_to_formulas": False})
    one = book.add_worksheet("One")
    for row, word in enumerate(words):
        one.write_string(row, 0, word)
    book.close()

    raw = read_raw(path)
    assert words == [(raw.cell("One", row, 1) or RawCell("", "text")).value or "" for row in range(1, len(words) + 1)]


@given(st.text(alphabet="_xX0123456789abcdefABCDEF\r\n ü", max_size=30))
def test_undoing_escapes_undoes_what_a_writer_did(word):
    written = "".join(
        "_x005F_" if word[i] == "_" and word[i + 1 : i + 2] == "x" else "_x000D_" if word[i] == "\r" else word[i]
        for i in range(len(word))
    )
    assert word == unescape(written)


def test_places_where_none_are_written(tmp_path):
    """Both r attributes may be left out; a cell then stands after the one before it."""
    rows = '<row><c><v>1</v></c><c r="D1"><v>2</v></c><c><v>3</v></c></row><row r="5"><c><v>4</v></c></row><row><c><v>5</v></c></row>'
    raw = read_raw(write(tmp_path, book_parts(sheet(rows))))

    found = {place: one.value for place, one in raw.sheets[0].cells.items()}
    assert found == {(1, 1): 1, (1, 4): 2, (1, 5): 3, (5, 1): 4, (6, 1): 5}


def test_date_system_of_1904(tmp_path):
    workbook = book_parts()["xl/workbook.xml"].replace("<sheets>", '<workbookPr date1904="1"/><sheets>')
    raw = read_raw(write(tmp_path, book_parts(cell("<v>1904-01-02</v>", attributes='t="d"'), **{"xl/workbook.xml": workbook})))

    assert raw.date1904
    assert raw.cell("One", 1, 1).value == 1.0


# Formulas


def test_shared_formulas_become_each_cells_own(tmp_path):
    rows = (
        '<row r="1"><c r="A1"><v>1</v></c><c r="B1"><f t="shared" ref="B1:C2" si="0">A1*$A$1+SUM(A$1:$A1)</f><v>2</v></c>'
        '<c r="C1"><f t="shared" si="0"/><v>3</v></c></row>'
        '<row r="2"><c r="B2"><f t="shared" si="0"/><v>4</v></c><c r="C2"><f t="shared" si="1" ref="C2">C1&amp;"A1"</f></c>'
        '<c r="D2"><f t="shared" si="1"/></c></row>'
    )
    raw = read_raw(write(tmp_path, book_parts(sheet(rows))))

    found = {place: one.formula for place, one in raw.sheets[0].cells.items() if one.formula}
    assert found == {
        (1, 2): "A1*$A$1+SUM(A$1:$A1)",
        (1, 3): "B1*$A$1+SUM(B$1:$A1)",
        (2, 2): "A2*$A$1+SUM(A$1:$A2)",
        (2, 3): 'C1&"A1"',
        (2, 4): 'D1&"A1"',
    }


# Styles


def test_formats_locks_and_default_styles(tmp_path):
    rows = '<row r="1" s="2" customFormat="1"><c r="A1"><v>1</v></c></row><row r="2" s="2"/>'
    raw = read_raw(write(tmp_path, book_parts(sheet(rows, '<cols><col min="2" max="3" style="2"/></cols>'))))

    assert raw.formats == ("General", "yyyy\\-mm\\-dd", "0.00", "mm-dd-yy")
    assert raw.unlocked_styles == {2}
    assert raw.locked("One", 1, 1)
    assert not raw.locked("One", 1, 9)  # the style of the row
    assert not raw.locked("One", 2, 3)  # the style of the column; that of row 2 does not count
    assert raw.locked("One", 2, 4)
    assert raw.locked("nowhere", 1, 1)


def test_style_beyond_the_list(tmp_path):
    with pytest.raises(Refused, match="style-missing"):
        read_cell(tmp_path, "<v>1</v>", 's="4"')


def test_without_styles_and_strings(tmp_path):
    assert read_cell(tmp_path, "<v>1</v>", **{"xl/styles.xml": None, "xl/sharedStrings.xml": None}) == RawCell(1.0, "number")


# Where parts are, and what else a book says


def test_unusual_names_and_targets(tmp_path):
    parts = book_parts(cell("<v>7</v>"))
    moved = {
        "_rels/.rels": relationships(("a", "officeDocument", "/Book/My%20main.xml")),
        "Book/My main.xml": parts["xl/workbook.xml"],
        "Book/_rels/My main.xml.rels": relationships(
            ("rId1", "worksheet", "/odd/../sheets/FIRST.xml"), ("s", "styles", "./st.xml")
        ),
        "sheets/first.XML": parts["xl/worksheets/sheet1.xml"],
        "Book/st.xml": parts["xl/styles.xml"],
        "[Content_Types].xml": parts["[Content_Types].xml"].replace("/xl/workbook.xml", "/Book/My main.xml"),
        **{name: None for name in parts if name.startswith("xl/")},
    }
    raw = read_raw(write(tmp_path, book_parts(**moved)))

    assert (raw.cell("One", 1, 1).value, raw.sheets[0].part, len(raw.formats)) == (7.0, "sheets/first.XML", 4)


def test_the_strict_dialect(tmp_path):
    strict = "http://purl.oclc.org/ooxml"
    dialect = {MAIN: f"{strict}/spreadsheetml/main", RELATIONS: f"{strict}/officeDocument/relationships"}
    parts = book_parts(cell("<v>2026-03-31</v>", attributes='t="d" s="1"'))
    for old, new in dialect.items():
        parts = {name: part.replace(old, new) for name, part in parts.items()}

    assert read_raw(write(tmp_path, parts)).cell("One", 1, 1) == RawCell(46112.0, "number", is_date=True, style=1)


def test_cells_of_another_namespace_are_none(tmp_path):
    part = cell("<v>1</v>").replace("<v>1</v>", '<x:v xmlns:x="urn:other">9</x:v>')
    assert read_raw(write(tmp_path, book_parts(part))).cell("One", 1, 1) == RawCell(None, "blank")


def test_prefixed_elements(tmp_path):
    part = f'<x:worksheet xmlns:x="{MAIN}"><x:sheetData><x:row><x:c t="s"><x:v>0</x:v></x:c></x:row></x:sheetData></x:worksheet>'
    strings = f'<y:sst xmlns:y="{MAIN}"><y:si><y:r><y:t>far</y:t></y:r></y:si></y:sst>'
    assert read_raw(write(tmp_path, book_parts(part, strings))).cell("One", 1, 1).value == "far"


def test_sheets_names_and_properties(tmp_path):
    path = tmp_path / "book.xlsx"
    book = xlsxwriter.Workbook(path)
    first = book.add_worksheet("It's first")
    first.write_number("A1", 5)
    chart = book.add_chart({"type": "line"})
    chart.add_series({"values": "='It''s first'!$A$1:$A$2"})
    book.add_chartsheet("Picture").set_chart(chart)
    second = book.add_worksheet("Second")
    second.protect()
    second.hide()
    book.add_worksheet("Third").very_hidden()
    book.define_name("waste", "='It''s first'!$A$1")
    book.define_name("Second!own", "=Second!$A$1")
    book.set_properties({"title": "A bid", "author": "the firm"})
    book.set_custom_property("kind", "bid")
    book.set_custom_property("rows", 12)
    book.close()
    raw = read_raw(path)

    assert [(one.name, one.state, one.protected) for one in raw.sheets] == [
        ("It's first", "visible", False),
        ("Second", "hidden", True),
        ("Third", "veryHidden", False),
    ]
    assert raw.inspected.tabs == ("It's first", "Picture", "Second", "Third")
    assert raw.names == {"waste": "'It''s first'!$A$1"}
    assert raw.sheet_names == {"Second": {"own": "Second!$A$1"}}
    assert (raw.core["title"], raw.core["creator"]) == ("A bid", "the firm")
    assert raw.custom == {"kind": "bid", "rows": "12"}
    assert raw.application == "Microsoft Excel"
    assert raw.sheet("it's FIRST").cells[1, 1].value == 5.0
    assert raw.sheet("Picture") is None
    assert raw.cell("Picture", 1, 1) is None


def test_what_openpyxl_writes_comes_back(tmp_path):
    path = tmp_path / "book.xlsx"
    book = openpyxl.Workbook()
    one = book.active
    one.title = "One"
    one["A1"], one["B1"], one["C1"] = dt.datetime(2026, 3, 31, 6), "a\u00a0name", True  # noqa: DTZ001 - sheets know no zone
    one["D1"] = "=A1+1"
    book.save(path)
    raw = read_raw(path)

    assert raw.cell("One", 1, 1)[:4] == (46112.25, "number", None, True)
    assert raw.cell("One", 1, 2).value == "a\u00a0name"
    assert raw.cell("One", 1, 3)[:2] == (True, "bool")
    assert raw.cell("One", 1, 4)[:3] == (None, "blank", "A1+1")


def test_a_host_is_read_with_its_connections_untouched(tmp_path):
    path = write(tmp_path, book_parts(cell("<v>1</v>"), **{"xl/connections.xml": "not XML"}))
    assert read_raw(path, HOST).cell("One", 1, 1).value == 1.0


def test_odd_numbers_outside_of_cells_do_no_harm(tmp_path):
    columns = '<cols><col min="x" max="" style="2"/><col min="2" max="3" style="99999999999"/></cols>'
    raw = read_raw(write(tmp_path, book_parts(sheet(before=columns))))
    assert raw.locked("One", 1, 1)


def test_names_that_belong_to_no_sheet(tmp_path):
    names = '<definedNames><definedName name="a" localSheetId="9">One!$A$1</definedName><definedName name="b"/></definedNames>'
    workbook = book_parts()["xl/workbook.xml"].replace("</workbook>", names + "</workbook>")
    raw = read_raw(write(tmp_path, book_parts(**{"xl/workbook.xml": workbook})))
    assert (raw.names, raw.sheet_names) == ({"b": ""}, {})


def test_text_too_large_for_the_parser_is_a_finding(tmp_path):
    """The gate lets long text outside of cells through; the parser has a bound of its own."""
    note = f"<oddHeader>{os.urandom(5_500_000).hex()}</oddHeader>"
    path = write(tmp_path, book_parts(sheet(after=note)))

    assert inspect(path).tally.cells == 0
    with pytest.raises(Refused, match="xml-damaged"):
        read_raw(path)
