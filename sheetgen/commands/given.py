"""What a new bid begins with: starter values, or a rate book's; over them a job file, and over that a file of areas."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING, Any, Final

import click

from sheetgen.options import FILE, as_day, as_row_counts

if TYPE_CHECKING:
    from sheetgen.engine.job import Job
    from sheetgen.findings import Finding
    from sheetgen.units import System


# Of what a bid is made, and how it is stamped; in the order in which help shows them.
_OF_A_BID: Final = (
    click.option("--units", "system", type=click.Choice(["us", "metric"]), help="Units of the bid [default: the rate book's, else us]."),
    click.option("--rates", "rate_book", type=FILE, help="Filled rate book that the bid takes its copy from [default: starter values]."),
    click.option("--job", "job_file", type=FILE, help="TOML file that fills the bid."),
    click.option("--areas", "areas_file", type=FILE, help="CSV file with the areas, one a line."),
    click.option("--picture", "picture_file", type=FILE, help="PNG or JPEG of the firm, for the proposal."),
    click.option(
        "--rows", multiple=True, callback=as_row_counts, metavar="TABLE=N", help="Prepare N rows, as in areas=200; may be repeated."
    ),
    click.option("--date", "made_on", callback=as_day, help="Day written into the bid [default: today]."),
    click.option("--id", "book_id", default="", help="Id of the bid [default: random]."),
)


def bid_options(command: Callable[..., Any]) -> Callable[..., Any]:
    """Give a command the options that describe a new bid."""
    for option in reversed(_OF_A_BID):
        command = option(command)
    return command


def job_given(
    system: System | None, rate_book: Path | None, job_file: Path | None, areas_file: Path | None, rows: dict[str, int]
) -> tuple[Job, dict[str, int], tuple[Finding, ...]]:
    """Return the job that the options of a command describe.

    Parameters
    ----------
    system : {'us', 'metric'}, optional
        Units of the book; the rate book's, else US, unless given.
    rate_book, job_file, areas_file : Path, optional
        Files that fill it.
    rows : dict of str to int
        Row counts that were asked for [count].

    Returns
    -------
    job : Job
        Inputs.
    rows : dict of str to int
        Row counts, those of the rate book too [count].
    findings : tuple of Finding
        What was found in the rate book.

    Raises
    ------
    Refused
        A file cannot be read.
    """
    from sheetgen import jobfile

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
    return job, rows, noted
