"""Where engine and workbook meet: a job gives a book's entries, values its figures, and entries give a job again."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from typing import Any, Final

import attrs

from sheetgen.book.compile import Compiled
from sheetgen.book.contents import Contents
from sheetgen.book.linked import Target
from sheetgen.book.plan import Place, Plan
from sheetgen.book.states import state_cells
from sheetgen.book.template import SCENARIOS, Block, Field
from sheetgen.check.compare import Expected
from sheetgen.engine.cost_book import cost_book
from sheetgen.engine.inputs import PLAN_ROWS, padded
from sheetgen.engine.job import Job, compute
from sheetgen.engine.rate_figures import rate_figures
from sheetgen.engine.values import Values
from sheetgen.reader.serial import DAYS_BEFORE_1904
from sheetgen.units import System

Entries = Mapping[tuple[str, str], tuple[Any, ...]]
Tables = Mapping[str, Sequence[Mapping[str, Any]]]
_OF_JOB: Final = frozenset(one.name for one in attrs.fields(Job) if "record" in one.metadata)


def attribute(name: str) -> str:
    """Return the attribute of a record that holds a field: Python keeps some words for itself."""
    return f"{name}_" if name == "yield" else name


def is_of_job(block: str) -> bool:
    """Return whether a block holds inputs of a job; what was tuned stands in a rate book beside them."""
    return block in _OF_JOB


def entered_of(job: Job, tables: Tables | None = None) -> Callable[[Place], Any]:
    """Return a look-up of what a job, and the tables beside it, have at a place of its book."""
    beside = tables or {}

    def entered(place: Place) -> Any:
        if not is_of_job(place.block):
            rows = beside.get(place.block, ())
            return rows[place.record].get(place.field) if place.record < len(rows) else None
        held = getattr(job, place.block)
        if isinstance(held, tuple):
            if place.record >= len(held):
                return None
            held = held[place.record]
        return getattr(held, attribute(place.field))

    return entered


def computed_of(values: Mapping[str, Any]) -> Callable[[Place], Any]:
    """Return a look-up of the engine's values, in the units of the book, at a place of it."""

    def computed(place: Place) -> Any:
        value = values[place.name]
        if isinstance(value, dict):
            value = value[SCENARIOS[place.scenario or 0]]
        if isinstance(value, tuple):
            return value[place.record] if place.record < len(value) else None
        return value

    return computed


def figures(job: Job, plan: Plan, system: System | None = None) -> Values:
    """Return the figures of a job, with as many records as its book has where a figure depends on that.

    Parameters
    ----------
    job : Job
        In the units of the book.
    plan : Plan
        The plan of its book.
    system : {'us', 'metric'}, optional
        Units of the figures; those of the book unless given.

    Returns
    -------
    Values
        What the engine makes of it.
    """
    blocks = plan.book.blocks
    # The rows that a plan fills by itself, and those that are paired with others.
    names = {*PLAN_ROWS, *(block.second for block in blocks.values() if block.second)}
    rows = {name: plan.records(blocks[name]) for name in names if name in blocks}
    return compute(padded(job, rows)).in_system(system or job.system)


def contents_of(
    made: Compiled, job: Job, tables: Tables | None = None, links: Mapping[Place, Target] | None = None
) -> Contents:
    """Return what stands in the cells of a job's bid book, or of the rate book that holds its rates.

    Parameters
    ----------
    made : Compiled
        The template of the book.
    job : Job
        Inputs, in the units of the book; what links take from elsewhere too.
    tables : mapping of str to sequence of mapping, optional
        What the tool itself put beside the job, rows by block: what was tuned, what was left over.
    links : mapping of Place to Target, optional
        Inputs that are taken from another cell of the workbook.

    Returns
    -------
    Contents
        Entries as they are, figures by the engine.
    """
    values = figures(job, made.plan)
    if made.plan.book.kind == "rates":
        rows = {name: made.plan.records(block) for name, block in made.plan.book.blocks.items()}
        computed = {**values, **rate_figures(job, values, tables, rows)}
        return Contents(made, entered_of(job, tables), computed_of(computed), links)
    return Contents(made, entered_of(job, tables), computed_of(values), links)


def contents_of_tables(made: Compiled, tables: Mapping[str, Sequence[Mapping[str, Any]]]) -> Contents:
    """Return what stands in the cells of the cost book that these tables make.

    Parameters
    ----------
    made : Compiled
        The template of the cost book, with as many rows as the tables have.
    tables : mapping of str to sequence of mapping
        Rows by block; a figure that is not known is None.

    Returns
    -------
    Contents
        Rows as they are, everything else by the engine.
    """
    values = cost_book(tables, made.plan.system)

    def entered(place: Place) -> Any:
        rows = tables[place.block]
        return rows[place.record].get(place.field) if place.record < len(rows) else None

    def computed(place: Place) -> Any:
        value = values[place.name]
        if isinstance(value, tuple):
            return value[place.record] if place.record < len(value) else None
        return value

    return Contents(made, entered, computed)


def tables_of(entries: Entries) -> dict[str, list[dict[str, Any]]]:
    """Return the tables of a cost book that was read: a row per record, None where a cell is blank."""
    tables: dict[str, list[dict[str, Any]]] = {}
    for (block, field), column in entries.items():
        rows = tables.setdefault(block, [{} for _ in column])
        for row, value in zip(rows, column, strict=True):
            row[field] = value
    return tables


def beside_job(entries: Entries) -> dict[str, list[dict[str, Any]]]:
    """Return the tables of a rate book that are no part of a job: what was tuned."""
    return tables_of({key: column for key, column in entries.items() if not is_of_job(key[0])})


def job_of(entries: Entries, system: System) -> Job:
    """Return the job that entries of a book make.

    Parameters
    ----------
    entries : mapping of (block, field) to tuple
        One value per record, None where a cell is blank; choices of a list as codes.
    system : {'us', 'metric'}
        Units of the book.

    Returns
    -------
    Job
        Every input comes from the entries: a blank is missing, whatever its starter value was.
    """
    made: dict[str, Any] = {}
    for block in attrs.fields(Job):
        record = block.metadata.get("record")
        if record is None:
            continue
        names = [one.name for one in attrs.fields(record)]
        columns = {name: entries[block.name, name.rstrip("_")] for name in names if (block.name, name.rstrip("_")) in entries}
        blank = dict.fromkeys(names)
        count = max((len(column) for column in columns.values()), default=0)
        if not block.metadata["rows"]:
            made[block.name] = record(**{**blank, **{name: column[0] for name, column in columns.items()}})
            continue
        # Blank rows at the end say nothing; blank rows in between keep their place.
        while count and all(column[count - 1] is None for column in columns.values()):
            count -= 1
        made[block.name] = tuple(
            record(**{**blank, **{name: column[number] for name, column in columns.items()}}) for number in range(count)
        )
    return Job(system=system, **made)


def expected(contents: Contents, *, date1904: bool = False) -> dict[str, dict[tuple[int, int], Expected]]:
    """Return what every formula cell of a book must hold.

    Parameters
    ----------
    contents : Contents
        What stands in the cells.
    date1904 : bool
        Whether the book counts days from 1904, as some programs do that saved it.

    Returns
    -------
    dict
        By sheet and 1-based (row, column).

    Raises
    ------
    KeyError
        A formula has no engine value.
    """
    wanted: dict[str, dict[tuple[int, int], Expected]] = {}
    for block, field in contents.compiled.formulas():
        _add_field(contents, block, field, wanted, date1904=date1904)
    for cell, check_block, check in state_cells(contents.plan):
        if check_block is None or check is None:
            value: Any = contents.master_state()
            name = "state of the checks"
        else:
            value = contents.check_state(check_block, check, contents.value(check_block, check, 0, None))
            name = f"{check_block.name}.{check.name} state"
        wanted.setdefault(cell.sheet, {})[cell.row + 1, cell.column + 1] = Expected(value, "show", name)
    for place in contents.links:
        cell = contents.plan.cell(place)
        wanted.setdefault(cell.sheet, {})[cell.row + 1, cell.column + 1] = Expected(None, "linked", place.name)
    return wanted


def _add_field(
    contents: Contents, block: Block, field: Field, wanted: dict[str, dict[tuple[int, int], Expected]], *, date1904: bool
) -> None:
    earlier = DAYS_BEFORE_1904 if date1904 and field.unit == "date" else 0
    name = f"{block.name}.{field.name}"
    filtered = contents.compiled.filtered(block, field)
    for place, cell in contents.plan.places(block, field):
        by_cell = wanted.setdefault(cell.sheet, {})
        if field.kind == "show":
            made = Expected(contents.shown(block, field, place), "show", name)
        else:
            value = contents.formula(place)
            value = value - earlier if earlier and isinstance(value, float) else value
            made = Expected(value, "filtered" if filtered else "formula", name)
        by_cell[cell.row + 1, cell.column + 1] = made
