"""Totals over jobs for the cost book: what is known is added, what is not known is not taken for zero."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, Final

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

Figure = float | tuple[float | None, ...]
_TOLERANCE_HOUR: Final = 1e-6
_SUMMED: Final = (
    "hours_estimated", "hours_actual", "hours_variance", "labour_variance", "materials_variance",
    "bags_needed", "bags_used", "price",
)  # fmt: skip


def known_sum(values: Sequence[float | None]) -> float:
    """Add what is known.

    Parameters
    ----------
    values : sequence of float or None
        Amounts of one unit [-].

    Returns
    -------
    float
        Their sum, 0 where none is known [-].
    """
    return sum(value for value in values if value is not None)


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
    found["hours_total.by_task"] = by_task
    gap = abs(by_task - known_sum([job["hours_actual"] for job in jobs]))
    wrong = known_sum([job["log_rows_wrong"] for job in jobs])
    found["checks.hours"] = gap
    found["checks.log"] = wrong
    found["master.looks"] = float(gap > _TOLERANCE_HOUR) + float(wrong > 0)
    return found
