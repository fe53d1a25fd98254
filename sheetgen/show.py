"""Tables on the terminal."""

from __future__ import annotations

from typing import Final

from rich.console import Console
from rich.table import Table
from rich.text import Text

from sheetgen import units
from sheetgen.figures import TABLES
from sheetgen.reconcile import Comparison

_TITLES: Final = {
    "jobs": "Jobs (variance = actual less estimate; above 0 is over)",
    "hours": "Hours by task",
    "materials": "Materials, in packages, for the area done",
    "toppings": "Toppings: thickness really laid, with waste as bid",
}
_SHOWN: Final = {
    "jobs": ("status", "price", "hours_estimated", "hours_actual", "hours_variance", "bags_needed", "bags_used"),
    "hours": ("task", "estimated", "actual", "variance", "efficiency_variance", "rate_variance"),
    "materials": ("product", "needed", "used", "variance", "price_variance", "quantity_variance"),
    "toppings": ("system", "area_done", "bags_used", "thickness_planned", "thickness_laid"),
}


def tables(compared: Comparison) -> None:
    """Print the tables of a comparison: a figure that is not known is a dash, running jobs stand after those that are done.

    Figures are never cut; names wrap. A task or product without any figure is left to the CSV files.
    """
    console = Console(width=None, soft_wrap=False)
    for name, rows in compared.tables.items():
        measures = dict(TABLES[name])
        shown = _SHOWN[name]
        figures = [column for column in shown if measures.get(column)]
        told = [row for row in rows if name == "jobs" or any(row[column] is not None for column in figures)]
        if not told:
            continue
        table = Table(title=_TITLES[name], title_justify="left")
        for column in shown:
            unit = measures.get(column, "")
            symbol = units.symbol(unit, compared.system) if unit else ""
            heading = column.replace("_", "\n" if unit else " ") if column != "status" else "job, status"
            table.add_column(
                f"{heading}\n{symbol}".strip(), justify="right" if unit else "left", no_wrap=bool(unit), min_width=0 if unit else 16
            )
        before = ""
        for row in sorted(told, key=lambda row: row["status"] not in {"done", "closed"}):
            if row["workbook"] != before:
                before = row["workbook"]
                table.add_section()
                # Text keeps what a person typed from being read as mark-up.
                table.add_row(Text(_cell(row["job_name"] or row["workbook"], ""), style="bold"))
            table.add_row(*(Text(_cell(row[column], measures.get(column, ""))) for column in shown))
        console.print(table)


def _cell(value: object, unit: str) -> str:
    if value is None:
        return "–"
    if isinstance(value, float):
        if unit == "share":
            return f"{value * 100:.1f} %"
        return f"{value:,.4f}" if unit == "depth" else f"{value:,.2f}"
    return "".join(letter if letter.isprintable() else "�" for letter in str(value))
