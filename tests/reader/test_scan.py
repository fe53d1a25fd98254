"""XML that is damaged, declares entities or is too much of it, in every part that holds some."""

import attrs
import pytest
from hand_made import book_parts, cell, codes, many, said, sheet, write

from sheetgen.reader.limits import BOOK
from sheetgen.reader.raw import read_raw

LIMITS = attrs.evolve(BOOK, ratio=10_000)  # so that a small zip can break the other limits


DOCTYPE = '<!DOCTYPE a [<!ENTITY b "bbbb">]>'
HOLDERS = [
    "[Content_Types].xml", "_rels/.rels", "xl/workbook.xml", "xl/_rels/workbook.xml.rels",
    "xl/worksheets/sheet1.xml", "xl/sharedStrings.xml", "xl/styles.xml",
]  # fmt: skip


@pytest.mark.parametrize("name", [*HOLDERS, "xl/charts/chart1.xml", "xl/unusual.bin", "xl/a/_rels/b.xml.rels", "xl/a.vml"])
@pytest.mark.parametrize("encoding", ["utf-8", "utf-8-sig", "utf-16"])
def test_doctype_in_any_part_and_encoding(tmp_path, name, encoding):
    part = book_parts().get(name, "<a/>")
    assert codes(write(tmp_path, book_parts(**{name: (DOCTYPE + part).encode(encoding)}))) == {"xml-doctype"}


def test_utf16_is_legal(tmp_path):
    part = '<?xml version="1.0" encoding="UTF-16"?>' + cell("<is><t>Größe ½″</t></is>", attributes='t="inlineStr"')
    book = read_raw(write(tmp_path, book_parts(part.encode("utf-16"))))
    assert book.cell("One", 1, 1).value == "Größe ½″"


@pytest.mark.parametrize("encoding", ["utf-7", "iso-8859-1", "cp037", "windows-1252"])
def test_other_encodings(tmp_path, encoding):
    part = f'<?xml version="1.0" encoding="{encoding}"?>' + sheet()
    assert codes(write(tmp_path, book_parts(part))) == {"xml-encoding"}


@pytest.mark.parametrize("name", [*HOLDERS, "xl/charts/chart1.xml"])
@pytest.mark.parametrize("damage", ["<b>", "&nbsp;", "<x:a/>", '<a b="1" b="2"/>', "\x01", "</a>", "<![CDATA["])
def test_damaged_xml(tmp_path, name, damage):
    start, _, end = book_parts().get(name, "<a></a>").rpartition("</")
    assert codes(write(tmp_path, book_parts(**{name: start + damage + "</" + end}))) == {"xml-damaged"}


@pytest.mark.parametrize("name", [*HOLDERS, "xl/charts/chart1.xml"])
def test_xml_that_is_empty(tmp_path, name):
    assert codes(write(tmp_path, book_parts(**{name: ""}))) == {"xml-damaged"}


@pytest.mark.parametrize("name", ["xl/worksheets/sheet1.xml", "xl/styles.xml", "xl/sharedStrings.xml"])
def test_elements_inside_one_another(tmp_path, name):
    part = book_parts()[name]
    start, _, end = part.rpartition("</")
    deep = start + "<d>" * 100 + "</d>" * 100 + "</" + end
    path = write(tmp_path, book_parts(**{name: deep}))
    assert codes(path) == {"xml-depth"}
    assert "101, 1 over 100" in said(path)


@pytest.mark.parametrize("name", ["xl/worksheets/sheet1.xml", "xl/styles.xml", "xl/sharedStrings.xml"])
@pytest.mark.parametrize("inside", ["<d/>" * 2000, "<d " + many(2000, 'a{}="" ') + "/>"])
def test_elements_and_attributes(tmp_path, name, inside):
    start, _, end = book_parts()[name].rpartition("</")
    path = write(tmp_path, book_parts(**{name: start + inside + "</" + end}))
    assert codes(path, attrs.evolve(LIMITS, nodes=1000)) == {"xml-nodes"}
