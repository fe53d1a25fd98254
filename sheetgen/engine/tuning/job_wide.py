"""The part of the scatter that all tasks of a job share: a good or a bad job."""

from __future__ import annotations

from typing import Final

import numpy as np

from sheetgen.engine.tuning.groups import Groups
from sheetgen.engine.tuning.past import Floats, Past

# Starter value of the spread; common practice, no source.
STARTER: Final = 0.15
# Fewer jobs cannot tell it from chance.
LEAST_JOBS: Final = 8
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
