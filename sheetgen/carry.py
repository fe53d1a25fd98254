"""A book of an earlier version, or one that is too small, becomes a new one: what moved, what changed, what found no place."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping
from pathlib import Path
from typing import Any, Final

import attrs

from sheetgen import steps
from sheetgen.beyond import beyond_bounds
from sheetgen.book.compile import compiled, planned
from sheetgen.book.plan import Plan
from sheetgen.book.stamp import Stamp
from sheetgen.build import Built, check_rows, hand_out, new_id, picture_in, too_many
from sheetgen.carried_entries import Entries, entries_told
from sheetgen.check.looks import to_look_at
from sheetgen.check.meet import Tables, attribute, beside_job, contents_of, job_of
from sheetgen.check.recalculate import Program
from sheetgen.engine.job import Job, convert_job
from sheetgen.findings import Finding, Refused, Severity
from sheetgen.jobfile import starter
from sheetgen.reader.filled import Filled, read_filled
from sheetgen.reader.present import Leftover
from sheetgen.reader.touched import touched
from sheetgen.units import System

# What is wrong with one entry, which then stands on the sheet of what is left over; anything else stops the book.
_OF_ONE_ENTRY: Final = frozenset({"input-unread", "input-bounds"})
_CARRIED: Final = frozenset({"bid", "rates"})
_LEFT_OVER: Final = "left_over"
# Rows to type into that a table has which had to grow [count].
_SPARE: Final = 20
_LOG: Final = "_log"


@attrs.frozen
class Carried:
    """A book that was carried into a new one.

    Parameters
    ----------
    built : Built
        The new book.
    entries : Entries
        Entry by entry what became of what was typed.
    left_over : tuple of Leftover
        What found no place; it stands on a sheet of its own.
    findings : tuple of Finding
        What was found in the old book, what does not come along, and what to look at in the new one.
    """

    built: Built
    entries: Entries
    left_over: tuple[Leftover, ...]
    findings: tuple[Finding, ...]


def carry(
    path: Path,
    out: Path,
    *,
    made_on: dt.date,
    system: System | None = None,
    rows: Mapping[str, int] | None = None,
    book_id: str = "",
    new_job: bool = False,
    program: Program = "ironcalc",
) -> Carried:
    """Carry what was typed into a book over to a new book of the present template version.

    Parameters
    ----------
    path : Path
        A bid book or a rate book, or a person's own workbook in which one stands; it is never written to.
    out : Path
        Where the new book goes.
    made_on : datetime.date
        Day written into the new book.
    system : {'us', 'metric'}, optional
        Units of the new book; those of the old one unless given.
    rows : mapping of str to int, optional
        Rows of tables that should have other than they had [count].
    book_id : str
        That of the old book unless given: it is the same job.
    new_job : bool
        Whether the new book is for another job: it gets an id of its own, no job number, and no logs.
    program : {'ironcalc', 'libreoffice'}
        Which program recalculates.

    Returns
    -------
    Carried
        The book, and field by field what became of what was typed.

    Raises
    ------
    Refused
        The old book cannot be read, or something is wrong with the new one; then there is no output.
    """
    filled = read_for_carrying(path)
    job = with_new_fields(filled)
    if new_job:
        job = as_new_job(job)
    keep = book_id or ("" if new_job else filled.stamp.book_id)
    return carry_job(filled, job, out, made_on=made_on, system=system, rows=rows, book_id=keep, program=program)


def read_for_carrying(path: Path) -> Filled:
    """Read a book of which single entries may be wrong: these are left over.

    Raises
    ------
    Refused
        It cannot be read, or is of a kind that is made anew and not carried.
    """
    filled = read_filled(path)
    if any(one.severity is Severity.ERROR and one.code not in _OF_ONE_ENTRY for one in filled.findings):
        raise Refused(filled.findings)
    if filled.stamp.kind not in _CARRIED:
        what = f"is a book of kind '{filled.stamp.kind}'"
        mend = "give a bid book or a rate book; a cost book is made anew with sheetgen reconcile"
        raise Refused([Finding("stamp-kind", Severity.ERROR, path.name, what, mend)])
    return filled


def carry_job(
    filled: Filled,
    job: Job,
    out: Path,
    *,
    made_on: dt.date,
    system: System | None,
    rows: Mapping[str, int] | None,
    book_id: str,
    program: Program,
) -> Carried:
    """Make the new book of a job that was read from an old one; see :func:`carry`."""
    kind, name = filled.stamp.kind, filled.path.name
    system = system or job.system
    present = planned(kind, system)
    if wrong := check_rows(rows or {}, present.book):
        raise Refused(wrong)
    left_over = (*_left_over_before(filled), *filled.leftovers)
    counts = {**_room(filled, job, present), **(rows or {}), **({_LEFT_OVER: len(left_over)} if left_over else {})}
    made = compiled(kind, system, counts)
    goal = job if system == job.system else _tidy(convert_job(job, system))
    if full := too_many(made, goal):
        raise Refused(full)
    if beyond := beyond_bounds(goal, made, name):
        raise Refused(beyond)
    texts = [attrs.asdict(one) for one in left_over]
    # What was tuned is told in the units of its book: in others it is tuned anew.
    tuned = {name: rows for name, rows in beside_job(filled.entries).items() if name != _LEFT_OVER}
    over = [{field: text[field] for field in ("label", "value", "why", "field")} for text in texts]
    beside = {**(tuned if system == job.system else {}), _LEFT_OVER: over}
    contents = contents_of(made, goal, beside)
    picture = picture_in(filled.raw, filled.compiled.plan)
    with steps.during(f"comparing {name} with a fresh book …"):
        behind = _left_behind(filled)
    built = hand_out(contents, Stamp.of(made.plan, book_id or new_id(), made_on), out, picture=picture, program=program)
    findings = (
        *(one for one in filled.findings if one.code not in _OF_ONE_ENTRY and one.code != "version-left-over"),
        *behind,
        *([] if system == job.system else _not_tuned(tuned, name)),
        *no_longer_linked(filled, out.name),
        *(_without_place(one, out.name) for one in filled.leftovers),
        *built.findings,
        *to_look_at(contents, out.name),
    )
    told = entries_told(job_of(filled.entries, filled.stamp.system), job, goal, kind, filled.retold)
    return Carried(built, told, left_over, findings)


def with_new_fields(filled: Filled) -> Job:
    """Return the job of a book, with starter values in fields that its template version did not have."""
    system = filled.stamp.system
    job = job_of(filled.entries, system)
    if not filled.outdated:
        return job
    fresh = starter(system)
    known = {block for block, _ in filled.entries}
    changes: dict[str, Any] = {}
    for block, field in planned(filled.stamp.kind, system).entered():
        held = getattr(fresh, block.name)
        if isinstance(held, tuple) and block.name not in known:
            changes[block.name] = held
        elif not isinstance(held, tuple) and (block.name, field.name) not in filled.entries:
            record = changes.get(block.name, getattr(job, block.name))
            changes[block.name] = attrs.evolve(record, **{attribute(field.name): getattr(held, attribute(field.name))})
    return attrs.evolve(job, **changes)


def as_new_job(job: Job) -> Job:
    """Return the job without what belongs to the job of the old book alone: its number, state and logs."""
    heading = attrs.evolve(job.job, number=None, status=starter(job.system).job.status)
    logs: dict[str, Any] = {one.name: () for one in attrs.fields(Job) if one.name.endswith(_LOG)}
    return attrs.evolve(job, job=heading, **logs)


def _room(filled: Filled, job: Job, present: Plan) -> dict[str, int]:
    """Return the rows that the old book had, where the new one would have other."""
    old = filled.compiled.plan
    counts = {}
    for block in present.book.blocks.values():
        if block.kind not in {"rows", "across"} or block.over or block.name not in old.book.blocks:
            continue
        held = getattr(job, block.name, ())
        wanted = old.records(old.book.blocks[block.name])
        if len(held) > wanted:
            wanted = len(held) + _SPARE
        if wanted != present.records(block):
            counts[block.name] = wanted
    return counts


def _tidy(job: Job) -> Job:
    """Return a job whose numbers have twelve digits: a conversion leaves noise behind them, 5.399999999999999 for 5.4."""

    def plain(record: Any) -> Any:
        numbers = {one.name: value for one in attrs.fields(type(record)) if isinstance(value := getattr(record, one.name), float)}
        return attrs.evolve(record, **{name: float(f"{value:.12g}") for name, value in numbers.items()})

    changes: dict[str, Any] = {}
    for one in attrs.fields(Job):
        if "record" in one.metadata:
            held = getattr(job, one.name)
            changes[one.name] = tuple(map(plain, held)) if isinstance(held, tuple) else plain(held)
    return attrs.evolve(job, **changes)


def _left_over_before(filled: Filled) -> list[Leftover]:
    """Return what was left over when the old book was itself carried."""
    columns = [filled.entries.get((_LEFT_OVER, field), ()) for field in ("field", "label", "value", "why")]
    records = zip(*columns, strict=True)
    return [Leftover(*(text or "" for text in record)) for record in records if any(record)]


def _left_behind(filled: Filled) -> list[Finding]:
    """Return what does not come along: a person's own sheets and notes, and what they changed besides the inputs."""
    mend = "nothing, if it is not needed; else copy it over by hand"
    found = [
        Finding("carry-behind", Severity.LOOK, one.place, f"does not come along: {one.what}", mend)
        for one in (*filled.findings, *touched(filled).findings)
        if one.code in {"sheet-own", "sheet-copied", "cell-added", "formula-replaced", "formula-changed", "text-changed"}
    ]
    # Of a person's own workbook it is not told which of its comments and pictures stand on our sheets.
    names = [] if filled.hosted else [entry.name for entry in filled.raw.inspected.entries]
    ours = 0 if picture_in(filled.raw, filled.compiled.plan) is None else 1
    for what, mark, own in (("comments on cells", "comment", 0), ("pictures", "xl/media/", ours)):
        if sum(mark in name.casefold() for name in names) > own:
            found.append(Finding("carry-behind", Severity.LOOK, filled.path.name, f"{what} do not come along", mend))
    return list(dict.fromkeys(found))


def no_longer_linked(filled: Filled, name: str) -> list[Finding]:
    """Return the inputs that took a value over from a person's own workbook, which a book of its own has as typed."""
    mend = "type it there too when it changes in the workbook"
    return [
        Finding("link-ended", Severity.NOTE, f"{name} {place.name}", f"is typed now; it was taken over from {target.a1}", mend)
        for place, target in filled.links.items()
    ]


def _not_tuned(tuned: Tables, name: str) -> list[Finding]:
    """Say that what was tuned does not come along in other units."""
    if not any(value is not None for rows in tuned.values() for row in rows for value in row.values()):
        return []
    what = "what was tuned does not come along in other units; the rates of the old book stand as typed"
    return [Finding("carry-tuning", Severity.LOOK, name, what, "tune the new book: sheetgen tune")]


def _without_place(one: Leftover, name: str) -> Finding:
    mend = "see the sheet of what is left over"
    return Finding("carry-left-over", Severity.LOOK, f"{name} {one.field}", f"'{one.label}' {one.value} has no place: {one.why}", mend)
