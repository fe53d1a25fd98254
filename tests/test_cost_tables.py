"""The sheets of the cost book agree with the engine on invented tables: with gaps, zeros, credits and unknown words."""

from __future__ import annotations

import datetime as dt
import random
from typing import TYPE_CHECKING, Any

import pytest

from sheetgen.book.compile import compiled, shipped
from sheetgen.book.plan import Plan
from sheetgen.book.stamp import Stamp
from sheetgen.book.write import write
from sheetgen.check.book import check_file, check_form
from sheetgen.check.meet import contents_of_tables
from sheetgen.reader.raw import read_raw

if TYPE_CHECKING:
    from pathlib import Path

    from sheetgen.check.recalculate import Program
    from sheetgen.units import System

LARGEST = 5000.0
GAPS = 0.25
DAY = dt.date(2026, 3, 31)
# A row is there where it has this; the rest may be missing.
ALWAYS = {"workbook", "finished", "task", "product"}
WORDS = {
    "status": ["bid", "sent", "won", "lost", "running", "done", "closed", "dropped"],
    "kind": ["equipment", "Travel", "sample panel", "t*", "fees"],
}
NUMBERS = {"finished": 1, "task_no": 6, "product_no": 6}


def invented(rows: int, seed: int) -> dict[str, list[dict[str, Any]]]:
    """Return tables with this many rows [count], every posted field of the template in them."""
    draw = random.Random(seed)
    tables: dict[str, list[dict[str, Any]]] = {"report": [{}]}
    for block, field in Plan(shipped("cost"), "us").posted():
        # One row of `report`; as many rows of tasks and products as their numbers go.
        count = {"report": 1, "by_task": NUMBERS["task_no"], "by_product": NUMBERS["product_no"]}.get(block.name, rows)
        table = tables.setdefault(block.name, [])
        table.extend({} for _ in range((count if rows else min(count, block.kind == "fields")) - len(table)))
        for number, row in enumerate(table):
            missing = field.name not in ALWAYS and draw.random() < GAPS
            row[field.name] = None if missing else value(field.name, field.unit, number, draw)
    return tables


def value(name: str, unit: str, number: int, draw: random.Random) -> Any:
    if name in WORDS:
        return draw.choice(WORDS[name])
    if name in NUMBERS:
        return float(draw.randint(0 if name == "finished" else 1, NUMBERS[name]))
    if unit == "text":
        return f"word of {number + 1}"
    if unit == "date":
        return DAY - dt.timedelta(days=draw.randint(0, 90))
    return draw.choice([0.0, *(round(draw.uniform(-LARGEST / 10, LARGEST), 2) for _ in range(5))])


@pytest.mark.parametrize(
    ("system", "rows", "seed", "program"),
    [("us", 0, 0, "ironcalc"), ("metric", 1, 1, "ironcalc"), ("us", 25, 2, "ironcalc"), ("metric", 40, 3, "ironcalc"), ("us", 30, 4, "libreoffice")],
)
def test_invented_tables_agree_in_every_cell(tmp_path: Path, system: System, rows: int, seed: int, program: Program) -> None:
    tables = invented(rows, seed)
    made = compiled("cost", system, {name: max(len(table), 1) for name, table in tables.items() if name != "report"})
    contents = contents_of_tables(made, tables)
    path = tmp_path / "cost.xlsx"
    write(path, contents, Stamp.of(made.plan, "1e2d3c4b", DAY))

    checked = check_file(path, contents, program)

    assert checked.findings == ()
    assert check_form(read_raw(path), contents, fresh=True) == ()
    assert checked.counts.compared + checked.counts.shows == checked.counts.found


def test_a_rounded_sum_that_is_wrong_is_found(tmp_path: Path) -> None:
    """The guard itself: one cent more on one job is met in the job, in its sums and nowhere passed over."""
    tables = invented(12, 5)
    job = next(row for row in tables["jobs"] if row["price_bid"] is not None and row["change_price"] is not None)
    made = compiled("cost", "us", {name: max(len(table), 1) for name, table in tables.items() if name != "report"})
    right = contents_of_tables(made, tables)
    path = tmp_path / "cost.xlsx"
    write(path, right, Stamp.of(made.plan, "1e2d3c4b", DAY))
    job["price_bid"] += 0.01

    found = {one.what.split(" ")[0] for one in check_file(path, contents_of_tables(made, tables)).findings}

    assert {"jobs.contract", "totals.contract", "jobs_shown.contract"} <= found
