"""Tables on the terminal."""

from __future__ import annotations

from typing import Final

from rich.console import Console
from rich.table import Table
from rich.text import Text

from sheetgen import units
from sheetgen.reconcile import TABLES, Comparison, Row

_TITLES: Final = {
    "jobs": "Jobs (variance = actual − estimate; positive is over)",
    "hours": "Hours by task",
    "materials": "Materials, in packages, for the area done",
    "toppings": "Toppings: thickness really laid, with waste as bid",
}
_SHOWN: Final = {
    "jobs": ("job_name", "status", "price", "hours_estimated", "hours_actual", "hours_variance", "bags_needed", "bags_used"),
    "hours": ("job_name", "task", "estimated", "actual", "variance", "efficiency_variance", "rate_variance"),
    "materials": ("job_name", "product", "needed", "bought", "used", "variance", "price_variance", "quantity_variance"),
    "toppings": ("job_name", "system", "area_done", "bags_used", "thickness_planned", "thickness_laid"),
}


def tables(compared: Comparison) -> None:
    """Print the tables of a comparison; a figure that is not known is a dash, running jobs stand apart.

    A name is shown once, on its first row. Figures are never cut; names wrap.
    """
    console = Console(width=None, soft_wrap=False)
    for name, rows in compared.tables.items():
        if not rows:
            continue
        measures = dict(TABLES[name])
        table = Table(title=_TITLES[name], title_justify="left")
        for column in _SHOWN[name]:
            unit = measures.get(column, "")
            symbol = units.symbol(unit, compared.system) if unit else ""
            heading = column.replace("_", "\n" if unit else " ")
            table.add_column(f"{heading}\n{symbol}".strip(), justify="right" if unit else "left", no_wrap=bool(unit), overflow="fold")
        finished = [row for row in rows if row["status"] in {"done", "closed"}]
        others = [row for row in rows if row not in finished]
        for group in (finished, others):
            before: Row | None = None
            for row in group:
                again = before is not None and before["workbook"] == row["workbook"]
                # Text keeps what a person typed from being read as mark-up.
                table.add_row(
                    *(Text("" if again and column == "job_name" else _cell(row[column], measures.get(column, ""))) for column in _SHOWN[name])
                )
                before = row
            table.add_section()
        console.print(table)


def _cell(value: object, unit: str) -> str:
    if value is None:
        return "–"
    if isinstance(value, float):
        if unit == "share":
            return f"{value * 100:.1f} %"
        return f"{value:,.4f}" if unit == "depth" else f"{value:,.2f}"
    return "".join(letter if letter.isprintable() else "�" for letter in str(value))
