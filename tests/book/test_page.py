"""What a sheet looks like beyond its cells: room for charts, size of type, widths, and how far a printed page reaches."""

from __future__ import annotations

import openpyxl
from minibook import Mini, block

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
