"""Native charts, as the sheets' templates ask for them."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from sheetgen.book.contents import Contents
from sheetgen.book.plan import CHART_ROWS, Plan, Spot
from sheetgen.book.style import HEAD_FILL, INK
from sheetgen.book.template import SCENARIOS, Sheet

# Told apart without colour too.
_PATTERNS = (("#4A5A66", "solid"), ("#C9B26B", "wide_upward_diagonal"), ("#E4E8EB", "solid"), ("#A9BBA0", "small_grid"))
# Light shapes are filled: not every program draws the border of a point.
_SHAPES = (("circle", "#4A5A66"), ("square", "#C9B26B"), ("triangle", "#A9BBA0"))

# Rows of 15 points that a page holds for sure, below the rows that are repeated [count].
_PAGE_ROWS = {"portrait": 40, "landscape": 26}


def add(workbook: Any, worksheet: Any, sheet: Sheet, plan: Plan, contents: Contents) -> None:
    """Add the charts of a sheet, each in the rows that the plan leaves free for it.

    Parameters
    ----------
    workbook, worksheet : xlsxwriter objects
        Where the charts go.
    sheet : Sheet
        The sheet's template; each chart names a first and last field, or a column of records. A *stacked* chart puts
        its series end to end; one that is *unseen* only moves the next on. A *scatter* sets values against categories as
        points; a series with *line* is a line without points.
    plan : Plan
        Plan of the book.
    contents : Contents
        What stands in the cells: a chart over records ends at the last that has a name; one without names, over the
        steps of a sample, shows all.
    """
    rows = plan.chart_rows[plan.title(sheet)]
    if rows:
        worksheet.set_h_pagebreaks(_breaks(sheet, rows))
    for spec, row in zip(sheet.charts, rows, strict=True):
        made = workbook.add_chart({"type": spec["type"], **({"subtype": "stacked"} if spec.get("stacked") else {})})
        seen = 0
        for series in spec["series"]:
            made.add_series(
                {
                    "name": series["name"],
                    "categories": _range(plan, contents, spec, spec["categories"]),
                    "values": _range(plan, contents, spec, series["values"]),
                    **_seen(spec, series, seen),
                    "gap": spec.get("gap", 60),
                }
            )
            seen += not series.get("unseen")
        unseen = [number for number, series in enumerate(spec["series"]) if series.get("unseen")]
        made.set_title({"name": _said(spec["title"], plan), "overlay": False, "name_font": {"size": 12, "color": INK}})
        names = {"name": spec["x_axis"], "num_font": {"color": INK}, "num_format": "0", "label_position": "low"}
        if "every" in spec:
            names["interval_unit"] = spec["every"]
        amounts = {"name": _said(spec["y_axis"], plan), "major_gridlines": {"visible": True, "line": {"color": HEAD_FILL}}}
        if "y_format" in spec:
            amounts["num_format"] = spec["y_format"]
        if spec["type"] == "bar":
            # Lying bars have their names on the y axis, and run down the page in the order of the table.
            made.set_y_axis({**names, "reverse": True})
            made.set_x_axis(amounts)
        elif spec["type"] == "scatter":
            made.set_x_axis({**amounts, "name": _said(spec["x_axis"], plan)})
            made.set_y_axis(amounts)
        else:
            made.set_x_axis(names)
            made.set_y_axis(amounts)
        legend = {"position": "bottom", **({"delete_series": unseen} if unseen else {})}
        made.set_legend({"none": True} if len(spec["series"]) == 1 else legend)
        high = spec.get("rows", CHART_ROWS)
        made.set_size({"width": 680, "height": high * 20})
        worksheet.insert_chart(row, 0, made, {"description": spec["alt"], "object_position": 2})


def _breaks(sheet: Sheet, rows: list[int]) -> list[int]:
    """Return the rows before which a page begins, so that no chart is cut by the end of one [count]."""
    high = _PAGE_ROWS["landscape" if sheet.landscape else "portrait"]
    breaks: list[int] = []
    for row, spec in sorted(zip(rows, sheet.charts, strict=True), key=lambda placed: placed[0]):
        if not breaks or row + int(spec.get("rows", CHART_ROWS)) - breaks[-1] > high:
            breaks.append(row)
    return breaks


def _said(text: str | Mapping[str, str], plan: Plan) -> str:
    """Return a text of a chart, which may be another in each unit system."""
    return text if isinstance(text, str) else text[plan.system]


def _seen(spec: Mapping[str, Any], series: Mapping[str, Any], number: int) -> dict[str, Any]:
    if spec["type"] == "scatter":
        return _points(number, line=bool(series.get("line")))
    return _look(None if series.get("unseen") else number)


def _look(number: int | None) -> dict[str, Any]:
    """Return fill and border of a series: nothing for one that is not to be seen."""
    if number is None:
        return {"fill": {"none": True}, "border": {"none": True}}
    fill, pattern = _PATTERNS[number % len(_PATTERNS)]
    border = {"border": {"color": INK}}
    if pattern == "solid":
        return {"fill": {"color": fill}, **border}
    return {"pattern": {"pattern": pattern, "fg_color": INK, "bg_color": fill}, **border}


def _points(number: int, *, line: bool) -> dict[str, Any]:
    """Return the look of a series of points, told apart by their shape, or of a line without points."""
    if line:
        return {"marker": {"type": "none"}, "line": {"color": INK, "width": 1}}
    shape, fill = _SHAPES[number % len(_SHAPES)]
    return {"marker": {"type": shape, "size": 7, "fill": {"color": fill}, "border": {"color": INK}}, "line": {"none": True}}


def _range(plan: Plan, contents: Contents, spec: Mapping[str, Any], source: str) -> list[Any]:
    """Return [sheet, first row, first column, last row, last column] of ``block.field`` or ``label:block.first:block.last``."""
    if ":" in source:
        what, first, last = source.split(":")
        start, end = (plan.spot(*name.split(".")) for name in (first, last))
        column = 0 if what == "label" else start.column + SCENARIOS.index("accepted")
        return [start.sheet, start.row, column, end.row, column]
    block, field = source.split(".")
    spot = plan.spot(block, field)
    last_record = _last_named(plan, contents, spec["names"], spot) if "names" in spec else spot.records - 1
    start_cell, end_cell = spot.cell(0), spot.cell(last_record)
    return [spot.sheet, start_cell.row, start_cell.column, end_cell.row, end_cell.column]


def _last_named(plan: Plan, contents: Contents, names: str, spot: Spot) -> int:
    """Return the last record with a name: blank rows would be drawn as zeros [count]."""
    block = plan.book.blocks[names.split(".", maxsplit=1)[0]]
    field = block.field(names.split(".")[1])
    assert field is not None
    named = [record for record in range(spot.records) if contents.value(block, field, record, None) not in (None, "")]
    return max(named, default=0)
