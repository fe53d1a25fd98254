"""``sheetgen bid``."""

from __future__ import annotations

import datetime as dt
from pathlib import Path
from typing import TYPE_CHECKING

import click

from sheetgen.commands.given import job_given
from sheetgen.commands.outcome import hand_over, keep, refuse_source
from sheetgen.options import FILE, as_day, as_row_counts, json_option, recalculate_option, strict_option

if TYPE_CHECKING:
    from sheetgen.check.recalculate import Program
    from sheetgen.units import System


@click.command()
@click.argument("out", type=FILE)
@click.option("--units", "system", type=click.Choice(["us", "metric"]), help="Units of the book [default: the rate book's, else us].")
@click.option("--rates", "rate_book", type=FILE, help="Filled rate book that the book takes its copy from [default: starter values].")
@click.option("--job", "job_file", type=FILE, help="TOML file that fills the book.")
@click.option("--areas", "areas_file", type=FILE, help="CSV file with the areas, one a line.")
@click.option(
    "--rows", multiple=True, callback=as_row_counts, metavar="TABLE=N", help="Prepare N rows, as in areas=200; may be repeated."
)  # fmt: skip
@click.option("--date", "made_on", callback=as_day, help="Day written into the book [default: today].")
@click.option("--id", "book_id", default="", help="Id of the book [default: random].")
@click.option("--replace", is_flag=True, help="Replace OUT where it is there already.")
@recalculate_option
@strict_option
@json_option
@click.pass_context
def bid(
    ctx: click.Context, out: Path, *, system: System | None, rate_book: Path | None, job_file: Path | None, areas_file: Path | None,
    rows: dict[str, int], made_on: dt.date, book_id: str, replace: bool, program: Program, strict: bool, as_json: bool,
) -> None:  # fmt: skip
    """Make a bid book, checked cell by cell.

    \b
    Example: sheetgen bid garage.xlsx --units us --date 2026-05-31
    """
    from sheetgen import build

    job, rows, noted = job_given(system, rate_book, job_file, areas_file, rows)
    refuse_source(out, (rate_book, "the rate book"))
    keep(out, replace=replace)
    built = build.build_bid(job, out, made_on=made_on, book_id=book_id, rows=rows, program=program)
    hand_over(ctx, built, (*noted, *built.findings), strict=strict, as_json=as_json)
