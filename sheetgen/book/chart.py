"""Native charts, as the sheets' templates ask for them."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from sheetgen.book.contents import Contents
from sheetgen.book.plan import Plan, Spot
from sheetgen.book.style import HEAD_FILL, INK
from sheetgen.book.template import SCENARIOS, Sheet

_ROWS_HIGH = 18
_PATTERNS = (("#4A5A66", "solid"), ("#C9B26B", "wide_upward_diagonal"))


def add(workbook: Any, worksheet: Any, sheet: Sheet, plan: Plan, contents: Contents, row: int) -> int:
    """Add the charts of a sheet below its parts; return the last row that they cover.

    Parameters
    ----------
    workbook, worksheet : xlsxwriter objects
        Where the charts go.
    sheet : Sheet
        The sheet's template; each chart names a first and last field, or a column of records.
    plan : Plan
        Plan of the book.
    contents : Contents
        What stands in the cells: a chart over records ends at the last that has a name.
    row : int
        0-based first free row [count].

    Returns
    -------
    int
        0-based last row [count].
    """
    if sheet.charts:
        # A chart is not cut by the end of a page.
        worksheet.set_h_pagebreaks([row])
    for spec in sheet.charts:
        made = workbook.add_chart({"type": spec["type"]})
        for number, series in enumerate(spec["series"]):
            fill, pattern = _PATTERNS[number % len(_PATTERNS)]
            look = {"color": fill} if pattern == "solid" else None
            made.add_series(
                {
                    "name": series["name"],
                    "categories": _range(plan, contents, spec, spec["categories"]),
                    "values": _range(plan, contents, spec, series["values"]),
                    **({"fill": look} if look else {"pattern": {"pattern": pattern, "fg_color": INK, "bg_color": fill}}),
                    "border": {"color": INK},
                    "gap": 60,
                }
            )
        made.set_title({"name": spec["title"], "overlay": False, "name_font": {"size": 12, "color": INK}})
        names = {"name": spec["x_axis"], "num_font": {"color": INK}}
        amounts = {"name": spec["y_axis"], "major_gridlines": {"visible": True, "line": {"color": HEAD_FILL}}}
        if spec["type"] == "bar":
            # Lying bars have their names on the y axis, and run down the page in the order of the table.
            made.set_y_axis({**names, "reverse": True})
            made.set_x_axis(amounts)
        else:
            made.set_x_axis(names)
            made.set_y_axis(amounts)
        made.set_legend({"none": True} if len(spec["series"]) == 1 else {"position": "bottom"})
        made.set_size({"width": 680, "height": _ROWS_HIGH * 20})
        worksheet.insert_chart(row, 0, made, {"description": spec["alt"], "object_position": 2})
        row += _ROWS_HIGH + 1
    return row


def _range(plan: Plan, contents: Contents, spec: Mapping[str, Any], source: str) -> list[Any]:
    """Return [sheet, first row, first column, last row, last column] of ``block.field`` or ``label:block.first:block.last``."""
    if ":" in source:
        what, first, last = source.split(":")
        start, end = (plan.spot(*name.split(".")) for name in (first, last))
        column = 0 if what == "label" else start.column + SCENARIOS.index("accepted")
        return [start.sheet, start.row, column, end.row, column]
    block, field = source.split(".")
    spot = plan.spot(block, field)
    last_record = _last_named(plan, contents, spec["names"], spot)
    start_cell, end_cell = spot.cell(0), spot.cell(last_record)
    return [spot.sheet, start_cell.row, start_cell.column, end_cell.row, end_cell.column]


def _last_named(plan: Plan, contents: Contents, names: str, spot: Spot) -> int:
    """Return the last record with a name: blank rows would be drawn as zeros [count]."""
    block = plan.book.blocks[names.split(".", maxsplit=1)[0]]
    field = block.field(names.split(".")[1])
    assert field is not None
    named = [record for record in range(spot.records) if contents.value(block, field, record, None) not in (None, "")]
    return max(named, default=0)
