"""Tables, what changed in them, and what was posted, on the terminal."""

from __future__ import annotations

import collections
import itertools
import operator
from typing import TYPE_CHECKING, Final

import click
from rich.console import Console
from rich.table import Table
from rich.text import Text

from sheetgen import units
from sheetgen.figures import measures as measures_of
from sheetgen.reconcile import Comparison
from sheetgen.terminal import plain
from sheetgen.version import __version__

if TYPE_CHECKING:
    from collections.abc import Sequence
    from pathlib import Path

    from sheetgen.figures import Row
    from sheetgen.post import Outcome
    from sheetgen.since import Since
    from sheetgen.units import System

_TITLES: Final = {
    "jobs": "Jobs (variance = actual less estimate; above 0 is over)",
    "hours": "Hours by task",
    "materials": "Materials, in packages, for the area done",
    "toppings": "Toppings: thickness really laid, with waste as bid",
    "other_costs": "Other costs, before tax",
    "progress": "Work in progress, cost to cost (under: earned and not yet billed; over: billed and not yet earned)",
}
_SHOWN: Final = {
    "jobs": ("status", "price", "hours_estimated", "hours_actual", "hours_variance", "bags_needed", "bags_used"),
    "hours": ("task", "estimated", "actual", "variance", "efficiency_variance", "rate_variance"),
    "materials": ("product", "needed", "used", "variance", "price_variance", "quantity_variance"),
    "toppings": ("system", "area_done", "bags_used", "thickness_planned", "thickness_laid"),
    "other_costs": ("kind", "supplier", "amount", "tax"),
    "progress": ("status", "contract", "cost_actual", "share", "earned", "billed", "under", "over", "provision"),
}


def tables(compared: Comparison) -> None:
    """Print the tables of a comparison: a figure that is not known is a dash, running jobs stand after those that are done.

    Figures are never cut; names wrap. A task or product without any figure is left to the CSV files.
    """
    console = Console(width=None, soft_wrap=False)
    for name, rows in compared.tables.items():
        measures = measures_of(name)
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
        before = None
        for row in sorted(told, key=lambda row: row["status"] not in {"done", "closed"}):
            # Not the name of the file: every job may have its own folder and a file of the same name in it.
            if (job := (row["workbook"], row["book_id"], row["job_number"])) != before:
                before = job
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


def since(changed: Since, ledger: Path, system: System) -> None:
    """Print what changed since an earlier run that a ledger remembers, in the units of a system."""
    if changed.day is None:
        click.echo(f"There is no earlier run to compare with; this one is remembered in {ledger}.")
        return
    if changed.tool != __version__:
        click.echo(f"The run of {changed.day} was made by sheetgen {changed.tool}; this is {__version__}, which may compute otherwise.")
    for word, jobs in (("new", changed.new), ("not in this run", changed.gone)):
        for job in jobs:
            click.echo(f"{word}: {_named(job)}")
    if not (changed.new or changed.gone or changed.changes):
        click.echo(f"Nothing changed since the run of {changed.day}.")
    if not changed.changes:
        return
    click.echo(f"Figures that changed since the run of {changed.day}:")
    table = Table()
    table.add_column("job, figure", min_width=16)
    for heading in ("then", "now"):
        table.add_column(heading, justify="right")
    for (workbook, _, name), changes in itertools.groupby(changed.changes, operator.attrgetter("workbook", "job_number", "job_name")):
        table.add_section()
        table.add_row(Text(_cell(name or workbook, ""), style="bold"))
        for one in changes:
            measure = measures_of(one.table).get(one.column, "")
            figure = f"{one.row}: " * bool(one.row) + one.column.replace("_", " ")
            symbol = units.symbol(measure, system) if measure else ""
            table.add_row(
                Text(_cell(f"{figure}, {symbol}" if symbol else figure, "")),
                *(Text(_cell(value, measure)) for value in (one.before, one.after)),
            )
    Console(width=None, soft_wrap=False).print(table)


def posted(outcomes: Sequence[Outcome], ledger: Path) -> None:
    """Print what became of each book, and where one differs from what was posted."""
    for one in outcomes:
        job = f": job {one.job_number}" if one.job_number else ""
        revision = f", revision {one.revision}" if one.became == "amended" else ""
        day = f", as posted on {one.posted_on}" if one.became == "unchanged" else ""
        click.echo(plain(f"{one.became} {one.book}{job}{revision}{day}"))
        for change in one.changes:
            place = f"{change.place} " if change.place else ""
            click.echo(plain(f"    {place}{change.label} ({change.field}): {change.before}, now {change.after}"))
    counts = collections.Counter(one.became for one in outcomes)
    click.echo(f"{ledger}: " + ", ".join(f"{count} {became}" for became, count in counts.items()))


def _named(job: Row) -> str:
    number = f"{job['job_number']} " if job["job_number"] else ""
    return plain(f"{number}{job['job_name'] or ''} ({job['workbook']})")
