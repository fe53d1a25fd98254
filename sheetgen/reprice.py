"""An open bid with other rates: its own inputs stay, the owner's come from a rate book; old and new figures side by side."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator, Mapping
from pathlib import Path
from typing import Any, Final

import attrs

from sheetgen import units
from sheetgen.book.compile import Compiled
from sheetgen.build import Built, build_bid, picture_in
from sheetgen.carry import no_longer_linked
from sheetgen.check.meet import attribute, figures
from sheetgen.check.recalculate import Program
from sheetgen.engine.job import Job
from sheetgen.engine.values import Scalar, Values
from sheetgen.findings import Finding, Severity
from sheetgen.rate_changes import record_name
from sheetgen.rates import Rates, rates_of, with_rates
from sheetgen.reconcile import read_book

_SCENARIO: Final = "accepted"
# Two figures are the same below this.
_SAME: Final = 1e-6
# Figures of rows that are set side by side: block of the figure, its field, block and field of the name, label.
_ROWS: Final = (
    ("needs", "packages", "products", "packages to use"),
    ("labour", "hours", "tasks", "hours"),
)


@attrs.frozen
class Moved:
    """A figure of the bid before and after.

    Parameters
    ----------
    what : str
        What it is, in words.
    old, new : float or None
        In the unit of the bid; None where it is not known.
    unit : str
        Symbol of the unit; blank for money and counts.
    """

    what: str
    old: float | None
    new: float | None
    unit: str

    def as_record(self) -> dict[str, Any]:
        """Return the figure as plain data."""
        return dict(attrs.asdict(self))

    def line(self) -> str:
        """Return the figure as a line of text."""
        old, new = (_said(one) for one in (self.old, self.new))
        by = "" if self.old is None or self.new is None else f" ({self.new - self.old:+,.2f})"
        return f"{self.what}: {old} → {new}{by} {self.unit}".rstrip()


def _said(value: float | None) -> str:
    return "not known" if value is None else f"{value:,.2f}"


@attrs.frozen
class Repriced:
    """An open bid that was built anew.

    Parameters
    ----------
    built : Built
        The new book.
    moved : tuple of Moved
        The figures that changed, in the order of the sheets.
    findings : tuple of Finding
        What is to be looked at.
    """

    built: Built
    moved: tuple[Moved, ...]
    findings: tuple[Finding, ...]


def reprice(open_bid: Path, rates: Rates, out: Path, *, made_on: dt.date, rows: Mapping[str, int], program: Program) -> Repriced:
    """Build an open bid anew with the rates of a rate book.

    Parameters
    ----------
    open_bid : Path
        A filled bid book; it is never written to.
    rates : Rates
        The rates; they are converted where the bid has other units.
    out : Path
        Where the new book goes.
    made_on : datetime.date
        Day written into it.
    rows : mapping of str to int
        Row counts that are asked for beyond those of both books [count].
    program : {'ironcalc', 'libreoffice'}
        Which program recalculates.

    Returns
    -------
    Repriced
        The book, with the id of the open bid, and what changed.

    Raises
    ------
    Refused
        The bid cannot be read, or the new book does not pass.
    """
    read, noted = read_book(open_bid)
    rates = rates.in_system(read.job.system)
    job, lost = _with_own(read.job, rates, open_bid.name)
    prepared = dict(read.filled.stamp.rows)
    for name, count in rates.rows.items():
        prepared[name] = max(count, prepared.get(name, 0))
    built = build_bid(
        job, out, made_on=made_on, book_id=read.filled.stamp.book_id, rows={**prepared, **rows},
        picture=picture_in(read.filled.raw, read.filled.compiled.plan), program=program,
    )  # fmt: skip
    made = read.filled.compiled
    before, after = (figures(one, made.plan) for one in (read.job, job))
    moved = tuple(_moved(made, (read.job, before), (job, after)))
    findings = [*noted, *no_longer_linked(read.filled, out.name), *rates.findings, *lost, *built.findings]
    if before.scalar("compare.finished") == 1.0:
        what = "is done or closed: a new estimate changes what its actual figures are compared with"
        findings.append(Finding("reprice-finished", Severity.LOOK, open_bid.name, what, "keep the old book for the comparison"))
    return Repriced(built, moved, tuple(findings))


def _with_own(job: Job, rates: Rates, place: str) -> tuple[Job, list[Finding]]:
    """Return the job with the rates, each record with what this job alone says of it; and what found no record any more."""
    changed = with_rates(job, rates)
    of_rates: dict[str, set[str]] = {}
    for block, field in rates_of(rates.made.plan):
        of_rates.setdefault(block.name, set()).add(attribute(field.name))
    lost: list[Finding] = []
    for table, named in of_rates.items():
        held = getattr(changed, table)
        own = [] if not isinstance(held, tuple) else _own_fields(held, getattr(job, table), named)
        if not own:
            continue
        typed: dict[str, Any] = {}
        for record in getattr(job, table):
            if any(getattr(record, name) is not None for name in named):
                typed.setdefault(record_name(table, record).casefold(), record)
        records = []
        for record in held:
            mine = typed.pop(record_name(table, record).casefold(), None)
            records.append(record if mine is None else attrs.evolve(record, **{name: getattr(mine, name) for name in own}))
        mended: dict[str, Any] = {table: tuple(records)}
        changed = attrs.evolve(changed, **mended)
        lost.extend(_lost(table, record, place) for record in typed.values())
    return changed, lost


def _own_fields(new: tuple[Any, ...], old: tuple[Any, ...], of_rates: set[str]) -> list[str]:
    """Return the fields of a table that only a job has."""
    kind = next((type(record) for record in (*new, *old)), None)
    return [] if kind is None else [one.name for one in attrs.fields(kind) if one.name not in of_rates]


def _lost(table: str, record: Any, place: str) -> Finding:
    what = f"'{record_name(table, record)}' of {table} is not in the rate book: the new bid does without it"
    return Finding("reprice-left-out", Severity.LOOK, place, what, "add it to the rate book, or to the new bid by hand")


def _moved(made: Compiled, old: tuple[Job, Values], new: tuple[Job, Values]) -> Iterator[Moved]:
    system = old[0].system
    shown = _price_lines(made)
    for field in made.plan.book.blocks["price"].fields:
        was, now = (_number(values.scalar(f"price.{field.name}", _SCENARIO)) if field.name in shown else None for _, values in (old, new))
        if not _differ(was, now):
            continue
        if field.unit == "share":
            was, now = (None if one is None else one * 100 for one in (was, now))
        yield Moved(field.label, was, now, "%" if field.unit == "share" else units.symbol(field.unit, system))
    for block, field_name, names, label in _ROWS:
        before, after = (_by_name(names, job, values.column(f"{block}.{field_name}", _SCENARIO)) for job, values in (old, new))
        for name in dict.fromkeys([*before, *after]):
            (called, was), (_, now) = (side.get(name, (name, 0.0)) for side in (before, after))
            if _differ(was, now):
                yield Moved(f"{called}, {label}", was, now, "")


def _price_lines(made: Compiled) -> frozenset[str]:
    """Return the lines of the price as the sheet Price shows them; helpers stand elsewhere."""
    sheet = made.plan.spot("price", "net").sheet
    return frozenset(field.name for field in made.plan.book.blocks["price"].fields if made.plan.spot("price", field.name).sheet == sheet)


def _by_name(block: str, job: Job, column: tuple[Scalar, ...]) -> dict[str, tuple[str, float | None]]:
    """Return the figures of a table by name, with the name as it was typed."""
    found: dict[str, tuple[str, float | None]] = {}
    for record, value in zip(getattr(job, block), column, strict=False):
        if record.name:
            name = record_name(block, record)
            found.setdefault(name.casefold(), (name, _number(value)))
    return found


def _number(value: Scalar) -> float | None:
    return value if isinstance(value, float) else None


def _differ(was: float | None, now: float | None) -> bool:
    if was is None or now is None:
        return was is not now
    return abs(was - now) > _SAME
