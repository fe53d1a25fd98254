"""From cost to price: overhead, contingency, markup or margin, discount, minimum, rounding, tax."""

from __future__ import annotations

import math
from typing import ClassVar

import attrs

from sheetgen.engine.missing import MISSING, cents, known, larger, ratio, sixth, up
from sheetgen.engine.ranges import OutOfRangeError, require_above_zero
from sheetgen.engine.values import figure

# The lines that make up direct cost, in the order in which the sheet shows them.
DIRECT_LINES = (
    "materials",
    "materials_tax",
    "freight",
    "labour",
    "equipment",
    "travel",
    "subcontract",
    "disposal",
    "permits",
    "sample_panel",
)


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
    return up(price / step) * step if step != 0 else price


def rounded_to_nearest(price: float, step: float) -> float:
    """Round a price to the nearest step, half a step up.

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
    if step == 0:
        return price
    steps = sixth(price / step)
    return math.floor(steps + 0.5) * step if known(steps) else MISSING


def travel_cost(trips: float, vehicles: float, distance_mile: float, rate_money_per_mile: float) -> float:
    """Compute what driving to the job costs.

    Parameters
    ----------
    trips : float
        Journeys there and back, for each vehicle [count].
    vehicles : float
        Vehicles [count].
    distance_mile : float
        There and back [mile].
    rate_money_per_mile : float
        Cost of a mile [money/mile].

    Returns
    -------
    float
        Cost to the cent [money].
    """
    return cents(trips * vehicles * distance_mile * rate_money_per_mile)


@attrs.frozen(kw_only=True)
class Terms:
    """What is added to direct cost, and how a price is made of the cost.

    Parameters
    ----------
    overhead_way : str or None
        ``share`` of direct cost, or ``per_hour`` of labour.
    overhead, contingency : float
        Shares of direct cost, and of direct cost with overhead [-].
    overhead_hour : float
        Overhead for each hour of labour [money/h].
    price_way : str or None
        By ``markup`` or by ``margin``.
    markup, margin : float
        Shares of cost and of price [-].
    discount, minimum : float
        Taken off what is asked; least that a job is done for [money].
    round_to : float
        Step of the price, 0 for none [money].
    round_way : str or None
        ``up`` or ``nearest``.
    price_tax : float
        Tax on the price, as a share of it [-].
    """

    overhead_way: str | None = "share"
    overhead: float = 0.0
    overhead_hour: float = 0.0
    contingency: float = 0.0
    price_way: str | None = "margin"
    markup: float = 0.0
    margin: float = 0.0
    discount: float = 0.0
    minimum: float = 0.0
    round_to: float = 0.0
    round_way: str | None = "up"
    price_tax: float = 0.0


@attrs.frozen(kw_only=True)
class Price:
    """The build-up of a price, line by line."""

    block: ClassVar = "price"
    over: ClassVar = None
    scenario: ClassVar = True

    materials: float = figure("money")
    materials_tax: float = figure("money")
    freight: float = figure("money")
    labour: float = figure("money")
    equipment: float = figure("money")
    travel: float = figure("money")
    subcontract: float = figure("money")
    disposal: float = figure("money")
    permits: float = figure("money")
    sample_panel: float = figure("money")
    direct: float = figure("money")
    overhead: float = figure("money")
    contingency: float = figure("money")
    cost: float = figure("money")
    asked: float = figure("money")
    discount: float = figure("money")
    discounted: float = figure("money")
    at_least: float = figure("money")
    net: float = figure("money")
    tax: float = figure("money")
    total: float = figure("money")
    hours: float = figure("hour")
    area: float = figure("area")
    per_area: float = figure("money/area")
    markup_asked: float = figure("share")
    margin_asked: float = figure("share")
    markup_had: float = figure("share")
    margin_had: float = figure("share")


def _overhead(terms: Terms, direct: float, hours_h: float) -> float:
    if terms.overhead_way == "share":
        return cents(terms.overhead * direct)
    if terms.overhead_way == "per_hour":
        return cents(hours_h * terms.overhead_hour)
    return MISSING


def _asked(terms: Terms, cost: float) -> float:
    if terms.price_way == "markup":
        return price_at_markup(cost, terms.markup)
    if terms.price_way == "margin" and not terms.margin >= 1:
        return price_at_margin(cost, terms.margin)
    return MISSING


def _net(terms: Terms, at_least: float) -> float:
    if terms.round_way == "up":
        return rounded_up(at_least, terms.round_to)
    if terms.round_way == "nearest":
        return rounded_to_nearest(at_least, terms.round_to)
    return MISSING


def build_up(lines: dict[str, float], terms: Terms, hours_h: float, area_ft2: float) -> Price:
    """Build a price up from the lines of direct cost.

    Parameters
    ----------
    lines : dict of str to float
        Amount of each of `DIRECT_LINES`; one that is left out is 0 [money].
    terms : Terms
        What is added, and how the price is made.
    hours_h : float
        Hours of labour [h].
    area_ft2 : float
        Area laid [ft²].

    Returns
    -------
    Price
        Every line of the build-up, missing where what it reads is missing.

    Raises
    ------
    KeyError
        A line that is not direct cost.

    Notes
    -----
    Trade, price: direct + overhead + contingency = cost; net = cost · (1 + markup) or
    cost / (1 - margin); less the discount, not below the minimum, rounded to the step; tax on top.
    Only the term that its way chooses is read.
    """
    if strangers := lines.keys() - set(DIRECT_LINES):
        raise KeyError(*sorted(strangers))
    direct = math.fsum(lines.values())
    overhead = _overhead(terms, direct, hours_h)
    contingency = cents(terms.contingency * (direct + overhead))
    cost = direct + overhead + contingency
    asked = _asked(terms, cost)
    discounted = asked - terms.discount
    at_least = larger(discounted, terms.minimum)
    net = _net(terms, at_least)
    tax = cents(net * terms.price_tax)
    return Price(
        **{line: lines.get(line, 0.0) for line in DIRECT_LINES},
        direct=direct,
        overhead=overhead,
        contingency=contingency,
        cost=cost,
        asked=asked,
        discount=terms.discount,
        discounted=discounted,
        at_least=at_least,
        net=net,
        tax=tax,
        total=net + tax,
        hours=hours_h,
        area=area_ft2,
        per_area=ratio(net, area_ft2),
        markup_asked=markup_had(asked, cost),
        margin_asked=margin_had(asked, cost),
        markup_had=markup_had(net, cost),
        margin_had=margin_had(net, cost),
    )
