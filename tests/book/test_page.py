"""What a sheet looks like beyond its cells: room for charts, size of type, widths, and how far a printed page reaches."""

from __future__ import annotations

import datetime as dt

import openpyxl
from minibook import Mini, block

from sheetgen.book.stamp import Stamp
from sheetgen.book.write import write

_CHART = """
[[chart]]
type = "bar"
stacked = true
before = "y"
rows = 10
title = "Steps"
categories = "x.n"
x_axis = "Step"
y_axis = "Minutes (min)"
alt = "Bars."

[[chart.series]]
name = "lead"
values = "x.n"
unseen = true

[[chart.series]]
name = "work"
values = "x.n"
"""


def test_a_chart_stands_before_its_block(mini: Mini) -> None:
    steps = block("x", "sample", "n: count = no", rows=4, numbered=True)
    mini.sums(steps, block("y", "fields", "a: count"), looks="0")
    without = mini.plan().spot("y", "a").row
    mini.text("02-sums.toml", (mini.folder / "02-sums.toml").read_text(encoding="utf-8") + _CHART)

    plan = mini.plan()

    assert plan.spot("y", "a").row == without + 11
    assert plan.chart_rows["Sums"] == [plan.spot("x", "n").cell(3).row + 2]
    book = mini.recalculated({})
    charts = openpyxl.load_workbook(book.path)["Sums"]._charts
    assert len(charts) == 1
    assert charts[0].anchor._from.row == plan.chart_rows["Sums"][0]
    assert charts[0].grouping == "stacked"
    assert [one.graphicalProperties.noFill for one in charts[0].series] == [True, False]
    assert [one.idx for one in charts[0].legend.legendEntry] == [0]


def test_a_sheet_has_its_own_type_and_widths(mini: Mini) -> None:
    mini.sums(block("x", "fields", "a: count"))
    text = (mini.folder / "02-sums.toml").read_text(encoding="utf-8")
    mini.text("02-sums.toml", "size = 13\nwidths = [20, 9, 6]\n" + text)

    book = mini.recalculated({})
    sheet = openpyxl.load_workbook(book.path)["Sums"]

    assert [round(sheet.column_dimensions[letter].width) for letter in "ABC"] == [21, 10, 7]
    assert sheet.cell(book.plan.spot("x", "a").row + 1, 1).font.size == 13


def test_running_text_widens_the_printed_page(mini: Mini) -> None:
    mini.sums(block("x", "rows", "a: count", "said: text ~ x.name; runs = 60", "name: text", rows=2))
    wide = openpyxl.load_workbook(mini.recalculated({}).path)["Sums"].print_area
    mini.sums(block("x", "rows", "a: count", "said: text ~ x.name", "name: text", rows=2))
    narrow = openpyxl.load_workbook(mini.recalculated({}).path)["Sums"].print_area

    assert (narrow[-4:-2], wide[-4:-2]) == ("$C", "$F")


def test_long_texts_are_broken_into_lines_and_their_row_is_higher(mini: Mini) -> None:
    long = "twelve words that are far too many for one line of this column"
    mini.sums(block("x", "rows", "name: text; kind = 'posted'; wrap = true; width = 20", "said: text ~ name; wrap = true; width = 60", rows=2))

    book = mini.recalculated({("x.name", 0): long, ("x.name", 1): "short"})
    sheet = openpyxl.load_workbook(book.path)["Sums"]

    first = book.plan.spot("x", "name").row + 1
    assert [sheet.cell(first, column).alignment.wrap_text for column in (1, 2)] == [True, True]
    # 62 letters at 19 a line.
    assert (sheet.row_dimensions[first].height, sheet.row_dimensions[first + 1].height) == (60, None)


def test_an_id_that_begins_with_a_digit_is_not_read_as_a_size(mini: Mini) -> None:
    book = mini.sums(block("x", "fields", "a: count")).recalculated({})
    write(book.path, book.contents, Stamp.of(book.plan, "0f1e2d3c", dt.date(2026, 3, 1)))

    footer = openpyxl.load_workbook(book.path)["Sums"].oddFooter.left
    assert (footer.size, footer.text.strip()) == (8, "0f1e2d3c · 2026-03-01")


def test_no_chart_is_cut_by_the_end_of_a_page(mini: Mini) -> None:
    """Charts of 10 rows, one under the other: portrait takes three to a page, landscape two."""
    chart = _CHART.replace('before = "y"\n', "")
    mini.sums(block("x", "sample", "n: count = no", rows=4, numbered=True))
    text = (mini.folder / "02-sums.toml").read_text(encoding="utf-8")
    for key, every in (("", 3), ("landscape = true\n", 2)):
        mini.text("02-sums.toml", key + text + chart * 5)
        book = mini.recalculated({})
        breaks = [one.id for one in openpyxl.load_workbook(book.path)["Sums"].row_breaks.brk]
        assert breaks == book.plan.chart_rows["Sums"][::every]


def test_a_chart_may_be_called_otherwise_in_each_unit_system(mini: Mini) -> None:
    mini.sums(block("x", "sample", "n: count = no", rows=4, numbered=True))
    text = (mini.folder / "02-sums.toml").read_text(encoding="utf-8")
    chart = _CHART.replace('before = "y"\n', "").replace('"Minutes (min)"', '{ us = "Hours per 100 ft²", metric = "Hours per 10 m²" }')
    mini.text("02-sums.toml", text + chart)
    for system, said in (("us", "Hours per 100 ft²"), ("metric", "Hours per 10 m²")):
        drawn = openpyxl.load_workbook(mini.recalculated({}, system).path)["Sums"]._charts[0]
        assert drawn.x_axis.title.tx.rich.p[0].r[0].t == said or drawn.y_axis.title.tx.rich.p[0].r[0].t == said
