"""How sure a change of a rate is, when many rates are looked at together."""

from __future__ import annotations

import numpy as np
from scipy.special import stdtr

from sheetgen.engine.tuning.past import Floats


def chance(centre: Floats, error: Floats, degrees: Floats) -> Floats:
    """Compute how often a centre lies so far from 0 by chance.

    Parameters
    ----------
    centre : array of float
        What the jobs say [-].
    error : array of float
        Its standard error, above 0 [-].
    degrees : array of float
        Degrees of freedom behind the error [count].

    Returns
    -------
    array of float
        On either side, by Student's t [share].
    """
    with np.errstate(invalid="ignore"):
        found: Floats = 2 * stdtr(degrees, -np.abs(centre) / error)
    return found


def together(chances: Floats) -> Floats:
    """Adjust chances for how many there are, by Holm's steps.

    Parameters
    ----------
    chances : array of float
        How often each comes by chance; what is missing is not looked at [share].

    Returns
    -------
    array of float
        To call everything at or below a level a finding is wrong about nothing more often than that level says, however the
        chances hang together [share].

    References
    ----------
    S. Holm, Scandinavian Journal of Statistics 6 (1979).
    """
    adjusted = np.full(chances.shape, np.nan)
    (looked,) = np.nonzero(np.isfinite(chances))
    order = looked[np.argsort(chances[looked], kind="stable")]
    steps = chances[order] * np.arange(len(order), 0, -1)
    adjusted[order] = np.minimum(np.maximum.accumulate(steps), 1.0)
    return adjusted
