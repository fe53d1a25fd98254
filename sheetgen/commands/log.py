"""``sheetgen log``."""

from __future__ import annotations

import datetime as dt
from pathlib import Path
from typing import TYPE_CHECKING

import click

from sheetgen.commands.carry import tell
from sheetgen.commands.outcome import keep, refuse_source
from sheetgen.options import FILE, all_option, as_day, json_option, recalculate_option, strict_option

if TYPE_CHECKING:
    from sheetgen.check.recalculate import Program


@click.command()
@click.argument("book", type=FILE)
@click.option("--hours", type=FILE, help="CSV file of a time clock.")
@click.option("--materials", type=FILE, help="CSV file of what suppliers delivered, or of what was used.")
@click.option("--costs", type=FILE, help="CSV file of other costs.")
@click.option("--out", type=FILE, required=True, help="The new book.")
@click.option("--date", "made_on", callback=as_day, help="Day written into the book [default: today].")
@click.option("--id", "book_id", default="", help="Id of the new book [default: that of BOOK, for it is the same job].")
@click.option("--replace", is_flag=True, help="Replace OUT where it is there already.")
@all_option
@recalculate_option
@strict_option
@json_option
@click.pass_context
def log(
    ctx: click.Context, book: Path, *, hours: Path | None, materials: Path | None, costs: Path | None, out: Path, made_on: dt.date,
    book_id: str, replace: bool, every: bool, program: Program, strict: bool, as_json: bool,
) -> None:  # fmt: skip
    """Add hours, materials and other costs from CSV files to the log of a book, in a new book.

    \b
    Example: sheetgen log garage.xlsx --hours clock.csv --materials receipts.csv --out garage-2.xlsx
    """
    files = {kind: path for kind, path in (("hours", hours), ("materials", materials), ("costs", costs)) if path is not None}
    if not files:
        raise click.UsageError("Name a CSV file with --hours, --materials or --costs.")
    from sheetgen.log import log as add

    refuse_source(out, (book, "the book"), *((path, "a file") for path in files.values()))
    keep(out, replace=replace)
    logged = add(book, files, out, made_on=made_on, book_id=book_id, program=program)
    tell(ctx, book, logged.carried, added=logged.added, findings=logged.findings, every=every, strict=strict, as_json=as_json)
