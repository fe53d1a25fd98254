"""Entries of a book that an earlier template made, under the names and in the units of the present one."""

from __future__ import annotations

import datetime as dt
import math
from typing import TYPE_CHECKING, Any

import attrs

from sheetgen import units
from sheetgen.book.compile import shipped
from sheetgen.book.load import template_versions
from sheetgen.book.plan import Plan
from sheetgen.book.template import Block, Field
from sheetgen.book.validate import bounds
from sheetgen.reader.serial import shown_clock

if TYPE_CHECKING:
    from collections.abc import Mapping

Entries = dict[tuple[str, str], tuple[Any, ...]]


@attrs.frozen
class Leftover:
    """Something that was typed and finds no place.

    Parameters
    ----------
    field : str
        Name, and row of a table: ``areas.first[3]``.
    label : str
        What the sheet calls it.
    value : str
        As a person reads it, with its unit.
    why : str
        Why it finds no place.
    """

    field: str
    label: str
    value: str
    why: str


@attrs.frozen
class Retold:
    """Something that the version of its book called or measured otherwise.

    Parameters
    ----------
    called : str
        The field's label and name in that version.
    value : str
        As a person read it there, with its unit.
    """

    called: str
    value: str


def in_present_version(plan: Plan, entries: Entries) -> tuple[Entries, tuple[Leftover, ...], dict[tuple[str, int], Retold]]:
    """Take entries over from the template version of their book to the present one.

    Parameters
    ----------
    plan : Plan
        The plan of the book.
    entries : dict of (block, field) to tuple
        What was typed, by the names of that version.

    Returns
    -------
    entries : dict of (block, field) to tuple
        The same by the names and in the units of the present version.
    leftovers : tuple of Leftover
        What has no place there.
    retold : dict of (field, record) to Retold
        What has another name or another unit there, by its present name [1-based record].
    """
    book = shipped(plan.book.kind)
    if plan.book.version == book.version:
        return entries, (), {}
    now = Plan(book, plan.system)
    names = _present_names(plan.book.kind, plan.book.version)
    kept: Entries = {}
    leftovers: list[Leftover] = []
    retold: dict[tuple[str, int], Retold] = {}
    for (block_name, field_name), column in entries.items():
        field = plan.book.blocks[block_name].field(field_name)
        assert field is not None
        new_block, _, new_field = names.get(f"{block_name}.{field_name}", f"{block_name}.{field_name}").partition(".")
        block = book.blocks.get(new_block)
        goal = block.field(new_field) if block is not None else None
        label = " ".join(field.label.split())
        values = []
        for record, value in enumerate(column):
            taken, why = _taken(value, field, block, goal, now)
            values.append(taken)
            if why:
                name = f"{block_name}.{field_name}" + (f"[{record + 1}]" if len(column) > 1 else "")
                leftovers.append(Leftover(name, label, shown(value, field, plan), why))
            elif taken is not None and goal is not None:
                said = shown(value, field, plan)
                if (new_block, new_field) != (block_name, field_name) or said != shown(taken, goal, now):
                    called = f"'{label}' ({block_name}.{field_name})"
                    retold[f"{new_block}.{new_field}", record + 1] = Retold(called, said)
        if goal is not None and goal.kind in {"input", "choice", "posted"}:
            kept[new_block, new_field] = tuple(values)
    return kept, tuple(leftovers), retold


def _present_names(kind: str, version: str) -> Mapping[str, str]:
    """Return the present name of each field that was called otherwise in a version."""
    versions = list(template_versions(kind))
    names: dict[str, str] = {}
    for later in versions[versions.index(version) + 1 :]:
        renamed = shipped(kind, later).renamed
        names = {**renamed, **{old: renamed.get(name, name) for old, name in names.items()}}
    return names


def _taken(value: Any, field: Field, block: Block | None, goal: Field | None, plan: Plan) -> tuple[Any, str]:
    """Return a value as a field of the present version takes it, or why it does not."""
    if value is None:
        return None, ""
    if block is None or goal is None or goal.kind not in {"input", "choice", "posted"} or not goal.stands_in(plan.system):
        return None, "this version has no such field"
    number = isinstance(value, float)
    if number and goal.unit != field.unit:
        if {field.unit, goal.unit} & units.PLAIN or not units.fits(field.unit, goal.unit):
            return None, f"the field is in {units.symbol(goal.unit, plan.system) or 'words'} now"
        value = units.between(value, field.unit, goal.unit, plan.system)
    if not number and (goal.unit != field.unit or isinstance(value, dt.date) != (goal.unit == "date")):
        return None, "the field takes something else now"
    if goal.kind == "choice" and "." not in goal.choices and plan.book.blocks[goal.choices].record_number(str(value)) is None:
        return None, "the list has no such word any more"
    if number and goal.kind == "input" and goal.unit != "clock" and not (goal.no_limit and value == math.inf):
        least, most = bounds(goal, plan)
        if not least <= value <= most:
            return None, f"this version takes {least:g} to {most:g}"
    return value, ""


def shown(value: Any, field: Field, plan: Plan) -> str:
    """Return a value as a person reads it, with its unit."""
    if isinstance(value, dt.date):
        return value.isoformat()
    if not isinstance(value, float):
        if field.kind == "choice" and "." not in field.choices and value is not None:
            records = plan.book.blocks[field.choices].records
            return next((str(record["word"]) for record in records if str(record["code"]) == value), str(value))
        return "" if value is None else str(value)
    if math.isinf(value):
        return plan.book.words["no_limit"]
    if field.unit == "clock":
        return shown_clock(value)
    if field.unit == "share":
        return f"{value * 100:.12g} %"
    return f"{value:.12g} {units.symbol(field.unit, plan.system)}".strip()
