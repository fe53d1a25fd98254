"""From cost to price: overhead, contingency, markup or margin, discount, minimum, rounding, tax."""

from __future__ import annotations

import math

from sheetgen.engine.missing import MISSING, cents, known, ratio, sixth, up
from sheetgen.engine.ranges import OutOfRangeError, require_above_zero


def price_at_markup(cost: float, markup: float) -> float:
    """Compute a price from a cost and a share of the cost.

    Parameters
    ----------
    cost : float
        Cost [money].
    markup : float
        Profit as a share of cost [-].

    Returns
    -------
    float
        cost · (1 + markup), to the cent [money].
    """
    return cents(cost * (1 + markup))


def price_at_margin(cost: float, margin: float) -> float:
    """Compute a price from a cost and a share of the price.

    Parameters
    ----------
    cost : float
        Cost [money].
    margin : float
        Profit as a share of price, below 1 [-].

    Returns
    -------
    float
        cost / (1 - margin), to the cent [money].

    Raises
    ------
    OutOfRangeError
        The margin is 1 or more: no price is high enough.
    """
    if margin >= 1:
        raise OutOfRangeError("margin", margin, "below 1")
    return cents(cost / (1 - margin))


def markup_had(price: float, cost: float) -> float:
    """Compute the profit in a price as a share of cost.

    Parameters
    ----------
    price, cost : float
        Price and cost [money].

    Returns
    -------
    float
        (price - cost) / cost, missing where the cost is 0 [-].
    """
    return ratio(price - cost, cost)


def margin_had(price: float, cost: float) -> float:
    """Compute the profit in a price as a share of price.

    Parameters
    ----------
    price, cost : float
        Price and cost [money].

    Returns
    -------
    float
        (price - cost) / price, missing where the price is 0 [-].
    """
    return ratio(price - cost, price)


def margin_of_markup(markup: float) -> float:
    """Compute the margin that a markup comes to.

    Parameters
    ----------
    markup : float
        Share of cost, above -1 [-].

    Returns
    -------
    float
        markup / (1 + markup) [-].

    Raises
    ------
    OutOfRangeError
        The markup is -1 or less.
    """
    require_above_zero(one_and_markup=1 + markup)
    return markup / (1 + markup)


def markup_of_margin(margin: float) -> float:
    """Compute the markup that a margin comes to.

    Parameters
    ----------
    margin : float
        Share of price, below 1 [-].

    Returns
    -------
    float
        margin / (1 - margin) [-].

    Raises
    ------
    OutOfRangeError
        The margin is 1 or more.
    """
    if margin >= 1:
        raise OutOfRangeError("margin", margin, "below 1")
    return margin / (1 - margin)


def _require_step(step: float) -> None:
    if step == 0:
        raise OutOfRangeError("step", step, "not 0")


def steps_up(price: float, step: float) -> float:
    """Count the steps that hold a price, rounded up.

    Parameters
    ----------
    price : float
        Price [money].
    step : float
        Step, not 0 [money].

    Returns
    -------
    float
        Whole number of steps [count].

    Raises
    ------
    OutOfRangeError
        The step is 0.
    """
    _require_step(step)
    return up(price / step)


def steps_nearest(price: float, step: float) -> float:
    """Count the steps nearest to a price, half a step away from 0.

    Parameters
    ----------
    price : float
        Price [money].
    step : float
        Step, not 0 [money].

    Returns
    -------
    float
        Whole number of steps [count].

    Raises
    ------
    OutOfRangeError
        The step is 0.
    """
    _require_step(step)
    steps = sixth(price / step)
    return math.copysign(math.floor(abs(steps) + 0.5), steps) if known(steps) else MISSING


def rounded_up(price: float, step: float) -> float:
    """Round a price up to a step.

    Parameters
    ----------
    price : float
        Price [money].
    step : float
        Step; 0 leaves the price as it is [money].

    Returns
    -------
    float
        Next multiple of the step [money].
    """
    return steps_up(price, step) * step if step != 0 else price


def rounded_to_nearest(price: float, step: float) -> float:
    """Round a price to the nearest step, half a step away from 0.

    Parameters
    ----------
    price : float
        Price [money].
    step : float
        Step; 0 leaves the price as it is [money].

    Returns
    -------
    float
        Nearest multiple of the step [money].
    """
    return steps_nearest(price, step) * step if step != 0 else price


def travel_cost(trips: float, vehicles: float, distance_mi: float, rate_money_per_mi: float) -> float:
    """Compute what driving to the job costs.

    Parameters
    ----------
    trips : float
        Journeys there and back, for each vehicle [count].
    vehicles : float
        Vehicles [count].
    distance_mi : float
        There and back [mi].
    rate_money_per_mi : float
        Cost of a mile [money/mi].

    Returns
    -------
    float
        Cost to the cent [money].
    """
    return cents(trips * vehicles * distance_mi * rate_money_per_mi)
