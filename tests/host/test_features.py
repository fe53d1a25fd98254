"""What finds its sheet by a number or a name still finds it, with a bid in the workbook, with two, and with one of two taken out."""

from __future__ import annotations

import re
from pathlib import Path
from typing import Any

import pytest
from hosts import parts_of, save

from sheetgen.host.package import Package
from sheetgen.host.part_out import take_apart
from sheetgen.reader.limits import HOST
from sheetgen.reader.package import RELATION_ID, local, parse
from sheetgen.reader.raw import read_raw

OWN = ("Summary", "Customers", "Sales", "Overview", "It's quiet", "Secret", "Chart")


def facts(path: Path) -> dict[str, Any]:
    """Return what a workbook says of the person's sheets, everything told by the sheet's name."""
    parts = parts_of(path)
    root = parse(parts["xl/workbook.xml"])
    groups = {local(group.tag): group for group in root}
    tabs = list(groups["sheets"])
    targets = {line.get("Id"): line.get("Target") for line in parse(parts["xl/_rels/workbook.xml.rels"])}
    by_id = {tab.get("sheetId"): tab.get("name") for tab in tabs}
    assert len(by_id) == len(tabs)
    cache = parse(parts["xl/slicerCaches/slicerCache1.xml"])
    pivot = parse(parts["xl/pivotTables/pivotTable1.xml"])
    return {
        "order": [tab.get("name") for tab in tabs][: len(OWN)],
        "state": {tab.get("name"): tab.get("state", "visible") for tab in tabs if tab.get("name") in OWN},
        "open": [tabs[int(view.get("activeTab", 0))].get("name") for view in groups["bookViews"]],
        "own view": [by_id[view.get("activeSheetId")] for view in groups["customWorkbookViews"]],
        "local names": {
            (tabs[int(line.get("localSheetId"))].get("name"), line.get("name")): line.text
            for line in groups["definedNames"]
            if line.get("localSheetId") is not None and tabs[int(line.get("localSheetId"))].get("name") in OWN
        },
        "slicer": [by_id[line.get("tabId")] for line in cache.iter("{*}pivotTable")],
        "cache": [targets[line.get(RELATION_ID[0])] for line in groups["pivotCaches"] if line.get("cacheId") == pivot.get("cacheId")],
        "source": dict(next(parse(parts["xl/pivotCache/pivotCacheDefinition1.xml"]).iter("{*}worksheetSource")).attrib),
        "behind the sheets": [name for name in groups if name != "definedNames"],
    }


def without(path: Path, prefix: str, out: Path) -> Path:
    """Take the parts of one bid out."""
    package = Package(path)
    root = package.tree("xl/workbook.xml")
    titles, names = (
        [line.get("name") for line in root.iter(f"{{*}}{kind}") if line.get("name").startswith(start)]
        for kind, start in (("sheet", prefix), ("definedName", prefix.replace(" ", "_")))
    )
    take_apart(package, "xl/workbook.xml", titles, names, {})
    package.save(out)
    return out


@pytest.fixture(scope="module")
def before(host: Path) -> dict[str, Any]:
    found = facts(host)
    assert found["slicer"] == found["open"] == found["own view"] == ["Overview"]
    assert found["state"]["It's quiet"] == "hidden"
    assert found["state"]["Secret"] == "veryHidden"
    assert found["local names"].keys() == {("Overview", "total"), ("Sales", "total"), ("Sales", "_xlnm.Print_Area")}
    assert found["source"] == {"ref": "A1:C6", "sheet": "Sales"}
    assert found["cache"] == ["pivotCache/pivotCacheDefinition1.xml"]
    return found


def test_everything_finds_its_sheet_with_one_bid_and_with_two(before: dict[str, Any], one: Path, two: Path) -> None:
    assert facts(one) == before
    assert facts(two) == before


def test_everything_finds_its_sheet_when_the_first_of_two_is_gone(before: dict[str, Any], two: Path, tmp_path: Path) -> None:
    assert facts(without(two, "Job 7 ", tmp_path / "left.xlsx")) == before


def test_a_tab_of_ours_that_was_moved_to_the_front_changes_no_name_of_a_sheet(before: dict[str, Any], one: Path, tmp_path: Path) -> None:
    """Print areas, local names and the open tab go by the place of a tab, which a person's program counts anew when it is moved."""
    parts = parts_of(one)
    book = parts["xl/workbook.xml"]
    tabs = re.findall(rb"<sheet [^>]*/>", book)
    moved = [tabs[-1], *tabs[:-1]]
    book = re.sub(rb"(<sheets>).*(</sheets>)", lambda found: found[1] + b"".join(moved) + found[2], book)
    for name in (rb"localSheetId", rb"activeTab"):
        book = re.sub(name + rb'="(\d+)"', lambda found, name=name: b'%b="%d"' % (name, (int(found[1]) + 1) % len(tabs)), book)
    parts["xl/workbook.xml"] = book

    assert facts(without(save(parts, tmp_path / "moved.xlsx"), "Job 7 ", tmp_path / "left.xlsx")) == before


def test_the_other_sheets_of_the_host_reckon_as_before(host: Path, one: Path) -> None:
    from sheetgen.check.recalculate import formula_cells, recalculate

    cells = {sheet: places for sheet, places in formula_cells(read_raw(host, HOST)).items() if sheet != "Summary"}
    values = recalculate(host, "ironcalc", cells)

    assert values["Secret"][1, 1] == 301
    assert recalculate(one, "ironcalc", cells) == values
