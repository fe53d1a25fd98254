"""The rate book: what is the owner's and not one job's, made from starter values, filled, and copied into each bid."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator, Mapping
from pathlib import Path
from typing import Any, Final

import attrs

from sheetgen.beyond import beyond_bounds
from sheetgen.book.compile import Compiled, compiled, shipped
from sheetgen.book.plan import Plan
from sheetgen.book.stamp import Stamp
from sheetgen.book.template import Block, Field
from sheetgen.build import Built, check_rows, hand_out, new_id, too_many
from sheetgen.check.looks import to_look_at
from sheetgen.check.meet import Tables, attribute, beside_job, contents_of, is_of_job, job_of
from sheetgen.check.recalculate import Program
from sheetgen.engine.job import Job, convert_job
from sheetgen.engine.tuned_tasks import rate_in_use
from sheetgen.engine.tuning_figures import waste_in_use
from sheetgen.findings import Finding, Refused, Severity
from sheetgen.reader.filled import read_filled
from sheetgen.units import System

# What a rate book says of itself, and no bid takes over.
_OF_THE_BOOK: Final = "job"
# Tables of what was tuned that have as many rows as there are.
_TUNED: Final = ("tuned_products", "tuned_jobs", "tuned_rows", "tuned_left_out", "tuned_conditions")


@attrs.frozen
class Rates:
    """A rate book that was read.

    Parameters
    ----------
    path : Path
        The file.
    job : Job
        A job that holds the rates and nothing else, in the units of the book.
    made : Compiled
        The template by which the book was made.
    findings : tuple of Finding
        What was noted on reading, and what the book itself says is to be looked at.
    tables : mapping of str to sequence of mapping
        What was tuned, and what the owner decided on it, rows by block.
    """

    path: Path
    job: Job
    made: Compiled = attrs.field(repr=False)
    findings: tuple[Finding, ...]
    tables: Tables = attrs.field(factory=dict, repr=False)

    @property
    def rows(self) -> Mapping[str, int]:
        """Return the row counts that differ from the template's, of the tables that a bid takes [count]."""
        return {block: count for block, count in self.made.plan.row_counts.items() if is_of_job(block)}

    def in_use(self) -> Rates:
        """Return the rates as bids take them: tuned ones in the place of present ones where the owner said yes."""
        if not self.tables:
            return self
        rows = self.tables.get("tuning", ())
        tasks = list(self.job.tasks)
        for number, row in enumerate(rows[: len(tasks)]):
            rate, set_up = rate_in_use(tasks[number], row)
            tasks[number] = attrs.evolve(tasks[number], rate=rate, set_up=set_up)
        waste = waste_in_use(self.job, next(iter(self.tables.get("tuning_of", ())), {}))
        job = attrs.evolve(self.job, tasks=tuple(tasks), takeoff=attrs.evolve(self.job.takeoff, waste=waste))
        return attrs.evolve(self, job=job, tables={})

    def in_system(self, system: System) -> Rates:
        """Return the rates in use in the units of another system; a look says so where they had to be converted.

        Raises
        ------
        Refused
            A converted number is beyond what a book in those units takes.
        """
        if system == self.job.system:
            return self.in_use()
        used = self.in_use()
        job, made = convert_job(used.job, system), compiled("rates", system, self.rows)
        if beyond := beyond_bounds(job, made, self.path.name):
            raise Refused(beyond)
        what = f"is in {self.job.system} units; its rates were converted to {system} for this book"
        note = Finding("rates-units", Severity.LOOK, self.path.name, what, "look the rates over: converted figures are seldom round")
        return attrs.evolve(used, job=job, made=made, findings=(*self.findings, note))


def rates_of(plan: Plan) -> Iterator[tuple[Block, Field]]:
    """Yield the inputs of a rate book that are rates: not what the owner decides on what was tuned."""
    return ((block, field) for block, field in plan.entered() if is_of_job(block.name))


def only_rates(job: Job, made: Compiled) -> Job:
    """Return a job with what a rate book holds of it, all else blank."""
    entries = {}
    for block, field in rates_of(made.plan):
        held = getattr(job, block.name)
        records = held if isinstance(held, tuple) else (held,)
        entries[block.name, field.name] = tuple(getattr(record, attribute(field.name)) for record in records)
    return job_of(entries, job.system)


def with_rates(job: Job, rates: Rates) -> Job:
    """Return a job with the rates of a rate book in the place of its own.

    Parameters
    ----------
    job : Job
        Any job.
    rates : Rates
        In the units of the job.

    Returns
    -------
    Job
        Tables of the rate book replace those of the job; of single fields only those that the rate book has.
    """
    changes: dict[str, Any] = {}
    used = rates.in_use()
    for block, field in rates_of(rates.made.plan):
        if block.name == _OF_THE_BOOK:
            continue
        held = getattr(used.job, block.name)
        if isinstance(held, tuple):
            changes[block.name] = held
        else:
            name = attribute(field.name)
            changes[block.name] = attrs.evolve(changes.get(block.name, getattr(job, block.name)), **{name: getattr(held, name)})
    return attrs.evolve(job, **changes)


def build_rates(
    job: Job,
    out: Path,
    *,
    made_on: dt.date,
    book_id: str = "",
    rows: Mapping[str, int] | None = None,
    tables: Tables | None = None,
    program: Program = "ironcalc",
) -> Built:
    """Build, check and put in place a rate book.

    Parameters
    ----------
    job : Job
        Its rates go into the book, in the units of the book; all else of it is left out.
    out : Path
        Where the book goes; a file that is there is replaced only by a book that passed.
    made_on : datetime.date
        Day written into the book.
    book_id : str
        Random unless given.
    rows : mapping of str to int, optional
        Row counts that differ from the template's [count].
    tables : mapping of str to sequence of mapping, optional
        What was tuned, rows by block.
    program : {'ironcalc', 'libreoffice'}
        Which program recalculates.

    Returns
    -------
    Built
        The book and what was compared.

    Raises
    ------
    Refused
        Anything is wrong; then there is no output.
    """
    if wrong := check_rows(rows or {}, shipped("rates")):
        raise Refused(wrong)
    blocks = shipped("rates").blocks
    needed = {block: max(len(held), 1) for block, held in (tables or {}).items() if block in _TUNED and block in blocks}
    made = compiled("rates", job.system, {**(rows or {}), **needed})
    if full := too_many(made, job):
        raise Refused(full)
    contents = contents_of(made, only_rates(job, made), tables)
    built = hand_out(contents, Stamp.of(made.plan, book_id or new_id(), made_on), out, program=program)
    return attrs.evolve(built, findings=(*built.findings, *to_look_at(contents, out.name)))


def read_rates(path: Path) -> Rates:
    """Read a rate book that the owner filled.

    Parameters
    ----------
    path : Path
        The file; it is never written to.

    Returns
    -------
    Rates
        What stands in it.

    Raises
    ------
    Refused
        The file cannot be read, is no rate book, or an input in it cannot be read.
    """
    filled = read_filled(path)
    if filled.stamp.kind != "rates":
        what = f"is a book of kind '{filled.stamp.kind}'"
        raise Refused([Finding("stamp-kind", Severity.ERROR, path.name, what, "give a rate book, made by sheetgen rates")])
    if any(finding.severity is Severity.ERROR for finding in filled.findings):
        raise Refused(filled.findings)
    job, tables = job_of(filled.entries, filled.stamp.system), beside_job(filled.entries)
    # Rates of an earlier version are copied as the present one has them.
    made = compiled("rates", job.system, filled.stamp.rows) if filled.outdated else filled.compiled
    looks = to_look_at(contents_of(made, job, tables), path.name)
    return Rates(path, job, made, (*filled.findings, *looks), tables)
