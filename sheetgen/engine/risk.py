"""Risk of a bid: how far hours and cost may go, from the spread of each task and of the whole job."""

from __future__ import annotations

import statistics
from collections.abc import Sequence
from typing import Any, Final, TypeVar

import numpy as np
import numpy.typing as npt

from sheetgen.engine.ranges import OutOfRangeError

# One bid, or many at once.
Number = TypeVar("Number", float, npt.NDArray[np.float64])

# Spread of the factor that all tasks of a job share; starter value, common practice, no source.
STARTER_JOB_WIDE: Final = 0.15
# Up to here the form is within 1 % at P80 of what is simulated; beyond, within 5 %. Trade, rates from past jobs, and risk.
ROUGH_SPREAD: Final = 0.45


def z_of(confidence: float) -> float:
    """Return how many spreads above the middle a share of a normal number lies below.

    Parameters
    ----------
    confidence : float
        Share, between 0 and 1 and neither [share].

    Returns
    -------
    float
        0.8416 for 0.80 [-].

    Raises
    ------
    OutOfRangeError
        The share is not between 0 and 1.
    """
    if not 0 < confidence < 1:
        raise OutOfRangeError("confidence", confidence, "between 0 and 1")
    return statistics.NormalDist().inv_cdf(confidence)


def mean_of_median(median: Number, spread: Number) -> Number:
    """Compute the expected value of a lognormal from its middle.

    Parameters
    ----------
    median : float or array
        Middle [h].
    spread : float or array
        Standard deviation of its logarithm [-].

    Returns
    -------
    float or array
        median · exp(spread²/2) [h].
    """
    mean: Number = median * np.exp(spread**2 / 2)
    return mean


def variance_of_mean(mean: Number, spread: Number) -> Number:
    """Compute the variance of a lognormal from its expected value.

    Parameters
    ----------
    mean : float or array
        Expected value [h].
    spread : float or array
        Standard deviation of its logarithm [-].

    Returns
    -------
    float or array
        mean² · (exp(spread²) - 1), in hours squared [-].
    """
    variance: Number = mean**2 * np.expm1(spread**2)
    return variance


def spread_of_sum(mean: Number, variance: Number, job_wide: float) -> Number:
    """Compute the spread of a sum of lognormals that share one factor.

    Parameters
    ----------
    mean : float or array
        Sum of the expected values, without the shared factor [h].
    variance : float or array
        Sum of the variances, in hours squared [-].
    job_wide : float
        Spread of the factor, 0 or more [-].

    Returns
    -------
    float or array
        S, S² = g² + ln(1 + V/M²); that of the factor where nothing is added up [-].

    References
    ----------
    L. F. Fenton, IRE Transactions on Communications Systems 8 (1960): the sum has the mean and variance of its parts.
    """
    spread: Number = np.sqrt(job_wide**2 + np.log1p(variance / _divisor(mean) ** 2))
    return spread


def quantile(fixed: Number, mean: Number, variance: Number, job_wide: float, confidence: float) -> Number:
    """Compute what a sum stays below with a given confidence.

    Parameters
    ----------
    fixed : float or array
        Part that is certain [h].
    mean : float or array
        Sum of the expected values of the rest, without the shared factor [h].
    variance : float or array
        Sum of their variances, in hours squared [-].
    job_wide : float
        Spread of the shared factor, whose middle is 1 [-].
    confidence : float
        Share of such jobs that stay below, between 0 and 1 and neither [share].

    Returns
    -------
    float or array
        fixed + exp(ln M - ½ ln(1 + V/M²) + z S); fixed alone where nothing else is [h].

    Raises
    ------
    OutOfRangeError
        The confidence is not between 0 and 1.

    Notes
    -----
    Trade, rates from past jobs, and risk. The same for money.
    """
    middle = mean / np.sqrt(1 + variance / _divisor(mean) ** 2)
    below: Number = fixed + middle * np.exp(z_of(confidence) * spread_of_sum(mean, variance, job_wide))
    return below


def _divisor(mean: Any) -> Any:
    """Return a sum where there is one; where there is none its variance is 0 too, and any number will do [-]."""
    return np.where(mean > 0, mean, 1.0)


def expected(fixed: float, mean: float, job_wide: float) -> float:
    """Compute the expected value of a sum of which all but the fixed part shares one factor.

    Parameters
    ----------
    fixed : float
        Part that is certain [h].
    mean : float
        Sum of the expected values of the rest, without the shared factor [h].
    job_wide : float
        Spread of the shared factor, whose middle is 1 [-].

    Returns
    -------
    float
        fixed + M · exp(g²/2) [h].
    """
    return fixed + mean_of_median(mean, job_wide)


def contingency(fixed: float, mean: float, variance: float, job_wide: float, confidence: float) -> float:
    """Compute the amount that brings a cost from what is expected to what is kept with a given confidence.

    Parameters
    ----------
    fixed : float
        Part that is certain [money].
    mean : float
        Sum of the expected values of the rest, without the shared factor [money].
    variance : float
        Sum of their variances, in money squared [-].
    job_wide : float
        Spread of the shared factor [-].
    confidence : float
        Share of such jobs that stay below, between 0 and 1 and neither [share].

    Returns
    -------
    float
        Quantile less what is expected, 0 where that is below 0: what is expected already covers it [money].

    Raises
    ------
    OutOfRangeError
        The confidence is not between 0 and 1.
    """
    return max(0.0, float(quantile(fixed, mean, variance, job_wide, confidence) - expected(fixed, mean, job_wide)))


def is_rough(spreads: Sequence[float]) -> bool:
    """Tell whether a spread is so wide that quantiles are only within 5 %.

    Parameters
    ----------
    spreads : sequence of float
        Spreads of the tasks, and of the factor that they share [-].

    Returns
    -------
    bool
        True above 0.45.
    """
    return any(spread > ROUGH_SPREAD for spread in spreads)
