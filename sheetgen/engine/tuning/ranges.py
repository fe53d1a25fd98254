"""What the next job of a task will take: the middle, and the range that holds a share of the jobs."""

from __future__ import annotations

from typing import Final

import numpy as np
from scipy.special import ndtri, stdtrit

from sheetgen.engine.tuning.past import Floats

# Share of the jobs that a stated range holds, and below which P80 stands.
RANGE: Final = 0.8
P80: Final = 0.8


def next_spread(spread: Floats, doubt: Floats, degrees: Floats, share: float = P80) -> Floats:
    """Compute the spread of a lognormal that has the same quantile as the next job.

    Parameters
    ----------
    spread : array of float
        Spread of the jobs of a task [-].
    doubt : array of float
        Standard error of its middle [-].
    degrees : array of float
        Degrees of freedom behind the spread, above 0 [count].
    share : float
        Share of the jobs that lie below that quantile, above ½ [share].

    Returns
    -------
    array of float
        √(spread² + doubt²) · t/z: it is wider where few jobs tell it [-].

    References
    ----------
    Prediction interval of a normal sample, NIST/SEMATECH e-Handbook of Statistical Methods, section 7.2.
    """
    with np.errstate(invalid="ignore"):
        found: Floats = np.hypot(spread, doubt) * stdtrit(degrees, share) / ndtri(share)
    return found


def own_part(spread: Floats, job_wide: float) -> Floats:
    """Take what all tasks of a job share out of a spread.

    Parameters
    ----------
    spread : array of float
        Spread of a task over jobs [-].
    job_wide : float
        Spread of the factor that all tasks of a job share [-].

    Returns
    -------
    array of float
        What is left, 0 where nothing is [-].
    """
    left: Floats = np.sqrt(np.maximum(spread**2 - job_wide**2, 0.0))
    return left
