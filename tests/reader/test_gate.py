"""Files that are no workbook of ours, and what a workbook may not hold: the refusal names it."""

import os

import attrs
import openpyxl
import pytest
import xlsxwriter
from hand_made import MAIN, SHEET_TYPE, book_parts, cell, codes, relationships, said, write

from sheetgen.findings import Refused
from sheetgen.reader.gate import inspect
from sheetgen.reader.limits import BOOK, HOST

OLE = b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1"
TYPES = book_parts()["[Content_Types].xml"]
LINKS = book_parts()["xl/_rels/workbook.xml.rels"]


def typed(path, content):
    path.write_bytes(content)
    return path


def test_a_sound_book_passes_and_is_counted(tmp_path):
    parts = book_parts(cell("<v>0</v>", "B3", 't="s"'), **{"xl/media/picture.png": b"\x89PNG not looked into"})
    seen = inspect(write(tmp_path, parts))

    assert seen.tabs == ("One",)
    assert [(one.name, one.state, one.part) for one in seen.sheets] == [("One", "visible", "xl/worksheets/sheet1.xml")]
    assert (seen.tally.cells, seen.tally.text) == (1, 5)  # the index "0" and the word behind it
    assert "xl/media/picture.png" in {entry.name for entry in seen.entries}
    assert "xl/media/picture.png" not in seen.package.contents


@pytest.mark.parametrize("save", [openpyxl.Workbook, None])
def test_what_other_writers_save_passes(tmp_path, save):
    path = tmp_path / "book.xlsx"
    if save:
        save().save(path)
    else:
        book = xlsxwriter.Workbook(path)
        one = book.add_worksheet()
        one.write_comment("A1", "a note")
        one.write_url("A2", "https://example.com/")
        chart = book.add_chart({"type": "line"})
        chart.add_series({"values": "=Sheet1!$A$3:$A$5"})
        one.insert_chart("C3", chart)
        one.merge_range("A7:B8", "merged")
        book.close()

    assert inspect(path).active == ()


# The file itself


def test_missing_file(tmp_path):
    assert codes(tmp_path / "none.xlsx") == {"file-missing"}


def test_dangling_link(tmp_path):
    (tmp_path / "link.xlsx").symlink_to(tmp_path / "none.xlsx")
    assert codes(tmp_path / "link.xlsx") == {"file-missing"}


def test_link_in_a_circle(tmp_path):
    (tmp_path / "link.xlsx").symlink_to(tmp_path / "link.xlsx")
    assert codes(tmp_path / "link.xlsx") == {"file-unreadable"}


def test_link_to_a_sound_book_is_followed(tmp_path):
    (tmp_path / "link.xlsx").symlink_to(write(tmp_path, book_parts()))
    assert inspect(tmp_path / "link.xlsx").sheets


def test_folder(tmp_path):
    assert codes(tmp_path) == {"file-folder"}


def test_pipe_is_not_waited_for(tmp_path):
    os.mkfifo(tmp_path / "pipe.xlsx")
    assert codes(tmp_path / "pipe.xlsx") == {"file-special"}


def test_name_that_no_file_can_have():
    with pytest.raises(Refused) as refused:
        inspect("a\x00b.xlsx")
    assert refused.value.findings[0].code == "file-unreadable"


@pytest.mark.skipif(not hasattr(os, "geteuid") or os.geteuid() == 0, reason="root may read everything")
def test_file_without_right_to_read(tmp_path):
    path = write(tmp_path, book_parts())
    path.chmod(0)
    assert codes(path) == {"file-unreadable"}


@pytest.mark.parametrize("name", ["~$bid.xlsx", ".~lock.bid.xlsx#"])
def test_lock_of_an_open_book(tmp_path, name):
    assert codes(typed(tmp_path / name, b"a person")) == {"file-lock"}


def test_empty_file(tmp_path):
    assert codes(typed(tmp_path / "a.xlsx", b"")) == {"file-empty"}


def test_file_too_large_says_by_how_much(tmp_path):
    path = write(tmp_path, book_parts())
    limits = attrs.evolve(BOOK, size=path.stat().st_size - 7)

    assert codes(path, limits) == {"file-size"}
    assert "7 over" in said(path, limits)


# Other kinds of file, named plainly


@pytest.mark.parametrize(
    ("content", "code", "word"),
    [
        (OLE + bytes(504) + "EncryptedPackage".encode("utf-16-le"), "file-password", "password"),
        (OLE + bytes(504) + "Workbook".encode("utf-16-le"), "file-xls", ".xls"),
        (OLE + bytes(504) + "WordDocument".encode("utf-16-le"), "file-other", "Office"),
        (b"\x09\x08\x10\x00\x00\x06", "file-xls", ".xls"),
        (b"%PDF-1.7 ...", "file-other", "PDF"),
        (b"<html><table><tr><td>1</td></tr></table>", "file-other", "web page"),
        (b'\xef\xbb\xbf<?xml version="1.0"?><office:document>', "file-ods", "OpenDocument"),
        (b"name;area\nhall;240\n", "file-other", "text"),
        (b"\x00\x01\x02\x03" * 40, "zip-none", "not an .xlsx"),
    ],
)
def test_other_files_are_named(tmp_path, content, code, word):
    path = typed(tmp_path / "a.xlsx", content)

    assert codes(path) == {code}
    assert word in said(path)


@pytest.mark.parametrize(
    ("parts", "code"),
    [
        ({"mimetype": "application/vnd.oasis.opendocument.spreadsheet", "content.xml": "<a/>"}, "file-ods"),
        ({"xl/workbook.bin": b"\x83\x01"}, "file-xlsb"),
        ({"Index/Document.iwa": b"\x00"}, "file-numbers"),
        ({"word/document.xml": "<a/>"}, "file-other"),
    ],
)
def test_other_packages_are_named(tmp_path, parts, code):
    assert codes(write(tmp_path, parts)) == {code}


# The skeleton


def test_without_content_types(tmp_path):
    assert codes(write(tmp_path, book_parts(**{"[Content_Types].xml": None}))) == {"types-missing"}


def test_main_part_of_another_type(tmp_path):
    types = TYPES.replace(SHEET_TYPE, "application/xml")
    assert codes(write(tmp_path, book_parts(**{"[Content_Types].xml": types}))) == {"types-workbook"}


@pytest.mark.parametrize("name", ["xl/workbook.xml", "_rels/.rels"])
def test_without_workbook(tmp_path, name):
    assert codes(write(tmp_path, book_parts(**{name: None}))) == {"workbook-missing"}


def test_workbook_of_another_root(tmp_path):
    assert codes(write(tmp_path, book_parts(**{"xl/workbook.xml": "<workbook/>"}))) == {"workbook-root"}


def test_sheet_that_is_not_there(tmp_path):
    assert codes(write(tmp_path, book_parts(**{"xl/worksheets/sheet1.xml": None}))) == {"sheet-missing"}


def test_sheet_of_another_root(tmp_path):
    assert codes(write(tmp_path, book_parts("<html/>"))) == {"sheet-root"}


def test_two_sheets_of_one_name(tmp_path):
    workbook = book_parts()["xl/workbook.xml"]
    twice = workbook.replace("</sheets>", '<sheet name="ONE" sheetId="2" r:id="rId1"/></sheets>')
    assert codes(write(tmp_path, book_parts(**{"xl/workbook.xml": twice}))) == {"sheet-name"}


def test_no_sheet(tmp_path):
    workbook = f'<workbook xmlns="{MAIN}"><sheets/></workbook>'
    assert codes(write(tmp_path, book_parts(**{"xl/workbook.xml": workbook}))) == {"sheet-none"}


def test_sheet_that_claims_to_be_the_styles_is_scanned_all_the_same(tmp_path):
    links = LINKS.replace("styles.xml", "worksheets/sheet1.xml")
    parts = book_parts(cell("<v>1</v>", "XFD1048576"), **{"xl/_rels/workbook.xml.rels": links})
    assert codes(write(tmp_path, parts)) == {"sheet-columns"}


# Content that acts or reaches out


def typed_part(content_type):
    override = f'<Override PartName="/xl/harmless.bin" ContentType="{content_type}"/></Types>'
    return {"[Content_Types].xml": TYPES.replace("</Types>", override), "xl/harmless.bin": b"x"}


ACTIVE = [
    ("active-macros", {"xl/vbaProject.bin": b"x"}),
    ("active-macros", {"[Content_Types].xml": TYPES.replace(SHEET_TYPE, "application/vnd.ms-excel.sheet.macroEnabled.main+xml")}),
    ("active-macros", typed_part("application/vnd.ms-office.vbaProject")),
    ("active-macros", {"xl/macrosheets/sheet1.xml": "<a/>"}),
    ("active-external-link", {"xl/externalLinks/externalLink1.xml": "<a/>"}),
    (
        "active-external-link",
        {"xl/drawings/_rels/drawing1.xml.rels": relationships(("r", "image", "http://example.com/a.png", "External"))},
    ),
    ("active-embedding", {"xl/embeddings/oleObject1.bin": OLE}),
    ("active-embedding", {"xl/activeX/activeX1.bin": b"x"}),
    ("active-embedding", {"xl/worksheets/_rels/sheet1.xml.rels": relationships(("r", "oleObject", "../a.bin"))}),
    ("active-embedding", typed_part("application/vnd.openxmlformats-officedocument.oleObject")),
    ("active-connection", {"xl/connections.xml": "<a/>"}),
    ("active-connection", {"xl/queryTables/queryTable1.xml": "<a/>"}),
]


@pytest.mark.parametrize(("code", "more"), ACTIVE)
def test_active_content(tmp_path, code, more):
    assert codes(write(tmp_path, book_parts(**more))) == {code}


def test_all_active_content_is_told_at_once(tmp_path):
    parts = book_parts(**{"xl/vbaProject.bin": b"x", "xl/connections.xml": "<a/>"})
    assert codes(write(tmp_path, parts)) == {"active-macros", "active-connection"}


def test_a_hyperlink_may_point_outside(tmp_path):
    links = relationships(("r", "hyperlink", "https://example.com/", "External"))
    assert inspect(write(tmp_path, book_parts(**{"xl/worksheets/_rels/sheet1.xml.rels": links}))).active == ()


def test_a_host_lists_what_a_book_may_not_hold_and_never_parses_it(tmp_path):
    more = {"xl/embeddings/a.bin": b"x", "xl/charts/chart1.xml": "<!DOCTYPE a><a/>", "xl/connections.xml": "not XML"}
    seen = inspect(write(tmp_path, book_parts(**more)), HOST)

    assert dict(seen.active) == {"embedding": "xl/embeddings/a.bin", "connection": "xl/connections.xml"}
    assert "xl/charts/chart1.xml" not in seen.package.contents
    assert {"xl/charts/chart1.xml"} < {entry.name for entry in seen.entries}


def test_the_sheets_of_a_host_pass_the_same_gate(tmp_path):
    assert codes(write(tmp_path, book_parts(cell("<v>1</v>", "A1048577"))), HOST) == {"sheet-rows"}


def test_a_host_with_macros_is_refused_too(tmp_path):
    assert codes(write(tmp_path, book_parts(**{"xl/vbaProject.bin": b"x"})), HOST) == {"active-macros"}


def test_sheets_that_are_not_wanted_are_never_parsed(tmp_path):
    path = write(tmp_path, book_parts("no XML at all"))

    assert codes(path, HOST) == {"xml-damaged"}
    assert inspect(path, HOST, lambda _root, _tabs: ()).sheets == ()


@pytest.mark.parametrize(
    ("attributes", "parsed"), [("", False), ('t="str"', False), ("t = 's'", True), ('t="&#115;"', True)], ids=str
)
def test_the_common_texts_of_a_host_are_parsed_only_where_a_wanted_sheet_uses_them(tmp_path, attributes, parsed):
    inside = "<v>0</v>" if parsed else "<v>1</v>"
    seen = inspect(write(tmp_path, book_parts(cell(inside, attributes=attributes))), HOST)

    assert ("xl/sharedStrings.xml" in seen.package.contents) is parsed
    assert seen.tally.text == (5 if parsed else 1)


def test_the_common_texts_are_parsed_for_a_sheet_in_two_bytes_a_letter(tmp_path):
    text = '<?xml version="1.0" encoding="UTF-16"?>' + cell("<v>0</v>", attributes='t="s"')

    assert inspect(write(tmp_path, book_parts(text.encode("utf-16"))), HOST).tally.text == 5
