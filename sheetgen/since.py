"""What changed between the last run of reconcile and this one: new jobs, jobs that are gone, and figures that differ."""

from __future__ import annotations

import collections
import math
import operator
from typing import TYPE_CHECKING, Any, Final, Literal, TypeVar

import attrs

from sheetgen.figures import TABLES, in_units
from sheetgen.ledger import writing
from sheetgen.version import __version__

if TYPE_CHECKING:
    import datetime as dt
    from collections.abc import Callable, Iterable, Iterator
    from pathlib import Path

    from sheetgen.figures import Row
    from sheetgen.ledger_text import Tables
    from sheetgen.reconcile import Comparison
    from sheetgen.units import System

Source = Literal["files", "ledger"]
# Figures that are computed anew from the same inputs agree closer than this; a cent is far above it.
_SAME: Final = 1e-9
# What the rows of a job have in common may change too, and is told once, with the table of jobs.
_COMMON: Final = ("workbook", "job_name", "status")
Item = TypeVar("Item")


@attrs.frozen
class Change:
    """One figure that differs.

    Parameters
    ----------
    workbook, job_number, job_name : str or None
        The job, as it is now.
    table : str
        Name of the table.
    row : str
        Task, product or topping; nothing in the table ``jobs``.
    column : str
        Which figure.
    before, after : float, str or None
        Then and now, in the units of the comparison; None is not known.
    """

    workbook: str
    job_number: str | None
    job_name: str | None
    table: str
    row: str
    column: str
    before: Any
    after: Any


@attrs.frozen
class Since:
    """What changed since an earlier run.

    Parameters
    ----------
    day : datetime.date or None
        When the earlier run was; None where there is none to compare with.
    tool : str
        Version of the tool of the earlier run.
    new, gone : tuple of dict
        Rows of the table ``jobs`` that only this run, or only the earlier one, has.
    changes : tuple of Change
        Figures of the other jobs that differ.
    """

    day: dt.date | None
    tool: str = __version__
    new: tuple[Row, ...] = ()
    gone: tuple[Row, ...] = ()
    changes: tuple[Change, ...] = ()


def since_last(compared: Comparison, ledger: Path, source: Source, day: dt.date) -> Since:
    """Compare a run with the last one over the same kind of source, and remember it for the next.

    Parameters
    ----------
    compared : Comparison
        What this run found.
    ledger : Path
        Where runs are remembered; made where there is none.
    source : {'files', 'ledger'}
        What was read.
    day : datetime.date
        Day of this run.

    Returns
    -------
    Since
        What changed.

    Raises
    ------
    Refused
        The ledger cannot be written; then the run is not remembered.
    """
    command = f"reconcile {source}"
    with writing(ledger) as held:
        last = held.last(command)
        held.remember(held.begin(command, day), (job.tables for job in compared.jobs))
    if last is None:
        return Since(None)
    before = _by_key(last.jobs, _job)
    after = _by_key((job.tables for job in compared.jobs), _job)
    return Since(
        last.day,
        last.tool,
        new=tuple(in_units("jobs", dict(after[key]["jobs"][0]), compared.system) for key in after if key not in before),
        gone=tuple(in_units("jobs", dict(before[key]["jobs"][0]), compared.system) for key in before if key not in after),
        changes=tuple(
            change
            for key, tables in after.items()
            if key in before
            for change in _changes(before[key], tables, compared.system)
        ),
    )


def _changes(before: Tables, after: Tables, system: System) -> Iterator[Change]:
    """Yield the figures of a job that differ; a table or a column that the earlier run did not know is no change of the job."""
    job = after["jobs"][0]
    for table, measured in TABLES.items():
        if table not in before:
            continue
        named = next((name for name, measure in measured if not measure), "")
        old, new = (_by_key(tables.get(table, ()), operator.methodcaller("get", named)) for tables in (before, after))
        known = {name for row in before[table] for name in row}
        names = [name for name in (*(_COMMON if table == "jobs" else ()), *dict(measured)) if name != named]
        for key in {**new, **old}:
            was, now = (in_units(table, dict(rows.get(key, {})), system) for rows in (old, new))
            for name in names:
                if (name in known or not known) and not _same(was[name], now[name]):
                    yield Change(
                        job["workbook"], job["job_number"], job["job_name"], table, key[0] or "", name, was[name], now[name]
                    )


def _job(tables: Tables) -> tuple[str, str | None]:
    """Return by what a job is known."""
    return tables["jobs"][0]["book_id"], tables["jobs"][0]["job_number"]


def _by_key(items: Iterable[Item], key: Callable[[Item], Any]) -> dict[tuple[Any, int], Item]:
    """Return items by their keys; those of one key are told apart by their order."""
    counts: collections.Counter[Any] = collections.Counter()
    found = {}
    for item in items:
        found[key(item), counts[key(item)]] = item
        counts[key(item)] += 1
    return found


def _same(one: Any, other: Any) -> bool:
    if isinstance(one, float) and isinstance(other, float):
        return math.isclose(one, other, rel_tol=_SAME, abs_tol=_SAME)
    return bool(one == other)
