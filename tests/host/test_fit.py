"""Workbooks to which nothing can be added: each is refused with its own message, before anything is made."""

from __future__ import annotations

import re
import zipfile
from pathlib import Path

import attrs
import pytest
from hosts import Parts, by_openpyxl, parts_of, save

from sheetgen.book.prefix import name_prefix, wrong
from sheetgen.findings import Refused
from sheetgen.host import fit
from sheetgen.host.package import Package
from sheetgen.host.styles import MOST_FORMATS, merge
from sheetgen.reader.gate import inspect
from sheetgen.reader.limits import HOST
from sheetgen.reader.package import parse

MAIN = "http://schemas.openxmlformats.org/spreadsheetml/2006/main"
SOFT = "http://schemas.openxmlformats.org/officeDocument/2006/relationships"


def book(parts: Parts, before: str, after: str) -> None:
    made = parts["xl/workbook.xml"].replace(before.encode(), after.encode())
    assert made != parts["xl/workbook.xml"]
    parts["xl/workbook.xml"] = made


def strict(parts: Parts) -> None:
    for name, data in parts.items():
        parts[name] = data.replace(MAIN.encode(), b"http://purl.oclc.org/ooxml/spreadsheetml/main").replace(
            SOFT.encode(), b"http://purl.oclc.org/ooxml/officeDocument/relationships"
        )


def days_from_1904(parts: Parts) -> None:
    book(parts, "<workbookPr/>", '<workbookPr date1904="1"/>')


def signed(parts: Parts) -> None:
    parts["_xmlsignatures/origin.sigs"] = b""


def shared(parts: Parts) -> None:
    parts["xl/revisions/revisionHeaders.xml"] = b"<headers/>"
    kind = f"{SOFT}/revisionHeaders"
    parts["xl/_rels/workbook.xml.rels"] = parts["xl/_rels/workbook.xml.rels"].replace(
        b"</Relationships>", f'<Relationship Id="r9" Type="{kind}" Target="revisions/revisionHeaders.xml"/></Relationships>'.encode()
    )


def structure(parts: Parts) -> None:
    book(parts, "<workbookProtection/>", '<workbookProtection lockStructure="true"/>')


def precision(parts: Parts) -> None:
    book(parts, "<calcPr ", '<calcPr fullPrecision="0" ')


def template(parts: Parts) -> None:
    parts["[Content_Types].xml"] = parts["[Content_Types].xml"].replace(b"sheet.main+xml", b"template.main+xml")


def manual(parts: Parts) -> None:
    book(parts, "<calcPr ", '<calcPr calcMode="manual" ')


def with_macros(parts: Parts) -> None:
    parts["xl/vbaProject.bin"] = b"x"


@pytest.mark.parametrize(
    ("change", "code", "word"),
    [
        (strict, "host-strict", "Strict Open XML"), (days_from_1904, "host-1904", "1904"), (signed, "host-signed", "signature"),
        (shared, "host-shared", "shared"), (structure, "host-structure", "structure"), (precision, "host-precision", "as displayed"),
        (template, "host-template", "template"), (manual, "host-manual", "F9"),
    ],
)  # fmt: skip
def test_each_has_its_message(change, code: str, word: str, tmp_path: Path) -> None:
    parts = parts_of(by_openpyxl(tmp_path / "host.xlsx"))
    change(parts)
    path = save(parts, tmp_path / "changed.xlsx")
    (finding,) = fit.unfit(Package(path), inspect(path, HOST))

    assert finding.code == code
    assert word in finding.what
    assert finding.mend
    assert finding.place == "changed.xlsx"


def test_a_plain_workbook_is_fit(tmp_path: Path) -> None:
    path = by_openpyxl(tmp_path / "host.xlsx")

    assert fit.unfit(Package(path), inspect(path, HOST)) == ()


def test_macros_and_passwords_are_refused_at_the_gate(tmp_path: Path) -> None:
    parts = parts_of(by_openpyxl(tmp_path / "host.xlsx"))
    with_macros(parts)
    locked = tmp_path / "locked.xlsx"
    locked.write_bytes(b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1" + "EncryptedPackage".encode("utf-16-le"))
    said = []
    for path in (save(parts, tmp_path / "macros.xlsx"), locked):
        with pytest.raises(Refused) as caught:
            inspect(path, HOST)
        said.append(caught.value.findings[0])

    assert [finding.code for finding in said] == ["active-macros", "file-password"]


def _styles(count: int) -> bytes:
    return f'<styleSheet xmlns="{MAIN}"><cellXfs count="{count}">{"<xf/>" * count}</cellXfs></styleSheet>'.encode()


@pytest.mark.parametrize(("there", "fits"), [(MOST_FORMATS - 1, True), (MOST_FORMATS, False)])
def test_a_host_has_room_for_so_many_formats(there: int, fits: bool) -> None:
    ours = parse(
        f'<styleSheet xmlns="{MAIN}"><fonts><font/></fonts><fills><fill/></fills><borders><border/></borders>'
        "<cellXfs><xf/></cellXfs></styleSheet>".encode()
    )
    if fits:
        assert merge(_styles(there), ours, [0], "host.xlsx").formats == {0: there}
        return
    with pytest.raises(Refused, match="1 over 64,000"):
        merge(_styles(there), ours, [0], "host.xlsx")


def test_our_looks_do_not_follow_the_theme_of_the_host() -> None:
    ours = parse(
        f'<styleSheet xmlns="{MAIN}"><fonts><font><sz val="11"/><color theme="1"/><name val="Calibri"/><scheme val="minor"/></font>'
        "</fonts><fills><fill/></fills><borders><border/></borders><cellXfs><xf/></cellXfs></styleSheet>".encode()
    )
    made = merge(_styles(1), ours, [0], "host.xlsx").data

    assert b'<font><sz val="11"/><color rgb="FF000000"/><name val="Calibri"/></font></fonts' in made
    assert b"theme" not in made
    assert b"scheme" not in made


@pytest.mark.parametrize(
    ("prefix", "before"), [("Job 7 ", "Job_7_"), ("7 ", "_7_"), ("", ""), ("Hall & Porch ", "Hall___Porch_"), ("Été-", "_t__")]
)
def test_the_prefix_is_made_legal_for_names(prefix: str, before: str) -> None:
    assert name_prefix(prefix) == before
    assert re.fullmatch(r"([A-Za-z_][\w.]*)?", before)


def test_a_prefix_leaves_room_for_the_longest_title() -> None:
    assert wrong("x" * 16, ["Lists and units"]) is None
    assert "1 characters too long" in str(wrong("x" * 17, ["Lists and units"]))


def test_entries_of_every_kind_are_copied_as_they_lie(tmp_path: Path) -> None:
    """Stored, packed, with sizes that follow, with comments and odd rights: what is in them stays."""
    path = tmp_path / "odd.zip"
    with path.open("wb") as raw, zipfile.ZipFile(raw, "w") as out:
        out.writestr("stored.bin", b"abc" * 100)
        out.writestr("packed.bin", b"abc" * 100, zipfile.ZIP_DEFLATED)
        out.writestr("größe.bin", b"utf-8 name")
        info = zipfile.ZipInfo("rights.bin", (2020, 5, 17, 12, 30, 40))
        info.external_attr, info.comment = 0o600 << 16, b"said"
        out.writestr(info, b"")
        out.comment = b"the end"

    class Pipe:
        """A stream that cannot be rewound, so that sizes follow their entry."""

        def __init__(self, stream) -> None:
            self.stream = stream

        def write(self, data: bytes) -> int:
            return self.stream.write(data)

        def flush(self) -> None:
            self.stream.flush()

    piped = tmp_path / "piped.zip"
    with piped.open("wb") as raw, zipfile.ZipFile(Pipe(raw), "w", zipfile.ZIP_DEFLATED) as out:
        out.writestr("a.xml", b"<a/>" * 50)
    for source, name in ((path, "one"), (piped, "two")):
        package = Package(source)
        package.put("new.xml", b"<n/>")
        package.save(tmp_path / f"{name}.zip")
        with zipfile.ZipFile(source) as before, zipfile.ZipFile(tmp_path / f"{name}.zip") as after:
            assert after.testzip() is None
            assert after.namelist() == [*before.namelist(), "new.xml"]
            for entry in before.infolist():
                twin = after.getinfo(entry.filename)
                facts = ("compress_type", "compress_size", "CRC", "date_time", "external_attr")
                assert [getattr(twin, fact) for fact in facts] == [getattr(entry, fact) for fact in facts]
                assert after.read(twin) == before.read(entry)


def test_a_part_is_found_whatever_its_case_and_replaced_in_its_place(tmp_path: Path) -> None:
    path = save({"A.xml": b"1", "b.xml": b"2"}, tmp_path / "a.zip")
    package = Package(path)
    package.put("a.XML", b"3")
    package.remove("B.xml")
    package.put("c.xml", b"4")
    package.save(tmp_path / "b.zip")

    assert parts_of(tmp_path / "b.zip") == {"A.xml": b"3", "c.xml": b"4"}
    assert package.free("{}.xml") == "1.xml"
    with pytest.raises(KeyError):
        package.read("b.xml")


def test_limits_of_a_host_are_wider_than_those_of_a_book() -> None:
    from sheetgen.reader.limits import BOOK

    for name in ("size", "parts", "unpacked", "rows", "columns", "cells", "merges", "nodes"):
        assert attrs.asdict(HOST, recurse=False)[name] > attrs.asdict(BOOK, recurse=False)[name]
    assert HOST.text == BOOK.text
