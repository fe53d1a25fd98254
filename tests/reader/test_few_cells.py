"""A sheet of which only formulas and certain cells are left says of these what the whole sheet says."""

import re

import pytest
from hand_made import MAIN, book_parts, sheet, write

from sheetgen.reader.few_cells import few_cells
from sheetgen.reader.limits import HOST
from sheetgen.reader.raw import read_raw

ROWS = (
    '<row r="1" spans="1:2" s="3" customFormat="1"><c r="A1"><f t="shared" ref="A1:A3" si="0">B1*2</f><v>2</v></c><c r="B1"><v>1</v></c></row>'
    '<row r="2"/><row r="3"><c r="A3"><f t="shared" si="0"/><v>4</v></c><c r="B3" t="inlineStr"><is><t>f&lt;c</t></is></c></row>'
    '<row r="12"><c r="A12"/><c r="AB12"><v>9</v></c><c r="AC12"><v>10</v></c></row>'
)
TAIL = '<rowBreaks count="1"><brk id="1"/></rowBreaks>'
FORMULAS = (
    '<row r="1"><c r="A1"><f t="shared" ref="A1:A3" si="0">B1*2</f><v>2</v></c></row>'
    '<row r="3"><c r="A3"><f t="shared" si="0"/><v>4</v></c>{}</row>'
)


def few(rows, *wanted):
    return few_cells(sheet(rows, after=TAIL).encode(), wanted).decode()


def test_formulas_and_wanted_cells_are_left():
    assert few(ROWS) == sheet(FORMULAS.format(""), after=TAIL)
    assert few(ROWS, (3, 2)) == sheet(FORMULAS.format('<c r="B3" t="inlineStr"><is><t>f&lt;c</t></is></c>'), after=TAIL)
    assert few(ROWS, (12, 28), (12, 1), (7, 7)) == sheet(
        FORMULAS.format("") + '<row r="12"><c r="A12"/><c r="AB12"><v>9</v></c></row>', after=TAIL
    )
    assert few("", (1, 1)) == sheet("", after=TAIL)


@pytest.mark.parametrize(
    "data",
    [
        sheet("<row><c><v>1</v></c></row>"), sheet('<row r="1"><c t="s" r="A1"><v>1</v></c></row>'),
        sheet('<row r="1"><c r="A1"><v>1</v></c ></row>'), f'<worksheet xmlns="{MAIN}"><sheetData/></worksheet>',
        f'<worksheet xmlns="{MAIN}"><sheetData /></worksheet>', re.sub(r"<(/?)(?=[a-z])", r"<\1x:", sheet(ROWS)), "<a/>",
        sheet('<row r="1"><c r="A1"><!-- <f>1</f> --></c></row>').replace("<c r", "<d r").replace("</c>", "</d>"),
    ],
)  # fmt: skip
def test_a_sheet_that_is_written_in_an_unusual_way_stays_whole(data):
    assert few_cells(data.encode(), [(1, 1)]) == data.encode()


def test_two_bytes_a_letter_stay_whole():
    data = ('<?xml version="1.0" encoding="UTF-16"?>' + sheet(ROWS)).encode("utf-16")

    assert few_cells(data, [(1, 1)]) == data


def test_what_is_left_is_read_as_from_the_whole(tmp_path):
    path = write(tmp_path, book_parts(sheet(ROWS.replace(' s="3" customFormat="1"', ""))))
    whole = read_raw(path, HOST).sheets[0].cells
    left = read_raw(path, HOST, lambda _root, tabs: {tab: [(12, 28), (99, 1)] for tab in tabs}).sheets[0].cells

    assert left == {place: whole[place] for place in ((1, 1), (3, 1), (12, 28))}
    assert left[3, 1].formula == "B3*2"
    assert read_raw(path, HOST, lambda _root, tabs: dict.fromkeys(tabs)).sheets[0].cells == whole
