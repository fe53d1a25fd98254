"""Old jobs may count less: half as much for every half-life."""

from __future__ import annotations

import numpy as np

from sheetgen.engine.ranges import require_above_zero
from sheetgen.engine.tuning.past import Floats


def weights(age_days: Floats, half_life_days: float) -> Floats:
    """Compute how much jobs of an age count.

    Parameters
    ----------
    age_days : array of float
        Days from the end of each job to now, 0 or more [day].
    half_life_days : float
        Days in which a job comes to count half as much, above 0 [day].

    Returns
    -------
    array of float
        1 for a job of today [-].

    Raises
    ------
    OutOfRangeError
        The half-life is 0 or less.

    Notes
    -----
    Trade, rates from past jobs: optional, and off.
    """
    require_above_zero(half_life_days=half_life_days)
    return np.exp2(-np.maximum(age_days, 0.0) / half_life_days)
