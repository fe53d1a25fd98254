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
from sheetgen.figures import TABLES
from sheetgen.figures import measures as measures_of
from sheetgen.reconcile import Comparison
from sheetgen.terminal import plain
from sheetgen.version import __version__

if TYPE_CHECKING:
    from collections.abc import Collection, Sequence
    from pathlib import Path

    from sheetgen.changes import Change
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
    "progress": "Work in progress (under: earned, not yet billed; over: billed, not yet earned)",
}
# What a bookkeeper reads of a job that changed.
_READ: Final = frozenset({
    "status", "price", "change_price", "hours_estimated", "hours_actual", "bags_needed", "bags_used", "labour_cost", "materials_cost",
    "other_cost", "to_go", "billed", "tax_billed", "held", "paid",
})  # fmt: skip
_BECAME: Final = {
    "posted": "posted", "amended": "amended", "unchanged": "already there", "same": "same job", "not posted": "not posted",
}  # fmt: skip
_SHOWN: Final = {
    "jobs": ("status", "price", "hours_estimated", "hours_actual", "hours_variance", "bags_needed", "bags_used"),
    "hours": ("task", "estimated", "actual", "variance", "efficiency_variance", "rate_variance"),
    "materials": ("product", "needed", "used", "variance", "price_variance", "quantity_variance"),
    "toppings": ("system", "area_done", "bags_used", "thickness_planned", "thickness_laid"),
    "other_costs": ("kind", "supplier", "amount", "tax"),
    "progress": ("status", "contract", "share", "earned", "under", "over"),
}


def heading(compared: Comparison) -> None:
    """Print how many jobs there are, as of which day, and how many books could not be read."""
    jobs = f"{compared.books} {'job' if compared.books == 1 else 'jobs'}"
    as_of = f" as of {compared.as_of}: what is dated later does not count" if compared.as_of else ""
    click.echo(f"{jobs}{as_of}.")
    if compared.unread:
        books = ", ".join(row["workbook"] for row in compared.unread)
        click.echo(plain(f"NOT READ, and in no figure: {books}. Why is said at the end."))


def tables(compared: Comparison, names: Collection[str] = TABLES) -> None:
    """Print tables of a comparison: a figure that is not known is a dash, running jobs stand after those that are done.

    Figures are never cut; names wrap. A task or product without any figure is left to the CSV files.

    Parameters
    ----------
    compared : Comparison
        What was compared.
    names : collection of str
        Which tables; all unless given.
    """
    console = Console(width=None, soft_wrap=False)
    known = collections.Counter(row["job_name"] or row["workbook"] for row in compared.tables["jobs"])
    for name, rows in compared.tables.items():
        measures = measures_of(name)
        shown = _SHOWN[name]
        figures = [column for column in shown if measures.get(column)]
        if name not in names:
            continue
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
                called = row["job_name"] or row["workbook"]
                told_apart = ", ".join(filter(None, (row["job_number"], row["workbook"]))) if known[called] > 1 else ""
                table.add_row(Text(_cell(f"{called} ({told_apart})" if told_apart else called, ""), style="bold"))
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


def since(changed: Since, ledger: Path, system: System, *, every: bool = False) -> None:
    """Print what changed since an earlier run that a ledger remembers.

    Parameters
    ----------
    changed : Since
        What changed.
    ledger : Path
        Where runs are remembered.
    system : {'us', 'metric'}
        Units of the figures.
    every : bool
        Whether every figure is told; else those that a bookkeeper reads, and how many others there are.
    """
    if changed.day is None:
        click.echo(f"There is no earlier run to compare with; this one is remembered in {ledger}.")
        return
    then = f"{changed.as_of_then} (seen {changed.day})" if changed.as_of_then else f"the run of {changed.day}"
    span = f"since {then}" + (f", as of {changed.as_of}" if changed.as_of else "")
    if not (changed.new or changed.gone or changed.changes):
        click.echo(f"Nothing changed {span}.")
    else:
        click.echo(f"What changed {span}:")
    if changed.tool != __version__:
        click.echo(f"The run of {changed.day} was made by sheetgen {changed.tool}; this is {__version__}, which may compute otherwise.")
    for word, jobs in (("new", changed.new), ("gone", changed.gone)):
        for job in jobs:
            click.echo(f"  {word}: {_named(job)}")
    for _, group in itertools.groupby(changed.changes, operator.attrgetter("workbook", "job_number", "job_name")):
        changes = list(group)
        one = changes[0]
        click.echo(f"  {_named({'workbook': one.workbook, 'job_number': one.job_number, 'job_name': one.job_name})}")
        told = [one for one in changes if every or (one.table == "jobs" and one.column in _READ)]
        lines = [_change(one, system) for one in told]
        width = max((len(figure) for figure, _ in lines), default=0)
        for figure, values in lines:
            click.echo(plain(f"    {figure:{width}}  {values}"))
        if others := len(changes) - len(told):
            click.echo(f"    {'and ' if told else ''}{others:,} other {'figure' if others == 1 else 'figures'}: --all, or --json")


def _change(one: Change, system: System) -> tuple[str, str]:
    """Return what a figure is called, and its values then and now."""
    measure = measures_of(one.table).get(one.column, "")
    symbol = units.symbol(measure, system) if measure not in {"", "date", "share"} else ""
    figure = f"{one.row}: " * bool(one.row) + one.column.replace("_", " ")
    return _cell(figure, ""), f"{_cell(one.before, measure)} → {_cell(one.after, measure)} {symbol}".rstrip()


def posted(outcomes: Sequence[Outcome], ledger: Path) -> None:
    """Print what became of each book, where one differs from what was posted, and how many there are of each."""
    for one in outcomes:
        job = f"job {one.job_number}" if one.job_number else ""
        revision = f"revision {one.revision}" if one.became == "amended" else ""
        day = f"as posted on {one.posted_on}" if one.became == "unchanged" else ""
        same = f"the same as {one.same_as}, posted once" if one.same_as else ""
        about = ", ".join(filter(None, (job, revision, day, same, one.why)))
        click.echo(plain(f"{_BECAME[one.became]} {one.book}{': ' * bool(about)}{about}"))
        for change in one.changes:
            place = f"{change.place} " if change.place else ""
            click.echo(plain(f"    {place}{change.label} ({change.field}): {change.before}, now {change.after}"))
    became = collections.Counter[str](one.became for one in outcomes)
    told = [f"{became[code]:,} {word}" for code, word in _BECAME.items() if became[code]]
    why = ", ".join(f"{count:,} {word}" for word, count in collections.Counter(one.why for one in outcomes).items() if word)
    click.echo(plain(f"{ledger}: {', '.join(told)}{f' ({why})' if why else ''}"))


def _named(job: Row) -> str:
    called = " ".join(filter(None, (job["job_number"], job["job_name"])))
    return plain(f"{called} ({job['workbook']})" if called else job["workbook"])
