"""Progress: how much of a job is done and earned, and what it will come to."""

from __future__ import annotations

from sheetgen.engine.missing import cents, ratio, smaller


def share_by_estimate(actual: float, estimate: float) -> float:
    """Tell how much is done from what it took, against what was estimated.

    Parameters
    ----------
    actual, estimate : float
        Cost or hours so far, and of the whole job as estimated, in one unit [-].

    Returns
    -------
    float
        actual / estimate, at most 1, missing where the estimate is 0 [share].

    Notes
    -----
    It takes for granted that the estimate is right: what runs over it looks done.
    """
    return smaller(1.0, ratio(actual, estimate))


def share_by_cost_to_go(actual: float, to_go: float) -> float:
    """Tell how much is done from what was spent and what is still to come.

    Parameters
    ----------
    actual, to_go : float
        Cost so far, and cost still to come [money].

    Returns
    -------
    float
        actual / (actual + to go), missing where both together are 0 [share].

    References
    ----------
    Cost-to-cost method of contract accounting.
    """
    return ratio(actual, actual + to_go)


def earned_value(share: float, amount: float) -> float:
    """Compute what a share of the work is worth.

    Parameters
    ----------
    share : float
        Share that is done, or that should be done by now [share].
    amount : float
        Budget or contract of the whole job [money].

    Returns
    -------
    float
        share · amount, to the cent [money].
    """
    return cents(share * amount)


def cost_performance(earned: float, actual: float) -> float:
    """Compute the cost performance index (CPI).

    Parameters
    ----------
    earned, actual : float
        Earned value and actual cost [money].

    Returns
    -------
    float
        earned / actual, below 1 where the work costs more than was budgeted for it; missing where nothing was spent [-].

    References
    ----------
    NASA EVM reference card.
    """
    return ratio(earned, actual)


def schedule_performance(earned: float, planned: float) -> float:
    """Compute the schedule performance index (SPI).

    Parameters
    ----------
    earned, planned : float
        Earned value, and the value of what should be done by now [money].

    Returns
    -------
    float
        earned / planned, below 1 where the work is late; missing where nothing should be done yet [-].

    References
    ----------
    NASA EVM reference card.
    """
    return ratio(earned, planned)


def estimate_at_completion(actual: float, budget: float, earned: float, performance: float) -> float:
    """Estimate what the whole job will cost if the rest of it goes as the work so far.

    Parameters
    ----------
    actual, budget, earned : float
        Actual cost, budget of the whole job, and earned value [money].
    performance : float
        Index by which the rest goes: CPI, or CPI · SPI [-].

    Returns
    -------
    float
        actual + (budget - earned) / performance, to the cent, missing where the index is 0 [money].

    References
    ----------
    NASA EVM reference card: estimate at completion (EAC).
    """
    return cents(actual + ratio(budget - earned, performance))
