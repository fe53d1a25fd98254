"""What changed from one rate book to another, field by field, each record known by its name."""

from __future__ import annotations

import collections
import datetime as dt
import math
from collections.abc import Iterator
from typing import Any, Final

import attrs

from sheetgen import units
from sheetgen.book.plan import PlacedPart, Plan
from sheetgen.book.template import ENTERED, Block, Field
from sheetgen.check.meet import attribute, is_of_job
from sheetgen.engine.inputs import row_unit
from sheetgen.engine.records import Line, Task
from sheetgen.engine.values import with_row_unit
from sheetgen.rates import Rates

# By which of its inputs a record is known, first one that is typed; a layer by all of its own.
_NAMES: Final = {"lines": ("name", "product")}
_JOINED: Final = {"layers": ("system", "kind", "product"), "texts": ("kind",)}
# Two converted numbers are the same below this share of them.
_SAME: Final = 1e-9
# Digits shown of a number; more only where two numbers would look the same.
_DIGITS: Final = 7


@attrs.frozen
class Change:
    """One difference between two rate books.

    Parameters
    ----------
    sheet : str
        Sheet of the rate book.
    table : str
        Title of the table, or of the list of fields.
    record : str
        Name of the record; blank where the table has only one.
    field : str
        Label of the field; blank where a whole record was added or removed.
    old, new : str
        What stood there and what stands there, as words, a number with its unit; blank where nothing does.
    kind : str
        ``changed``, ``added`` or ``removed``.
    """

    sheet: str
    table: str
    record: str
    field: str
    old: str
    new: str
    kind: str

    def as_record(self) -> dict[str, str]:
        """Return the change as plain data."""
        return dict(attrs.asdict(self))

    def line(self) -> str:
        """Return the change as a line of text."""
        place = " · ".join(one for one in (self.sheet, self.table, self.record, self.field) if one)
        if self.kind != "changed":
            return f"{place}: {self.kind}"
        return f"{place}: {self.old or 'blank'} → {self.new or 'blank'}"


def changes(old: Rates, new: Rates) -> list[Change]:
    """Return every change from one rate book to another.

    Parameters
    ----------
    old, new : Rates
        In the same units.

    Returns
    -------
    list of Change
        In the order of the sheets. The order of the records in a table is none of them.
    """
    before, after = old.in_use(), new.in_use()
    return [change for table in _tables(new.made.plan) for change in _of_table(table, before, after)]


@attrs.frozen
class _Table:
    """All inputs of a block of the rate book, each with the part in which it stands."""

    plan: Plan
    block: Block
    fields: tuple[tuple[PlacedPart, Field], ...]

    @property
    def rows(self) -> bool:
        return self.block.kind not in {"fields", "checks"}


def _tables(plan: Plan) -> Iterator[_Table]:
    parts: dict[str, list[PlacedPart]] = {}
    for part in plan.parts:
        parts.setdefault(part.block.name, []).append(part)
    for held in parts.values():
        fields = tuple((part, field) for part in held for field in part.fields if field.kind in ENTERED)
        if fields and is_of_job(held[0].block.name):
            yield _Table(plan, held[0].block, fields)


def _of_table(table: _Table, old: Rates, new: Rates) -> Iterator[Change]:
    before, after = (_named(table, getattr(one.job, table.block.name)) for one in (old, new))
    sheet, title = table.fields[0][0].sheet, table.fields[0][0].part.title
    for name, record in after.items():
        if name in before:
            yield from _of_record(table, name[0], before[name], record)
        else:
            yield Change(sheet, title, _called(name), "", "", "", "added")
    for name in before:
        if name not in after:
            yield Change(sheet, title, _called(name), "", "", "", "removed")


def _of_record(table: _Table, name: str, before: Any, after: Any) -> Iterator[Change]:
    for part, field in table.fields:
        was, now = (getattr(record, attribute(field.name)) for record in (before, after))
        units_of = tuple(_unit(field, record, table.plan) for record in (before, after))
        if _same(was, now) and units_of[0] == units_of[1]:
            continue
        old, new = (_said(table.plan, field, value, unit) for value, unit in zip((was, now), units_of, strict=True))
        if old == new:
            old, new = repr(was), repr(now)
        yield Change(part.sheet, part.part.title, name, field.label, old, new, "changed")


def _named(table: _Table, held: Any) -> dict[tuple[str, int], Any]:
    """Return the records of a table by name; of records of one name the number tells them apart."""
    if not table.rows:
        return {("", 0): held}
    seen: collections.Counter[str] = collections.Counter()
    known: dict[str, str] = {}
    found = {}
    for number, record in enumerate(held):
        if all(getattr(record, attribute(field.name)) is None for _, field in table.fields):
            continue
        name = _name(table, number, record)
        name = known.setdefault(name.casefold(), name)
        found[name, seen[name]] = record
        seen[name] += 1
    return found


def _name(table: _Table, number: int, record: Any) -> str:
    block = table.block.name
    shared = table.plan.book.blocks.get(table.block.over)
    if shared is not None and shared.kind == "list":
        return str(shared.records[number]["word"])
    fields = {field.name: field for _, field in table.fields}
    if block in _JOINED:
        said = [_said(table.plan, fields[name], getattr(record, name)) for name in _JOINED[block]]
        return ", ".join(one for one in said if one)
    return record_name(block, record)


def record_name(block: str, record: Any) -> str:
    """Return by what a record of a table is known: its name, or what stands for it."""
    typed = (getattr(record, name) for name in _NAMES.get(block, ("name",)))
    return next((" ".join(one.split()) for one in typed if one), "without a name")


def _called(name: tuple[str, int]) -> str:
    return name[0] if not name[1] else f"{name[0]} ({name[1] + 1})"


def _unit(field: Field, record: Any, plan: Plan) -> str:
    """Return the unit that a field has in a record."""
    if isinstance(record, Line | Task) and "basis" in field.unit:
        return units.symbol(with_row_unit(field.unit, row_unit(record)), plan.system)
    if field.unit == "share":
        return ""
    return units.symbol(field.unit, plan.system)


def _same(was: Any, now: Any) -> bool:
    if isinstance(was, float | int) and isinstance(now, float | int):
        return was == now or math.isclose(was, now, rel_tol=_SAME)
    return bool(was == now)


def _said(plan: Plan, field: Field, value: Any, unit: str = "") -> str:
    """Return a value as the book shows it: the word of a choice, a number with its unit, a share as a percentage."""
    if value is None:
        return ""
    if isinstance(value, dt.date):
        return value.isoformat()
    if isinstance(value, str):
        if field.kind == "choice" and "." not in field.choices:
            block = plan.book.blocks[field.choices]
            number = block.record_number(value)
            return value if number is None else str(block.records[number]["word"])
        return value
    if value == math.inf:
        return plan.book.words["no_limit"]
    if field.unit == "clock":
        minutes = round(value * 24 * 60)
        return f"{minutes // 60:02d}:{minutes % 60:02d}"
    if field.unit == "share":
        return f"{value * 100:.{_DIGITS}g} %"
    return f"{value:.{_DIGITS}g} {unit}".rstrip()
