"""``sheetgen bid``."""

from __future__ import annotations

import datetime as dt
from pathlib import Path
from typing import TYPE_CHECKING

import click

from sheetgen.commands.outcome import hand_over, keep, refuse_source
from sheetgen.options import FILE, as_day, as_row_counts, json_option, recalculate_option, strict_option

if TYPE_CHECKING:
    from sheetgen.check.recalculate import Program
    from sheetgen.findings import Finding
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
@click.option("--picture", "picture_file", type=FILE, help="PNG or JPEG of the firm, for the proposal.")
@click.option("--date", "made_on", callback=as_day, help="Day written into the book [default: today].")
@click.option("--id", "book_id", default="", help="Id of the book [default: random].")
@click.option("--replace", is_flag=True, help="Replace OUT where it is there already.")
@recalculate_option
@strict_option
@json_option
@click.pass_context
def bid(
    ctx: click.Context, out: Path, *, system: System | None, rate_book: Path | None, job_file: Path | None, areas_file: Path | None,
    rows: dict[str, int], picture_file: Path | None, made_on: dt.date, book_id: str, replace: bool, program: Program, strict: bool, as_json: bool,
) -> None:  # fmt: skip
    """Make a bid book, checked cell by cell.

    \b
    Example: sheetgen bid garage.xlsx --units us --date 2026-05-31
    """
    from sheetgen import build, jobfile
    from sheetgen.picture import read_picture

    job = jobfile.starter(system or "us")
    noted: tuple[Finding, ...] = ()
    if rate_book is not None:
        from sheetgen import rates

        taken = rates.read_rates(rate_book)
        taken = taken.in_system(system or taken.job.system)
        job, noted = rates.with_rates(jobfile.starter(taken.job.system), taken), taken.findings
        rows = {**taken.rows, **rows}
    if job_file is not None:
        job = jobfile.read_job(job_file, job)
    if areas_file is not None:
        job = jobfile.read_areas(areas_file, job)
    refuse_source(out, (rate_book, "the rate book"))
    keep(out, replace=replace)
    picture = None if picture_file is None else read_picture(picture_file)
    built = build.build_bid(job, out, made_on=made_on, book_id=book_id, rows=rows, picture=picture, program=program)
    hand_over(ctx, built, (*noted, *built.findings), strict=strict, as_json=as_json)
