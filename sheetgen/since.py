"""What changed between the last run of reconcile and this one: new jobs, jobs that are gone, and figures that differ."""

from __future__ import annotations

from typing import TYPE_CHECKING, Literal

import attrs

from sheetgen.changes import Change, by_key, changes, key_of
from sheetgen.figures import in_units
from sheetgen.ledger import writing
from sheetgen.version import __version__

if TYPE_CHECKING:
    import datetime as dt
    from pathlib import Path

    from sheetgen.figures import Row
    from sheetgen.reconcile import Comparison

Source = Literal["files", "ledger"]


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
    as_of_then, as_of : datetime.date or None
        Day after which nothing counted for the earlier run, and for this one; None where that is not known.
    """

    day: dt.date | None
    tool: str = __version__
    new: tuple[Row, ...] = ()
    gone: tuple[Row, ...] = ()
    changes: tuple[Change, ...] = ()
    as_of_then: dt.date | None = None
    as_of: dt.date | None = None


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
        held.remember(held.begin(command, day, compared.as_of), (job.tables for job in compared.jobs))
    if last is None:
        return Since(None, as_of=compared.as_of)
    before = by_key(last.jobs, key_of)
    after = by_key((job.tables for job in compared.jobs), key_of)
    return Since(
        last.day,
        last.tool,
        new=tuple(in_units("jobs", dict(after[key]["jobs"][0]), compared.system) for key in after if key not in before),
        gone=tuple(in_units("jobs", dict(before[key]["jobs"][0]), compared.system) for key in before if key not in after),
        changes=tuple(
            change
            for key, tables in after.items()
            if key in before
            for change in changes(before[key], tables, compared.system)
        ),
        as_of_then=last.as_of,
        as_of=compared.as_of,
    )
