"""Numbers of a job that are beyond what the cells of a book take, as they can be after a change of units."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from sheetgen.book.validate import bounds
from sheetgen.check.meet import attribute, is_of_job
from sheetgen.findings import Finding, Severity

if TYPE_CHECKING:
    from sheetgen.book.compile import Compiled
    from sheetgen.engine.job import Job


def beyond_bounds(job: Job, made: Compiled, name: str) -> list[Finding]:
    """Return a finding for each number that a book in the units of the job does not take.

    Parameters
    ----------
    job : Job
        Inputs, in the units of the book.
    made : Compiled
        The template of the book.
    name : str
        What findings call the book that the numbers come from.
    """
    found = []
    for block, field in made.plan.entered():
        if not is_of_job(block.name):
            continue
        held = getattr(job, block.name)
        least, most = bounds(field, made.plan)
        spot = made.plan.spot(block.name, field.name)
        for number, record in enumerate(held if isinstance(held, tuple) else (held,)):
            value = getattr(record, attribute(field.name))
            if field.unit == "clock" or not isinstance(value, float) or value == math.inf or least <= value <= most:
                continue
            what = f"'{field.label}' is {value:.7g} in {job.system} units, but {least:g} to {most:g} is allowed there"
            place = f"{name} {spot.cell(number).a1}"
            found.append(Finding("input-bounds", Severity.ERROR, place, what, f"make the new book in the units of {name}"))
    return found
