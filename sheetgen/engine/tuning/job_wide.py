"""The part of the scatter that all tasks of a job share: a good or a bad job."""

from __future__ import annotations

import math
from typing import Final

import numpy as np

from sheetgen.engine.risk import STARTER_JOB_WIDE
from sheetgen.engine.tuning.groups import Groups
from sheetgen.engine.tuning.past import Floats, Past
from sheetgen.engine.tuning.ranges import next_spread

# As many jobs as the starter value of the spread counts for; common practice, no source.
_STARTER_JOBS: Final = 4.0
# An odd row says nothing of its job.
_REACH: Final = 3.0


def job_wide(past: Past, left: Floats, spread: Floats) -> tuple[float, int]:
    """Compute the spread of the factor that all tasks of a job share.

    Parameters
    ----------
    past : Past
        Past work.
    left : array of float
        What is left of ln(actual/reckoned) of each row when the centre of its task is taken off [-].
    spread : array of float
        Spread of each task [-].

    Returns
    -------
    spread : float
        0 where tasks of one job are no more alike than those of several [-].
    jobs : int
        Jobs with two tasks or more: how many it rests on [count].

    Notes
    -----
    The mean product of what is left of two tasks of the same job. The centre of a task with n rows takes 1/n of it away.
    """
    reach = _REACH * spread[past.task]
    drawn = np.clip(left, -reach, reach)
    jobs = Groups(past.job, past.jobs)
    sums, squares, rows = jobs.sum(drawn), jobs.sum(drawn**2), jobs.sizes()
    size = Groups(past.task, past.tasks).sizes()
    kept = np.sqrt(np.maximum(1 - 1 / size[past.task], 0.0))
    pairs = jobs.sum(kept) ** 2 - jobs.sum(kept**2)
    products = float(np.sum(sums**2 - squares))
    possible = float(np.sum(pairs))
    found = int(np.count_nonzero(rows > 1))
    if possible <= 0:
        return 0.0, found
    return float(np.sqrt(max(products, 0.0) / possible)), found


def with_starter(measured: float, jobs: int) -> float:
    """Compute the spread of the factor of the next job from past jobs and the starter value.

    Parameters
    ----------
    measured : float
        From past jobs, from `job_wide` [-].
    jobs : int
        Jobs that it rests on [count].

    Returns
    -------
    float
        The starter value where there are none; it counts for four jobs, so that a few jobs that happen to be alike do not
        say that no job is good or bad [-].
    """
    together = jobs + _STARTER_JOBS
    spread = math.sqrt((_STARTER_JOBS * STARTER_JOB_WIDE**2 + jobs * measured**2) / together)
    if not jobs:
        return spread
    return float(next_spread(np.array([spread]), np.array([spread / math.sqrt(together)]), np.array([together - 1]))[0])
