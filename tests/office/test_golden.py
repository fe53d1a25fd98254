"""The build of each kind of book, held against a dump that a person has looked at.

A dump says of each sheet what a reader of the file meets first: size, formulas, validations, protection, print setup;
and of the book its defined names. It holds no figures: those are proved elsewhere.

Where a change is meant, set SHEETGEN_RENEW_GOLDEN=1, run these tests, and look at the difference before it is committed.
"""

from __future__ import annotations

import datetime as dt
import functools
import os
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import openpyxl
import pytest
from filled_books import done_job, put

from sheetgen.book.compile import compiled
from sheetgen.book.load import template_folder
from sheetgen.book.stamp import Stamp
from sheetgen.book.write import write
from sheetgen.check.meet import contents_of
from sheetgen.cost import build_cost
from sheetgen.jobfile import starter
from sheetgen.rates import only_rates
from sheetgen.reconcile import reconcile
from sheetgen.units import System

GOLDEN = Path(__file__).parent / "golden"
RENEW = "SHEETGEN_RENEW_GOLDEN"
DAY = dt.date(2026, 3, 2)


def _put(kind: str, system: System, path: Path) -> None:
    made, job = compiled(kind, system), starter(system)
    write(path, contents_of(made, only_rates(job, made) if kind == "rates" else job), Stamp.of(made.plan, "golden", DAY))


def _cost_us(path: Path) -> None:
    bid = put(done_job(), path.with_name("filled.xlsx"), "filled")
    build_cost(reconcile([bid]), path, made_on=DAY, book_id="golden")


BOOKS: dict[str, Callable[[Path], None]] = {
    "bid-us": functools.partial(_put, "bid", "us"), "bid-metric": functools.partial(_put, "bid", "metric"),
    "rates-us": functools.partial(_put, "rates", "us"), "cost-us": _cost_us,
}  # fmt: skip


@pytest.mark.parametrize("name", BOOKS)
def test_book_is_built_as_it_was(tmp_path: Path, name: str) -> None:
    path = tmp_path / "book.xlsx"
    BOOKS[name](path)
    dump = "\n".join(_dump(path)) + "\n"
    golden = GOLDEN / f"{name}.txt"
    if os.environ.get(RENEW):
        golden.write_text(dump, encoding="utf-8")

    assert dump == golden.read_text(encoding="utf-8"), f"if the change is meant, set {RENEW}=1 and look at the difference"


def test_every_kind_of_book_has_a_golden_dump() -> None:
    kinds = {folder.parent.name for folder in template_folder("bid").parent.glob("*/book.toml")}

    assert kinds == {name.split("-")[0] for name in BOOKS}


def _dump(path: Path) -> Iterator[str]:
    book = openpyxl.load_workbook(path)
    yield f"active: {book.active.title}"
    for sheet in book.worksheets:
        yield ""
        yield from _sheet(sheet)
    yield ""
    yield "names"
    for name, defined in sorted(book.defined_names.items()):
        yield f"  {name} = {defined.attr_text}"


def _sheet(sheet: Any) -> Iterator[str]:
    page = sheet.page_setup
    formulas = sum(cell.data_type == "f" for row in sheet.iter_rows() for cell in row)
    unlocked = sum(not cell.protection.locked for row in sheet.iter_rows() for cell in row)
    margins = sheet.page_margins
    yield f"sheet {sheet.title}"
    yield f"  state: {sheet.sheet_state}"
    yield f"  dimensions: {sheet.dimensions}"
    yield f"  formulas: {formulas}"
    yield f"  unlocked cells: {unlocked}"
    yield f"  validations: {len(sheet.data_validations.dataValidation)}"
    yield f"  conditional formats: {sum(len(one.rules) for one in sheet.conditional_formatting)}"
    yield f"  charts: {len(sheet._charts)}"
    yield f"  protected: {'yes' if sheet.protection.sheet else 'no'}"
    yield f"  frozen at: {sheet.freeze_panes}"
    yield f"  print area: {sheet.print_area}"
    yield f"  repeated rows: {sheet.print_title_rows}"
    yield f"  paper: {page.paperSize} {page.orientation or 'portrait'}, {_fit(page.fitToWidth)} wide, {_fit(page.fitToHeight)} high"
    yield f"  margins: {margins.left} {margins.right} {margins.top} {margins.bottom}"
    footer = sheet.oddFooter
    yield f"  footer: {' | '.join(str(part.text) for part in (footer.left, footer.center, footer.right))}"


def _fit(pages: int | None) -> str:
    """Return how many pages a sheet is fitted to: a file that says nothing means one, and 0 means as many as it takes."""
    return "any number" if pages == 0 else f"{pages or 1} page"
