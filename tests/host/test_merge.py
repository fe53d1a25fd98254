"""Parts: nothing of the host is lost when sheets are put in, and when they are taken out it is what it was."""

from __future__ import annotations

import itertools
import re
import zipfile
from pathlib import Path

import pytest
from dots import dot
from guests import COLOUR, NAMES, SHEETS, add, guest, take, workbook_of
from hosts import HOSTS, invalid, made, parts_of, save
from lxml import etree

from sheetgen.host.merge import merge
from sheetgen.host.package import Package
from sheetgen.host.part_out import take_apart
from sheetgen.reader.limits import HOST
from sheetgen.reader.package import local
from sheetgen.reader.raw import read_raw

# Parts that an addition must change; all others are copied as they lie there.
CHANGED = re.compile(r"\[Content_Types\]\.xml|.*/_rels/(workbook|wb)\.xml\.rels|.*/(workbook|wb|styles|looks|calcChain)\.xml")


@pytest.fixture(scope="session", params=HOSTS)
def pair(request: pytest.FixtureRequest, tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, Path]:
    """A host, and the same with our sheets."""
    folder = tmp_path_factory.mktemp(request.param)
    host = made(request.param, folder / "host.xlsx")
    return host, add(host, folder / "new.xlsx")


def test_unchanged_parts_are_copied_as_they_are_packed(pair: tuple[Path, Path]) -> None:
    with zipfile.ZipFile(pair[0]) as before, zipfile.ZipFile(pair[1]) as after:
        for entry in before.infolist():
            if not CHANGED.fullmatch(entry.filename):
                copy = after.getinfo(entry.filename)
                assert (copy.CRC, copy.compress_size, copy.date_time) == (entry.CRC, entry.compress_size, entry.date_time)
                assert after.read(copy) == before.read(entry)


def test_the_parts_of_the_host_keep_their_order(pair: tuple[Path, Path]) -> None:
    before, after = map(parts_of, pair)

    assert list(after)[: len(before)] == list(before)


def test_changed_parts_keep_every_entry_in_order(pair: tuple[Path, Path]) -> None:
    before, after = map(parts_of, pair)
    for name, data in before.items():
        if name.endswith((".xml", ".rels")) and data != after[name]:
            old, new = etree.fromstring(data), etree.fromstring(after[name])
            for element in old:
                _same_and_more(element, next(one for one in new if one.tag == element.tag and _key(one) == _key(element)))


def _key(element: etree._Element) -> str:
    return "".join(element.get(name, "") for name in ("Id", "PartName", "Extension", "r", "i")) if not len(element) else ""


def _same_and_more(old: etree._Element, new: etree._Element) -> None:
    counted = {name: value for name, value in old.items() if name != "count"}
    assert counted == {name: value for name, value in new.items() if name != "count"}
    assert [etree.tostring(one, with_tail=False) for one in old] == [etree.tostring(one, with_tail=False) for one in new][: len(old)]


def test_taking_out_gives_back_every_byte_of_every_part(pair: tuple[Path, Path], tmp_path: Path) -> None:
    clean = take(pair[1], tmp_path / "clean.xlsx")

    assert parts_of(clean) == parts_of(pair[0])


@pytest.mark.parametrize("order", list(itertools.permutations(("Job 7 ", "Job 8 "))), ids=str)
def test_two_can_be_taken_out_in_any_order(order: tuple[str, str], tmp_path: Path) -> None:
    for name in ("by_xlsxwriter", "no_styles", "bare_styles", "with_chain"):
        host = made(name, tmp_path / "host.xlsx")
        path = add(add(host, tmp_path / "one.xlsx", "Job 7 ", "Job_7_"), tmp_path / "two.xlsx", "Job 8 ", "Job_8_")
        for number, prefix in enumerate(order):
            path = take(path, tmp_path / f"clean-{number}.xlsx", prefix, prefix.replace(" ", "_"))

        assert parts_of(path) == parts_of(host)


def test_what_is_left_of_two_looks_as_it_did(tmp_path: Path) -> None:
    host = made("by_xlsxwriter", tmp_path / "host.xlsx")
    two = add(add(host, tmp_path / "one.xlsx", "A ", "A_"), tmp_path / "two.xlsx", "B ", "B_")
    left = take(two, tmp_path / "left.xlsx", "A ", "A_")

    alone = add(host, tmp_path / "alone.xlsx", "B ", "B_")
    assert [len(table) for table in Package(left).tree("xl/styles.xml")] == [len(table) for table in Package(alone).tree("xl/styles.xml")]
    before, after = (read_raw(path, HOST) for path in (two, left))
    for sheet in after.sheets:
        twin = before.sheet(sheet.name)
        assert twin is not None
        assert {at: before.formats[cell.style] for at, cell in twin.cells.items()} == {
            at: after.formats[cell.style] for at, cell in sheet.cells.items()
        }


def test_our_sheets_come_whole(pair: tuple[Path, Path]) -> None:
    raw = read_raw(pair[1], HOST)
    start, sums = raw.sheet("Start"), raw.sheet("Sums")
    assert start is not None
    assert sums is not None

    assert start.cells[1, 1].value == "Start & <go>"
    assert start.cells[2, 1].value == " spaces "
    assert raw.formats[start.cells[3, 2].style] == "0.0##"
    assert not raw.locked("Start", 3, 2)
    assert raw.locked("Start", 99, 99)
    assert sums.cells[1, 1].formula == "'Start'!B3*2"
    assert raw.names["figure"] == "'Sums'!$A$1"
    assert raw.sheet_names["Start"]["_xlnm.Print_Titles"] == "Start!$1:$1"
    assert 'tabSelected="1"' not in etree.tostring(start.root).decode()
    package = Package(pair[1])
    drawing = package.related(sums.part, "drawing")
    assert drawing is not None
    chart = package.related(drawing, "chart")
    assert chart is not None
    assert b"Sums!$A$1:$A$2" in package.read(chart)
    shown = package.related(start.part, "drawing")
    assert shown is not None
    picture = package.related(shown, "image")
    assert picture is not None
    assert package.read(picture) == dot(COLOUR).getvalue()


@pytest.mark.parametrize("name", ["by_openpyxl", "by_xlsxwriter"])
def test_a_picture_of_ours_takes_a_free_name_and_leaves_the_rules_of_the_host(name: str, tmp_path: Path) -> None:
    """A host with pictures has a rule for them; one without keeps none, and our picture is named by itself."""
    host = made(name, tmp_path / "host.xlsx")
    before, after = parts_of(host), parts_of(add(host, tmp_path / "new.xlsx"))
    pictures = {part: data for part, data in before.items() if "/media/" in part}
    types = [etree.fromstring(parts["[Content_Types].xml"]) for parts in (before, after)]
    rules = [[dict(line.attrib) for line in held.findall("{*}Default")] for held in types]

    assert [part for part in after if "/media/" in part] == [*pictures, f"xl/media/image{len(pictures) + 1}.png"]
    assert {part: after[part] for part in pictures} == pictures
    assert rules[0] == rules[1]
    assert any(line.get("PartName") == "/xl/media/image1.png" for line in types[1]) is not any(pictures)


def test_the_result_is_valid(pair: tuple[Path, Path]) -> None:
    assert invalid(*pair) == ""


def test_the_same_addition_gives_the_same_bytes(tmp_path: Path) -> None:
    host = made("by_xlsxwriter", tmp_path / "host.xlsx")

    assert add(host, tmp_path / "a.xlsx").read_bytes() == add(host, tmp_path / "b.xlsx").read_bytes()


def test_ids_of_sheets_stay_within_what_programs_take(tmp_path: Path) -> None:
    parts = parts_of(made("everything", tmp_path / "host.xlsx"))
    parts["xl/workbook.xml"] = parts["xl/workbook.xml"].replace(b'sheetId="7"', b'sheetId="65533"').replace(b'sheetId="2"', b'sheetId="65534"')
    host = save(parts, tmp_path / "high.xlsx")
    new = add(host, tmp_path / "new.xlsx")
    ids = [line.get("sheetId") for line in Package(new).tree("xl/workbook.xml").iter("{*}sheet")]

    assert ids == ["1", "65534", "3", "4", "5", "6", "65533", "2", "7"]
    assert parts_of(take(new, tmp_path / "clean.xlsx")) == parts


@pytest.mark.parametrize("own", [False, True], ids=["a style of the person's behind ours", "a style that uses ours"])
def test_a_table_style_keeps_its_look(own: bool, tmp_path: Path) -> None:
    """A table style that a person made after the addition goes by the place of its format, as rules do."""
    new = add(made("everything", tmp_path / "host.xlsx"), tmp_path / "new.xlsx")
    parts = parts_of(new)
    table = etree.fromstring(parts["xl/styles.xml"]).find("{*}dxfs")
    assert table is not None
    count = len(table)
    look = b'<dxf><font><color rgb="FF112233"/></font></dxf>'
    styles = re.sub(rb'<dxfs count="\d+"', b'<dxfs count="%d"' % (count + 1), parts["xl/styles.xml"]).replace(b"</dxfs", look + b"</dxfs")
    line = b'<tableStyle name="Mine" count="1"><tableStyleElement type="wholeTable" dxfId="%d"/></tableStyle>' % (count - own)
    parts["xl/styles.xml"] = styles.replace(b"</tableStyles>", line + b"</tableStyles>")
    clean = Package(take(save(parts, tmp_path / "styled.xlsx"), tmp_path / "clean.xlsx")).tree("xl/styles.xml")
    theirs, index = (int(line.get("dxfId")) for line in clean.iter("{*}tableStyleElement"))
    looks, before = clean.find("{*}dxfs"), etree.fromstring(styles).find("{*}dxfs")

    assert etree.tostring(looks[index]) == etree.tostring(before[count - own])
    assert etree.tostring(looks[theirs]) == etree.tostring(before[0])


@pytest.mark.parametrize("name", ["neither_names_nor_sums", "everything", "no_styles"])
def test_what_is_made_in_the_workbook_part_stands_where_it_must(name: str, tmp_path: Path) -> None:
    """Names, and that it is to be reckoned anew, come before what the standard puts behind them: views, pivot caches, extensions."""
    host = made(name, tmp_path / "host.xlsx")
    package = Package(host)
    merge(package, "xl/workbook.xml", Package(guest(tmp_path / "guest.xlsx")), recalculate=True)
    package.save(tmp_path / "new.xlsx")
    order = [local(line.tag) for line in package.tree("xl/workbook.xml")]
    there = [local(line.tag) for line in etree.fromstring(parts_of(host)["xl/workbook.xml"])]

    assert [one for one in order if one in there] == there
    assert set(order) == {*there, "definedNames", "calcPr"}
    assert order.index("sheets") < order.index("definedNames") < order.index("calcPr")
    assert order[order.index("calcPr") + 1 :] == [one for one in there if one in {"customWorkbookViews", "pivotCaches", "extLst"}]
    assert invalid(tmp_path / "new.xlsx") == ""


def test_a_formula_that_was_replaced_leaves_the_chain(tmp_path: Path) -> None:
    host = made("with_chain", tmp_path / "host.xlsx")
    new = add(host, tmp_path / "new.xlsx")
    package = Package(new)
    take_apart(package, workbook_of(new), SHEETS, NAMES, {"Summary": {"B1"}})

    assert package.read("xl/calcChain.xml") == parts_of(host)["xl/calcChain.xml"].replace(b'<c r="B1" i="1"/><c r="B2"/>', b'<c r="B2" i="1"/>')


def test_a_tab_that_was_chosen_among_ours_is_chosen_no_more(tmp_path: Path) -> None:
    host = made("by_openpyxl", tmp_path / "host.xlsx")
    new = add(host, tmp_path / "new.xlsx")
    package = Package(new)
    package.put("xl/workbook.xml", package.read("xl/workbook.xml").replace(b'activeTab="0"', b'activeTab="3"'))
    take_apart(package, "xl/workbook.xml", SHEETS, NAMES, {})

    assert package.read("xl/workbook.xml") == parts_of(host)["xl/workbook.xml"]


def test_sheets_between_those_of_the_host_are_taken_out_too(tmp_path: Path) -> None:
    """A person may move our tabs to the front: print areas are counted by the place of the tab."""
    host = made("by_xlsxwriter", tmp_path / "host.xlsx")
    package = Package(add(host, tmp_path / "new.xlsx"))
    data = package.read("xl/workbook.xml")
    ours = re.findall(rb'<sheet name="(?:Start|Sums)"[^>]*/>', data)
    for line in ours:
        data = data.replace(line, b"")
    data = data.replace(b"<sheets>", b"<sheets>" + b"".join(ours))
    data = re.sub(rb'localSheetId="(\d)"', lambda found: b'localSheetId="%d"' % ((int(found[1]) + 2) % 5), data)
    package.put("xl/workbook.xml", data)
    take_apart(package, "xl/workbook.xml", SHEETS, NAMES, {})

    assert package.read("xl/workbook.xml") == parts_of(host)["xl/workbook.xml"]


def resaved(path: Path) -> Package:
    """Return a workbook with our sheets as another program saves it: texts in one table, titles among the properties."""
    package = Package(path)
    texts = ["theirs", "ours", "both", "last of ours"]
    strings = "".join(f"<si><t>{text}</t></si>" for text in texts)
    main = "http://schemas.openxmlformats.org/spreadsheetml/2006/main"
    package.put("xl/sharedStrings.xml", f'<sst xmlns="{main}" count="6" uniqueCount="4">{strings}</sst>'.encode())
    sheets = {sheet.name: sheet.part for sheet in read_raw(path, HOST).sheets}
    for name, cells in (("Office", (0, 2)), ("Start", (1, 2)), ("Sums", (3,))):
        rows = "".join(f'<row r="{row}"><c r="A{row}" t="s"><v>{index}</v></c></row>' for row, index in enumerate(cells, 1))
        package.put(sheets[name], f'<worksheet xmlns="{main}"><sheetData>{rows}</sheetData></worksheet>'.encode())
    data = package.read("docProps/app.xml").decode()
    data = data.replace("<vt:lpstr>It's odd</vt:lpstr>", "<vt:lpstr>It's odd</vt:lpstr><vt:lpstr>Start</vt:lpstr><vt:lpstr>Sums</vt:lpstr>")
    data = data.replace("</vt:vector></TitlesOfParts>", "<vt:lpstr>Start!Print_Titles</vt:lpstr></vt:vector></TitlesOfParts>")
    numbers = iter(re.findall(r"<vt:i4>(\d+)</vt:i4>", data))
    more = iter((2, 0, 1))
    data = re.sub(r"<vt:i4>\d+</vt:i4>", lambda _found: f"<vt:i4>{int(next(numbers)) + next(more)}</vt:i4>", data)
    size = re.search(r'<TitlesOfParts><vt:vector size="(\d+)"', data)
    assert size is not None
    package.put("docProps/app.xml", data.replace(size[0], size[0].replace(size[1], str(int(size[1]) + 3))).encode())
    return package


def test_no_text_and_no_title_of_ours_is_left_after_another_program_saved_it(tmp_path: Path) -> None:
    host = made("by_xlsxwriter", tmp_path / "host.xlsx")
    package = resaved(add(host, tmp_path / "new.xlsx"))
    assert b"Start!Print_Titles" in package.read("docProps/app.xml")
    take_apart(package, "xl/workbook.xml", SHEETS, NAMES, {})

    assert package.read("xl/sharedStrings.xml").endswith(
        b'count="3" uniqueCount="3"><si><t>theirs</t></si><si><t/></si><si><t>both</t></si></sst>'
    )
    assert package.read("docProps/app.xml") == parts_of(host)["docProps/app.xml"]
