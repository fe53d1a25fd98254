"""Which figures of a job differ between two tellings of it."""

from __future__ import annotations

import collections
import math
import operator
from typing import TYPE_CHECKING, Any, Final, TypeVar

import attrs

from sheetgen.figures import NAMED_BY, TABLES, in_units

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable, Iterator

    from sheetgen.ledger_text import Tables
    from sheetgen.units import System

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
        Task, product, topping, or place in the log of other costs; nothing in the tables that have one row for a job.
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


def changes(before: Tables, after: Tables, system: System) -> Iterator[Change]:
    """Yield the figures of a job that differ; a table or a column that the earlier run did not know is no change of the job."""
    job = after["jobs"][0]
    for table, measured in TABLES.items():
        if table not in before:
            continue
        named = NAMED_BY.get(table, "")
        old, new = (by_key(tables.get(table, ()), operator.methodcaller("get", named)) for tables in (before, after))
        known = {name for row in before[table] for name in row}
        # What is told with the table of jobs is not told again with their progress.
        twice = {named, *(dict(TABLES["jobs"]) if table == "progress" else ())}
        names = [name for name in (*(_COMMON if table == "jobs" else ()), *dict(measured)) if name not in twice]
        for key in {**new, **old}:
            was, now = (in_units(table, dict(rows.get(key, {})), system) for rows in (old, new))
            for name in names:
                if (name in known or not known) and not _same(was[name], now[name]):
                    yield Change(
                        job["workbook"], job["job_number"], job["job_name"], table, key[0] or "", name, was[name], now[name]
                    )


def key_of(tables: Tables) -> tuple[str, str | None]:
    """Return by what a job is known."""
    return tables["jobs"][0]["book_id"], tables["jobs"][0]["job_number"]


def by_key(items: Iterable[Item], key: Callable[[Item], Any]) -> dict[tuple[Any, int], Item]:
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
