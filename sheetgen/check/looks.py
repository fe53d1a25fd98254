"""What a book itself says is to be looked at: checks that say LOOK with the rows they count, what is missing, what is not yet own."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from sheetgen.book.contents import Contents
from sheetgen.book.plan import Address, Place
from sheetgen.book.states import state_cells
from sheetgen.book.template import SCENARIOS, Block, Field, rows_of
from sheetgen.findings import Finding, Report

# Rows named one by one under a check; more are only counted.
MOST_ROWS: Final = 5
_NAMES: Final = ("name", "label", "zone_name", "number")


def to_look_at(contents: Contents, name: str) -> list[Finding]:
    """Return every check that says LOOK, each with the first rows that it counts, a missing price, and starter values that are left.

    Parameters
    ----------
    contents : Contents
        What stands in the cells of a bid book or a rate book.
    name : str
        Name of the book, for the place of a finding.

    Returns
    -------
    list of Finding
        Nothing in a bid book where no area has been measured yet: a blank book has no price, and that is no finding.
    """
    bid = contents.plan.book.kind == "bid"
    if bid and not _measured(contents):
        return []
    report = Report()
    for _, block, check in state_cells(contents.plan):
        if block is None or check is None or block.name != "checks":
            continue
        value = contents.value(block, check, 0, None)
        if isinstance(value, float) and value > check.tolerance:
            _add(report, contents, name, check, value)
    if bid and contents.formula(Place("price", "total", 0, SCENARIOS.index("accepted"))) is None:
        report.look("price-missing", name, "the book has no price yet", "open Start: it says in order what is missing")
    if not bid:
        _add_starters(report, contents, name)
    return list(report)


def _add_starters(report: Report, contents: Contents, name: str) -> None:
    """Note how many rows of each table of a rate book are still starter values."""
    block = contents.plan.book.blocks["starters"]
    counts = [(field.label, contents.value(block, field, 0, None)) for field in block.fields]
    left = [f"{label.lower()} {count:g}" for label, count in counts if isinstance(count, float) and count > 0]
    if left:
        cell = contents.plan.spot(block.name, block.fields[0].name).cell()
        report.note("rates-starter", f"{name} {cell.a1}", f"still holds starter values: {', '.join(left)}", "put your own in their place")


def _measured(contents: Contents) -> bool:
    spot = contents.plan.spot("areas", "started")
    return any(contents.formula(Place("areas", "started", record, None)) for record in range(spot.records))


def _add(report: Report, contents: Contents, name: str, check: Field, value: float) -> None:
    rows = [row for source in check.each for row in _rows(contents, source)]
    cell = contents.plan.spot("checks", check.name).cell()
    if not rows:
        report.look("check-look", f"{name} {cell.a1}", f"{check.label}: {value:g}", check.note)
    for cell, said in rows[:MOST_ROWS]:
        report.look("check-look", f"{name} {cell.a1}", f"{check.label}: {said}", check.note)
    if len(rows) > MOST_ROWS:
        report.look("check-look", f"{name} {cell.a1}", f"{check.label}: and {len(rows) - MOST_ROWS} rows more", check.note)


def _rows(contents: Contents, source: str) -> Iterator[tuple[Address, str]]:
    """Yield the cell and the words of every row that is flagged."""
    owner, flag, words = rows_of(source)
    block = contents.plan.book.blocks[owner]
    flag_field, words_field = block.field(flag), block.field(words)
    assert flag_field is not None
    assert words_field is not None
    spot = contents.plan.spot(owner, words)
    for record in range(spot.records):
        found = contents.value(block, flag_field, record, None)
        if isinstance(found, float) and found > 0:
            said = contents.value(block, words_field, record, None)
            yield spot.cell(record), f"{_called(contents, block, record)}: {said}"


def _called(contents: Contents, block: Block, record: int) -> str:
    """Return what people call a record: what stands in it as its name, or its number."""
    for name in _NAMES:
        field = block.field(name)
        value = None if field is None else contents.value(block, field, record, None)
        if isinstance(value, str) and value.strip():
            return f"'{value.strip()}'"
    return f"row {record + 1}"
