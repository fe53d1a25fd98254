"""What a new bid begins with: starter values, or a rate book's; over them a job file, and over that a file of areas."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from sheetgen.engine.job import Job
    from sheetgen.findings import Finding
    from sheetgen.units import System


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
