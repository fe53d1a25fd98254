"""The sheet Tuning, job by job: hours by the present rates, as predicted and as worked, and one task over its last jobs."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from typing import Any, Final

from sheetgen.engine.missing import MISSING, known, value

Row = Mapping[str, Any]
_HOURS: Final = ("reckoned", "predicted", "actual")


def ratio_of(row: Row) -> float:
    """Return actual by reckoned hours, missing unless something was reckoned [-]."""
    reckoned, actual = value(row.get("reckoned")), value(row.get("actual"))
    return actual / reckoned if reckoned > 0 else MISSING


def of_job(row: Row) -> dict[str, float]:
    """Compute a row of the table of jobs.

    Parameters
    ----------
    row : mapping
        Hours of one job.

    Returns
    -------
    dict
        Ratio, whether it counts, and how far off both bids are as logarithms; what is not known is missing.
    """
    reckoned, predicted, actual = hours = [value(row.get(name)) for name in _HOURS]
    counted = MISSING if not all(map(known, hours)) else float(min(hours) > 0)
    before, after = (math.log(actual / bid) if counted == 1 else MISSING for bid in (reckoned, predicted))
    return {
        "ratio": ratio_of(row),
        "counted": counted,
        "over_before": before,
        "over_after": after,
        "off_before": abs(before),
        "off_after": abs(after),
    }


def of_rows(rows: Sequence[Row], shown_task: float) -> list[dict[str, float]]:
    """Compute the table of jobs and tasks.

    Parameters
    ----------
    rows : sequence of mapping
        Hours of one task of one job each.
    shown_task : float
        Which task is shown, or missing [no].

    Returns
    -------
    list of dict
        Ratio, the same of the task that is shown, and how many of these there are so far; what is not known is missing.
    """
    found: list[dict[str, float]] = []
    so_far = MISSING
    for row in rows:
        ratio = ratio_of(row)
        shown = ratio if value(row.get("task_no")) == shown_task else MISSING
        earlier, so_far = so_far, (so_far if known(so_far) else 0.0) + float(known(shown))
        found.append({"ratio": ratio, "shown": shown, "earlier": earlier, "so_far": so_far})
    return found


def shown_jobs(rows: Sequence[Row], found: Sequence[Mapping[str, float]], count: int) -> list[dict[str, float]]:
    """Return the last jobs of the task that is shown, the oldest first.

    Parameters
    ----------
    rows : sequence of mapping
        Hours of one task of one job each.
    found : sequence of mapping
        What `of_rows` made of them.
    count : int
        How many are shown [count].

    Returns
    -------
    list of dict
        Place among all of them, row in the table, hours and ratio; what is not known is missing.
    """
    shown = [number for number, row in enumerate(found) if known(row["shown"])]
    skipped = max(0, len(shown) - count)
    jobs = []
    for place in range(skipped, skipped + count):
        number = shown[place] if place < len(shown) else None
        row: Row = {} if number is None else rows[number]
        hours = {name: value(row.get(name)) for name in _HOURS}
        row_no = MISSING if number is None else number + 1.0
        jobs.append({"place": place + 1.0, "row_no": row_no, **hours, "ratio": ratio_of(row)})
    return jobs


def of_all(jobs: Sequence[Mapping[str, float]], rows: Sequence[Row]) -> dict[str, float]:
    """Compute how far off the bids of all jobs are together.

    Parameters
    ----------
    jobs : sequence of mapping
        What `of_job` made of each.
    rows : sequence of mapping
        The jobs.

    Returns
    -------
    dict
        Errors and biases as shares, and the share of jobs in their range; missing without any.
    """
    count = sum(1 for job in jobs if job["counted"] == 1)
    said = [row.get("inside") for row in rows]
    inside, judged = said.count("yes"), said.count("yes") + said.count("no")

    def grown(name: str) -> float:
        return math.exp(math.fsum(job[name] for job in jobs if known(job[name])) / count) - 1 if count else MISSING

    return {
        "jobs_counted": float(count),
        "jobs_inside": float(inside),
        "jobs_judged": float(judged),
        "error_before": grown("off_before"),
        "error_after": grown("off_after"),
        "bias_before": grown("over_before"),
        "bias_after": grown("over_after"),
        "inside": inside / judged if judged else MISSING,
    }
