"""Whether rates tuned on past jobs would have bid another past job better: each job is left out in its turn."""

from __future__ import annotations

from typing import Final

import attrs
import numpy as np

from sheetgen.engine import risk
from sheetgen.engine.tuning.fitted import factors, fit
from sheetgen.engine.tuning.groups import Groups
from sheetgen.engine.tuning.past import Flags, Floats, Past, Whole
from sheetgen.engine.tuning.ranges import RANGE, next_spread, own_part

# Beyond so many jobs, several are left out at a time.
MOST_FOLDS: Final = 100
# Rows that are tuned on at once: what is held does not grow with the jobs [count].
_ROWS_AT_ONCE: Final = 2_000_000


@attrs.frozen(eq=False)
class Errors:
    """How wrong predictions were, as logarithms of actual by predicted.

    Parameters
    ----------
    jobs : array of float
        How many they rest on [count].
    error : array of float
        Mean of their sizes, either way; missing without any [-].
    bias : array of float
        Their mean: above 0, the work took longer than predicted [-].
    """

    jobs: Floats
    error: Floats
    bias: Floats


@attrs.frozen(eq=False, kw_only=True)
class Backtest:
    """What rates tuned on the other jobs would have bid.

    Parameters
    ----------
    predicted : array of float
        Middle of the hours of each row, by rates tuned without its job [h].
    before, after : Errors
        By task: with the present rates, and with rates tuned without the job.
    inside : array of float
        By task: share of the jobs that lie in the stated 80 % range [share].
    job_reckoned, job_predicted, job_actual : array of float
        By job, over its rows: hours by the present rates, by tuned ones, and worked; 0 for a job without rows [h].
    job_inside : array of float
        By job: 1 where its hours lie in the 80 % range of their sum, 0 where not, missing where there is none [count].
    total_before, total_after : Errors
        The same errors for the hours of whole jobs, in an array of one.
    total_inside : float
        Share of the jobs whose hours lie in that range; missing without any [share].
    """

    predicted: Floats
    before: Errors
    after: Errors
    inside: Floats
    job_reckoned: Floats
    job_predicted: Floats
    job_actual: Floats
    job_inside: Floats
    total_before: Errors
    total_after: Errors
    total_inside: float


def errors(actual: Floats, predicted: Floats, groups: Groups) -> Errors:
    """Compute how wrong predictions were in each group.

    Parameters
    ----------
    actual, predicted : array of float
        Hours worked and predicted, above 0 [h].
    groups : Groups
        Which rows belong together.

    Returns
    -------
    Errors
        For each group.
    """
    logs = np.log(actual / predicted)
    sizes = groups.sizes()
    with np.errstate(divide="ignore", invalid="ignore"):
        return Errors(sizes, groups.sum(np.abs(logs)) / sizes, groups.sum(logs) / sizes)


def backtest(past: Past, taken_apart: Flags, job_wide: float, least_jobs: int) -> Backtest:
    """Leave each job out in its turn and predict it by the others.

    Parameters
    ----------
    past : Past
        Past work.
    taken_apart : array of bool
        For each task, whether set-up and rate are fitted apart.
    job_wide : float
        Spread of the factor that all tasks of a job share; from all jobs [-].
    least_jobs : int
        A task with fewer keeps its present rate [count].

    Returns
    -------
    Backtest
        Beyond 100 jobs, a hundredth of them is left out at a time.
    """
    folds = min(past.jobs, MOST_FOLDS)
    fold = past.job % max(folds, 1)
    predicted, spread = np.empty(len(past)), np.empty(len(past))
    at_once = max(1, _ROWS_AT_ONCE // max(len(past), 1))
    for first in range(0, folds, at_once):
        _predict(past, taken_apart, fold, range(first, min(first + at_once, folds)), predicted, spread)
    of_task = Groups(past.task, past.tasks)
    predicted = np.where((of_task.sizes() >= least_jobs)[past.task], predicted, past.reckoned)
    z = risk.z_of((1 + RANGE) / 2)
    wide = np.isfinite(spread)
    within = (np.abs(np.log(past.actual / predicted)) <= z * np.where(wide, spread, 0.0)) & wide
    of_job = Groups(past.job, past.jobs)
    own = own_part(np.where(wide, spread, 0.0), job_wide)
    rows = risk.lognormal(risk.mean_of_median(predicted, own), own)
    sums = [of_job.sum(moment) for moment in (rows.mean, rows.variance, rows.third)]
    actual, reckoned = of_job.sum(past.actual), of_job.sum(past.reckoned)
    there = actual > 0
    parts = risk.Uncertain(*(moment[there] for moment in sums))
    low, middle, high = (risk.quantile(0.0, parts, job_wide, share) for share in ((1 - RANGE) / 2, 0.5, (1 + RANGE) / 2))
    whole = Groups(np.zeros(len(middle), dtype=np.intp), 1)
    stated = of_job.sum((~wide).astype(np.float64))[there] == 0
    job_inside = np.full_like(actual, np.nan)
    job_inside[there] = np.where(stated, (actual[there] >= low) & (actual[there] <= high), np.nan)
    inside = job_inside[np.isfinite(job_inside)]
    job_predicted = np.zeros_like(actual)
    job_predicted[there] = middle
    with np.errstate(divide="ignore", invalid="ignore"):
        return Backtest(
            predicted=predicted,
            before=errors(past.actual, past.reckoned, of_task),
            after=errors(past.actual, predicted, of_task),
            inside=of_task.sum(within.astype(np.float64)) / of_task.sum(wide.astype(np.float64)),
            job_reckoned=reckoned,
            job_predicted=job_predicted,
            job_actual=actual,
            job_inside=job_inside,
            total_before=errors(actual[there], reckoned[there], whole),
            total_after=errors(actual[there], middle, whole),
            total_inside=float(inside.mean()) if len(inside) else np.nan,
        )


def _predict(past: Past, taken_apart: Flags, fold: Whole, left_out: range, predicted: Floats, spread: Floats) -> None:
    """Fill in what the rows of some folds are predicted to take, and how wide that is."""
    numbers = np.arange(left_out.start, left_out.stop)
    which, rows = np.nonzero(fold[np.newaxis, :] != numbers[:, np.newaxis])
    rest = past.only(rows)
    found = fit(rest, Groups(which, len(numbers)))
    sides = factors(rest, found, taken_apart)
    wide = next_spread(found.spreads.used, found.moves.doubt, found.spreads.degrees)
    (out,) = np.nonzero((fold >= left_out.start) & (fold < left_out.stop))
    at = fold[out] - left_out.start, past.task[out]
    set_up = past.set_up[out]
    predicted[out] = sides.set_up[at] * set_up + sides.rest[at] * (past.reckoned[out] - set_up)
    spread[out] = wide[at]
