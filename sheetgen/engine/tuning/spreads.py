"""How wide each task scatters: its own spread, steadied by those of the others."""

from __future__ import annotations

from typing import Final

import attrs
import numpy as np
from scipy.special import digamma, polygamma

from sheetgen.engine.tuning.huber import Centres
from sheetgen.engine.tuning.past import Floats

# Nothing is known closer than this, however alike a few rows are; common practice, no source.
LEAST_SPREAD: Final = 0.02
# A few tasks cannot tell that all scatter alike.
_MOST_COMMON_DEGREES: Final = 30.0
_ENDLESS: Final = 1e6


@attrs.frozen(eq=False)
class Spreads:
    """Spreads of a book of rates; the last axis of each is the tasks.

    Parameters
    ----------
    own : array of float
        Spread of each task, missing with fewer than two rows [-].
    used : array of float
        The same, steadied [-].
    degrees : array of float
        Degrees of freedom behind it [count].
    pooled : array of float
        Spread of all tasks together, missing where none has two rows [-].
    """

    own: Floats
    used: Floats
    degrees: Floats
    pooled: Floats


def own_degrees(size: Floats) -> Floats:
    """Compute the degrees of freedom of a spread by Huber's proposal 2, k = 1.5.

    Parameters
    ----------
    size : array of float
        Rows behind it [count].

    Returns
    -------
    array of float
        So many that the logarithm of a χ² varies as that of the spread does, 0 with fewer than two rows [count].

    Notes
    -----
    0.74 (n - 1) + 0.76, from 20,000 normal samples each of 4 to 50 rows; a plain variance has n - 1.
    """
    return np.where(size > 1, 0.74 * (size - 1) + 0.76, 0.0)


def unbiased(spread: Floats, size: Floats) -> Floats:
    """Take the bias of small samples out of a spread by Huber's proposal 2, k = 1.5.

    Parameters
    ----------
    spread : array of float
        As `huber` gives it [-].
    size : array of float
        Rows behind it [count].

    Returns
    -------
    array of float
        Spread whose square is right on average for normal rows [-].

    Notes
    -----
    The square is too large by 1 + 1.1/n, from the same samples as in `own_degrees`.
    """
    with np.errstate(divide="ignore", invalid="ignore"):
        return spread / np.sqrt(1 + 1.1 / size)


def steady(centres: Centres, tasks: int) -> Spreads:
    """Steady the spread of each task by those of the others.

    Parameters
    ----------
    centres : Centres
        By book and task, the tasks of a book one after the other.
    tasks : int
        Tasks of a book [count].

    Returns
    -------
    Spreads
        With an axis for books and one for tasks. Where no task has two rows, nothing is known.

    Notes
    -----
    The variance used is (d₀ s₀² + d s²)/(d₀ + d): d₀ and s₀ are fitted to the scatter of ln s² over the tasks, so that tasks
    that scatter alike share one spread and others keep their own. One task alone keeps its own.

    References
    ----------
    G. K. Smyth, Statistical Applications in Genetics and Molecular Biology 3 (2004), article 3, section 6.2.
    """
    shape = (len(centres.size) // max(tasks, 1), tasks)
    size = centres.size.reshape(shape)
    own = unbiased(centres.spread, centres.size).reshape(shape)
    degrees = own_degrees(size)
    there = degrees > 0
    variance = np.maximum(np.where(there, own, 1.0), LEAST_SPREAD) ** 2
    count = there.sum(axis=1, keepdims=True)
    with np.errstate(divide="ignore", invalid="ignore"):
        half = np.where(there, degrees, 2.0) / 2
        logs = np.where(there, np.log(variance) - digamma(half) + np.log(half), 0.0)
        middle = logs.sum(axis=1, keepdims=True) / count
        scatter = np.where(there, (logs - middle) ** 2, 0.0).sum(axis=1, keepdims=True) / (count - 1)
        noise = np.where(there, polygamma(1, half), 0.0).sum(axis=1, keepdims=True) / count
        common = 2 * _inverse_trigamma(scatter - noise)
        common = np.where(count > 1, np.minimum(common, _MOST_COMMON_DEGREES), 0.0)
        centre = np.exp(middle + np.where(common > 0, digamma(common / 2) - np.log(common / 2), 0.0))
        pooled = np.where(there, degrees * variance, 0.0).sum(axis=1, keepdims=True) / np.where(there, degrees, 0).sum(
            axis=1, keepdims=True
        )
        # Alike as far as can be told: then the plain pool is the best that there is.
        centre = np.where(common >= _MOST_COMMON_DEGREES, pooled, centre)
        together = common + degrees
        used = (common * centre + np.where(there, degrees * variance, 0.0)) / together
    # A task with one row, where nothing is pooled, scatters as the pool does.
    used = np.where(together > 0, used, pooled)
    return Spreads(own, np.maximum(np.sqrt(used), LEAST_SPREAD), together, np.sqrt(pooled[:, 0]))


def _inverse_trigamma(y: Floats) -> Floats:
    """Solve trigamma(x) = y by Newton's steps on 1/trigamma; endless where y is not above 0 [-]."""
    wanted = np.where(y > 0, y, 1.0)
    x = 0.5 + 1 / wanted
    for _ in range(30):
        value = polygamma(1, x)
        x = x + value * (1 - value / wanted) / polygamma(2, x)
    return np.where(y > 0, x, _ENDLESS)
