"""Totals over jobs for the cost book: what is known is added, what is not known is not taken for zero."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, Final

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

Figure = float | None | tuple[float | None, ...]
_TOLERANCE_HOUR: Final = 1e-6
_SUMMED: Final = (
    "hours_estimated", "hours_actual", "hours_variance", "labour_variance", "materials_variance",
    "bags_needed", "bags_used", "price",
)  # fmt: skip


def known_sum(values: Sequence[float | None]) -> float | None:
    """Add what is known; the sum of nothing known is not known.

    Parameters
    ----------
    values : sequence of float or None
        Amounts of one unit [-].

    Returns
    -------
    float or None
        Their sum, None where none is known [-].
    """
    known = [value for value in values if value is not None]
    return sum(known) if known else None


def share_of(part: float | None, whole: float | None) -> float | None:
    """Divide an actual by its estimate.

    Parameters
    ----------
    part : float or None
        Actual [-].
    whole : float or None
        Estimate in the same unit [-].

    Returns
    -------
    float or None
        Ratio; None where either is missing or the estimate is not above 0 [-].
    """
    if part is None or whole is None or whole <= 0:
        return None
    return part / whole


def totals_of_jobs(jobs: Sequence[Mapping[str, Any]], hours: Sequence[Mapping[str, Any]]) -> dict[str, Figure]:
    """Compute every total and ratio of the cost book.

    Parameters
    ----------
    jobs : sequence of mapping
        One per job: hours [h], bags [bag], amounts [money]; None where not known.
    hours : sequence of mapping
        One per job and task: hours [h].

    Returns
    -------
    dict of str to float or tuple
        By ``block.field``; a tuple has one ratio per job [-].
    """
    found: dict[str, Figure] = {f"totals.{name}": known_sum([job[name] for job in jobs]) for name in _SUMMED}
    found["jobs.hours_ratio"] = tuple(share_of(job["hours_actual"], job["hours_estimated"]) for job in jobs)
    found["jobs.bags_ratio"] = tuple(share_of(job["bags_used"], job["bags_needed"]) for job in jobs)
    by_task = known_sum([row["actual"] for row in hours])
    by_job = found["totals.hours_actual"]
    gap = abs(by_task - by_job) if by_task is not None and isinstance(by_job, float) else None
    wrong = known_sum([job["log_rows_wrong"] for job in jobs]) or 0.0
    found["hours_total.by_task"] = by_task
    found["checks.hours"] = gap
    found["checks.log"] = wrong
    hours_looks = float(gap is not None and gap > _TOLERANCE_HOUR)
    found["master.hours_looks"] = hours_looks
    found["master.looks"] = hours_looks + float(wrong > 0)
    return found
