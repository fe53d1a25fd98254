"""Workbooks written part by part, so that a test can break exactly one thing."""

import zipfile
from pathlib import Path

import pytest

from sheetgen.findings import Refused
from sheetgen.reader.gate import inspect
from sheetgen.reader.limits import BOOK

MAIN = "http://schemas.openxmlformats.org/spreadsheetml/2006/main"
RELATIONS = "http://schemas.openxmlformats.org/officeDocument/2006/relationships"
PACKAGE = "http://schemas.openxmlformats.org/package/2006"
SHEET_TYPE = "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet.main+xml"
STYLES = (
    f'<styleSheet xmlns="{MAIN}"><numFmts count="1"><numFmt numFmtId="164" formatCode="yyyy\\-mm\\-dd"/></numFmts>'
    '<cellXfs count="4"><xf numFmtId="0"/><xf numFmtId="164"/><xf numFmtId="2"><protection locked="0"/></xf>'
    '<xf numFmtId="14"/></cellXfs></styleSheet>'
)


def relationships(*lines):
    """Return a relationships part from (id, kind, target) or (id, kind, target, mode)."""
    inside = "".join(
        f'<Relationship Id="{line[0]}" Type="{RELATIONS}/{line[1]}" Target="{line[2]}"'
        + (f' TargetMode="{line[3]}"' if len(line) > 3 else "")
        + "/>"
        for line in lines
    )
    return f'<Relationships xmlns="{PACKAGE}/relationships">{inside}</Relationships>'


def sheet(rows="", before="", after=""):
    """Return a sheet part around rows."""
    return f'<worksheet xmlns="{MAIN}">{before}<sheetData>{rows}</sheetData>{after}</worksheet>'


def cell(inside, reference="A1", attributes=""):
    """Return a sheet part that holds one cell."""
    row = "".join(letter for letter in reference if letter.isdecimal())
    return sheet(f'<row r="{row}"><c r="{reference}" {attributes}>{inside}</c></row>')


def shared(*items):
    """Return a shared strings part; an item is the XML inside its ``si``."""
    return f'<sst xmlns="{MAIN}">' + "".join(f"<si>{item}</si>" for item in items) + "</sst>"


def book_parts(sheet_xml=None, strings=None, **more):
    """Return the parts of a small book with one sheet; more by name, a None takes a part out."""
    parts = {
        "[Content_Types].xml": (
            f'<Types xmlns="{PACKAGE}/content-types"><Default Extension="rels" ContentType="application/xml"/>'
            f'<Default Extension="xml" ContentType="application/xml"/>'
            f'<Override PartName="/xl/workbook.xml" ContentType="{SHEET_TYPE}"/></Types>'
        ),
        "_rels/.rels": relationships(("rId1", "officeDocument", "xl/workbook.xml")),
        "xl/workbook.xml": (
            f'<workbook xmlns="{MAIN}" xmlns:r="{RELATIONS}"><sheets>'
            '<sheet name="One" sheetId="1" r:id="rId1"/></sheets></workbook>'
        ),
        "xl/_rels/workbook.xml.rels": relationships(
            ("rId1", "worksheet", "worksheets/sheet1.xml"),
            ("rId2", "styles", "styles.xml"),
            ("rId3", "sharedStrings", "sharedStrings.xml"),
        ),
        "xl/worksheets/sheet1.xml": sheet() if sheet_xml is None else sheet_xml,
        "xl/styles.xml": STYLES,
        "xl/sharedStrings.xml": shared("<t>word</t>") if strings is None else strings,
    }
    return {name: part for name, part in {**parts, **more}.items() if part is not None}


def many(count, form):
    """Return a form filled with 1, 2, … and joined."""
    return "".join(form.format(number) for number in range(1, count + 1))


def write(folder: Path, parts, compression=zipfile.ZIP_DEFLATED):
    """Write parts as a zip and return its path."""
    path = folder / "book.xlsx"
    with zipfile.ZipFile(path, "w", compression) as archive:
        for name, part in parts.items():
            archive.writestr(name, part)
    return path


def refused(path, limits=BOOK):
    """Return the findings with which the gate refuses a file."""
    with pytest.raises(Refused) as stopped:
        inspect(path, limits)
    assert all(finding.what and finding.place.startswith(path.name) for finding in stopped.value.findings)
    return stopped.value.findings


def codes(path, limits=BOOK):
    """Return the codes with which the gate refuses a file."""
    return {finding.code for finding in refused(path, limits)}


def said(path, limits=BOOK):
    """Return what the gate says first against a file."""
    return refused(path, limits)[0].what
