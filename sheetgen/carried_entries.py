"""Entry by entry what became of what was typed when its book was carried into a new one."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Any, Final, Literal

import attrs

from sheetgen.book.compile import planned
from sheetgen.book.plan import Plan
from sheetgen.book.style import decimals
from sheetgen.book.template import Field
from sheetgen.check.meet import attribute, is_of_job
from sheetgen.engine.inputs import row_unit
from sheetgen.engine.job import Job
from sheetgen.engine.records import Line, Reading, Task
from sheetgen.engine.values import with_row_unit
from sheetgen.reader.present import Retold, shown
from sheetgen.units import System

Kind = Literal["converted", "joined", "reworded"]
# A figure that its cell shows farther off than this share is worth seeing once; common practice, no source.
_ROUNDED: Final = 0.005
_JOINED: Final = "joined with the feet beside it"
_BLANK: Final = "blank"


@attrs.frozen
class Changed:
    """An entry that the new book says otherwise.

    Parameters
    ----------
    field : str
        Name, and row of a table: ``areas.first[3]``.
    label : str
        What the sheet calls it.
    kind : {'converted', 'joined', 'reworded'}
        Whether it is in other units, stands in another entry (inches with their feet), or means or is called something else.
    before, after : str
        As a person reads them, with their units.
    seen : str
        What the cell shows, where that is rounded by more than half a per cent; the book reckons with the whole number.
    was : str
        How the field was called in the version of the old book, where that was otherwise or it was measured otherwise.
    """

    field: str
    label: str
    kind: Kind
    before: str
    after: str
    seen: str = ""
    was: str = ""

    @property
    def worth_seeing(self) -> bool:
        """Whether more happened to it than that its unit was converted."""
        return self.kind == "reworded" or bool(self.seen) or self.before == _BLANK

    def line(self) -> str:
        """Return the change in one line of text."""
        seen = f", shown as {self.seen}" if self.seen else ""
        was = f"; it was {self.was}" if self.was else ""
        return f"{self.field} ({self.label}): {self.before} → {self.after}{seen}{was}"


@attrs.frozen
class Entries:
    """What became of the entries of a book.

    Parameters
    ----------
    system : {'us', 'metric'}
        Units of the new book.
    moved : mapping of str to int
        Entries of the old book that came over, by field name [count].
    kept : int
        How many of these are in the new book as they were [count].
    changed : tuple of Changed
        What the new book says otherwise: in other units, of another job, or by a later version.
    added : mapping of str to int
        Entries that the old book did not have, by field name: rows of files, starter values of new fields [count].
    ended : mapping of str to int
        Entries that belong to the job of the old book alone, by field name [count].
    """

    system: System
    moved: Mapping[str, int]
    kept: int
    changed: tuple[Changed, ...]
    added: Mapping[str, int]
    ended: Mapping[str, int]


def entries_told(read: Job, job: Job, goal: Job, kind: str, retold: Mapping[tuple[str, int], Retold]) -> Entries:
    """Say what became of every entry.

    Parameters
    ----------
    read : Job
        As the old book has it.
    job : Job
        As the new one is to have it, in the units of the old one.
    goal : Job
        The same in the units of the new one.
    kind : str
        Kind of both books.
    retold : mapping of (field, record) to Retold
        Entries that the version of the old book said otherwise, by their present names [1-based record].
    """
    old, new = planned(kind, job.system), planned(kind, goal.system)
    before, meant, after = _entries(read, old), _entries(job, old), _entries(goal, new)
    moved = [name for name in before if name in meant]
    changed: list[Changed] = []
    for name in dict.fromkeys((*moved, *(name for name in after if name not in meant))):
        said, says = ("" if name not in held else held[name].said for held in (before, after))
        column, _, row = name.rstrip("]").partition("[")
        earlier = retold.get((column, int(row or 1)))
        if said == says and earlier is None:
            continue
        field = (after.get(name) or before[name]).field
        seen = _seen(after[name]) if name in after and job.system != goal.system else ""
        was = "" if earlier is None else earlier.called
        said = said if earlier is None else earlier.value
        if name in after and (inches := before.get(f"{column}_in[{row}]")) is not None and f"{column}_in[{row}]" not in after:
            said = f"{said} {inches.said}".strip()
        other = earlier is not None or (name in meant and name in before and meant[name].value != before[name].value)
        changed.append(Changed(name, " ".join(field.label.split()), _kind(says, other=other), said or _BLANK, says or _JOINED, seen, was))
    kept = len(moved) - sum(one.field in before for one in changed)
    added, ended = ([name for name in one if name not in other] for one, other in ((meant, before), (before, meant)))
    return Entries(goal.system, _by_field(moved), kept, tuple(changed), _by_field(added), _by_field(ended))


def _kind(says: str, *, other: bool) -> Kind:
    """Return what became of an entry; of one that the new book does not say, its inches stand with their feet."""
    if other:
        return "reworded"
    return "converted" if says else "joined"


@attrs.frozen
class _Entry:
    """A field, what is typed into it, and how a person reads that: in the unit of its row."""

    field: Field
    value: Any
    said: str


def _seen(entry: _Entry) -> str:
    """Return what a cell shows of a number, where that is rounded by much."""
    places = decimals(entry.field.unit, entry.field.name)
    if not isinstance(entry.value, float) or not entry.value or places is None:
        return ""
    rounded = round(entry.value, places)
    return f"{rounded:,.{places}f}" if abs(rounded / entry.value - 1) > _ROUNDED else ""


def _entries(job: Job, plan: Plan) -> dict[str, _Entry]:
    """Return everything that is typed into a book, by name and row."""
    found = {}
    for block, field in plan.entered():
        if not is_of_job(block.name):
            continue
        held = getattr(job, block.name)
        for number, record in enumerate(held if isinstance(held, tuple) else (held,), start=1):
            value = getattr(record, attribute(field.name))
            if value is not None:
                name = f"{block.name}.{field.name}"
                unit = with_row_unit(field.unit, row_unit(record)) if isinstance(record, Line | Task | Reading) else field.unit
                said = shown(value, attrs.evolve(field, unit=unit), plan)
                found[f"{name}[{number}]" if isinstance(held, tuple) else name] = _Entry(field, value, said)
    return found


def _by_field(names: Iterable[str]) -> dict[str, int]:
    counts: dict[str, int] = {}
    for name in names:
        field = name.partition("[")[0]
        counts[field] = counts.get(field, 0) + 1
    return counts
