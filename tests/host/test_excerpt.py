"""A cell of a large sheet is read from its row alone, as it is read from the whole sheet."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from hosts import by_years_of_use, parts_of, save

from sheetgen.book.linked import Target
from sheetgen.host.excerpt import excerpt, rows_alone
from sheetgen.reader.limits import HOST
from sheetgen.reader.raw import read_raw

MAIN = "http://schemas.openxmlformats.org/spreadsheetml/2006/main"
ROWS = (
    '<row r="1" spans="1:2"><c r="A1"><f t="shared" ref="A1:A3" si="0">B1*2</f><v>2</v></c></row><row r="2"/><row r="12"><c r="A12"><v>9</v></c>'
    '</row><row r="3"><c r="A3"><f t="shared" si="0"/><v>4</v></c><c r="B3" t="inlineStr"><is><t>row</t></is></c></row>'
)
TAIL = "<rowBreaks><brk id='1'/></rowBreaks>"


def sheet(rows: str = ROWS) -> bytes:
    return f'<worksheet xmlns="{MAIN}"><sheetData>{rows}</sheetData>{TAIL}</worksheet>'.encode()


@pytest.mark.parametrize("prefix", ["", "x:"])
def test_only_the_rows_that_are_wanted_are_left(prefix: str) -> None:
    def written(data: bytes) -> bytes:
        return re.sub(rb"<(/?)(?=[a-z])", rb"<\1" + prefix.encode(), data)

    third = '<row r="3"><c r="A3"><f/><v>4</v></c><c r="B3" t="inlineStr"><is><t>row</t></is></c></row>'

    assert rows_alone(written(sheet()), {3}) == written(sheet(third))
    assert rows_alone(written(sheet()), {2, 7}) == written(sheet('<row r="2"/>'))
    assert rows_alone(written(sheet()), {1}) == written(sheet('<row r="1" spans="1:2"><c r="A1"><f>B1*2</f><v>2</v></c></row>'))


@pytest.mark.parametrize(
    "data", [sheet("<row><c><v>1</v></c></row>"), b"<worksheet><sheetData/></worksheet>", b"<worksheet><sheetData /></worksheet>", b"<a/>"]
)
def test_a_sheet_whose_rows_cannot_be_told_apart_stays_whole(data: bytes) -> None:
    assert rows_alone(data, {1}) == data


def test_cells_are_read_from_their_rows_as_from_the_whole(tmp_path: Path) -> None:
    """Texts, dates and formulas with their last values; sheets that are not asked for stay whole; the file stays as it is."""
    host = by_years_of_use(tmp_path / "host.xlsx")
    parts = parts_of(host)
    targets = [Target("Customers", 4, 2), Target("Overview", 4, 4), Target("Overview", 6, 4), Target("Overview", 99, 1)]
    whole = read_raw(host, HOST)
    with excerpt(host, targets) as path:
        few = read_raw(path, HOST)

        assert path.name == host.name
        assert [few.cell(*target) for target in targets] == [whole.cell(*target) for target in targets]
        assert few.formats == whole.formats
    assert not path.exists()
    customers, sales = few.sheet("Customers"), few.sheet("Sales")
    assert customers is not None
    assert sales is not None
    assert list(customers.cells) == [(4, 2)]
    assert len(sales.cells) == len(whole.sheets[2].cells)
    assert parts_of(host) == parts


def test_a_cell_that_shares_a_formula_of_another_row_is_read(tmp_path: Path) -> None:
    parts = parts_of(by_years_of_use(tmp_path / "host.xlsx"))
    parts["xl/worksheets/sheet1.xml"] = sheet()
    with excerpt(save(parts, tmp_path / "shared.xlsx"), [Target("Summary", 3, 1)]) as path:
        cell = read_raw(path, HOST, lambda _root, _tabs: ["Summary"]).cell("Summary", 3, 1)

    assert cell is not None
    assert cell.value == 4
    assert cell.formula is not None
