"""Price: the build-up from direct cost to the price with tax."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING, ClassVar

import attrs

from sheetgen.engine.missing import MISSING, cents, given, known, larger, ratio, value
from sheetgen.engine.price import (
    margin_had,
    markup_had,
    price_at_margin,
    price_at_markup,
    steps_nearest,
    steps_up,
)
from sheetgen.engine.values import figure

if TYPE_CHECKING:
    from sheetgen.engine.inputs import Job

# The lines that make up direct cost, in the order in which the sheet shows them.
DIRECT_LINES = (
    "materials",
    "materials_tax",
    "freight",
    "labour",
    "overtime",
    "equipment",
    "travel",
    "subcontract",
    "disposal",
    "permits",
    "sample_panel",
)


# Of these, what is neither made nor driven to.
_OTHER_LINES = ("subcontract", "disposal", "permits", "sample_panel")


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
    contingency_way : str or None
        ``share`` of direct cost and overhead, or ``confidence``: an amount to a chosen one.
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
    contingency_way: str | None = "share"
    price_way: str | None = "margin"
    markup: float = 0.0
    margin: float = 0.0
    discount: float = 0.0
    minimum: float = 0.0
    round_to: float = 0.0
    round_way: str | None = "up"
    price_tax: float = 0.0


@attrs.frozen(kw_only=True)
class Trips:
    """How often the job is driven to."""

    block: ClassVar[str] = "costs"
    over: ClassVar[str | None] = None
    scenario: ClassVar[bool] = False

    trips_used: float = figure("number")


@attrs.frozen(kw_only=True)
class Price:
    """The build-up of a price, line by line."""

    block: ClassVar[str] = "price"
    over: ClassVar[str | None] = None
    scenario: ClassVar[bool] = True

    materials: float = figure("money")
    materials_tax: float = figure("money")
    freight: float = figure("money")
    labour: float = figure("money")
    overtime: float = figure("money")
    equipment: float = figure("money")
    travel: float = figure("money")
    subcontract: float = figure("money")
    disposal: float = figure("money")
    permits: float = figure("money")
    sample_panel: float = figure("money")
    direct_other: float = figure("money")
    direct: float = figure("money")
    overhead_share: float = figure("money")
    overhead: float = figure("money")
    contingency_share: float = figure("money")
    contingency: float = figure("money")
    cost: float = figure("money")
    by_markup: float = figure("money")
    by_margin: float = figure("money")
    asked: float = figure("money")
    discount: float = figure("money")
    discounted: float = figure("money")
    at_least: float = figure("money")
    steps: float = figure("number")
    whole_steps: float = figure("count")
    net: float = figure("money")
    tax: float = figure("money")
    total: float = figure("money")
    hours: float = figure("hour")
    bags: float = figure("bag")
    area: float = figure("area")
    per_area: float = figure("money/area")
    markup_asked: float = figure("share")
    margin_asked: float = figure("share")
    markup_had: float = figure("share")
    margin_had: float = figure("share")


def _overhead(terms: Terms, overhead_share: float, hours_h: float) -> float:
    if terms.overhead_way == "share":
        return overhead_share
    if terms.overhead_way == "per_hour":
        return cents(hours_h * terms.overhead_hour)
    return MISSING


def _whole_steps(terms: Terms, at_least: float, steps: float) -> float:
    if terms.round_way not in {"up", "nearest"}:
        return MISSING
    if terms.round_to == 0:
        return 0.0
    if not known(steps):
        return MISSING
    step = terms.round_to
    return steps_up(at_least, step) if terms.round_way == "up" else steps_nearest(at_least, step)


def _had(price: float, cost: float) -> tuple[float, float]:
    """Return markup and margin, missing where there is no cost or no price."""
    if cost == 0 or price == 0:
        return MISSING, MISSING
    return markup_had(price, cost), margin_had(price, cost)


def _contingency(terms: Terms, contingency_share: float, amount: float) -> float:
    if terms.contingency_way == "share":
        return contingency_share
    return amount if terms.contingency_way == "confidence" else MISSING


def before_contingency(lines: dict[str, float], terms: Terms, hours_h: float) -> tuple[float, float, float]:
    """Add up direct cost and overhead.

    Parameters
    ----------
    lines : dict of str to float
        Amount of each of `DIRECT_LINES` [money].
    terms : Terms
        What is added.
    hours_h : float
        Hours of labour [h].

    Returns
    -------
    direct, overhead_share, overhead : float
        Direct cost; overhead as a share of it; overhead in the way that is chosen [money].
    """
    direct = math.fsum(lines.values())
    overhead_share = cents(terms.overhead * direct)
    return direct, overhead_share, _overhead(terms, overhead_share, hours_h)


def build_up(
    lines: dict[str, float], terms: Terms, hours_h: float, area_ft2: float, *, bags: float = 0.0, amount: float = MISSING
) -> Price:
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
    bags : float
        Bags of topping [bag].
    amount : float
        Contingency to a chosen confidence [money].

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
    direct, overhead_share, overhead = before_contingency(lines, terms, hours_h)
    contingency_share = cents(terms.contingency * (direct + overhead))
    contingency = _contingency(terms, contingency_share, amount)
    cost = direct + overhead + contingency
    by_markup = price_at_markup(cost, terms.markup)
    by_margin = MISSING if terms.margin >= 1 else price_at_margin(cost, terms.margin)
    asked = {"markup": by_markup, "margin": by_margin}.get(terms.price_way or "", MISSING)
    discounted = asked - terms.discount
    at_least = larger(discounted, terms.minimum)
    steps = at_least / terms.round_to if terms.round_to != 0 else 0.0
    whole_steps = _whole_steps(terms, at_least, steps)
    net = at_least if terms.round_to == 0 else whole_steps * terms.round_to
    tax = cents(net * terms.price_tax)
    markup_asked, margin_asked = _had(asked, cost)
    markup_kept, margin_kept = _had(net, cost)
    amounts = {line: lines.get(line, 0.0) for line in DIRECT_LINES}
    return Price(
        **amounts,
        direct_other=math.fsum(amounts[line] for line in _OTHER_LINES),
        direct=direct,
        overhead_share=overhead_share,
        overhead=overhead,
        contingency_share=contingency_share,
        contingency=contingency,
        cost=cost,
        by_markup=by_markup,
        by_margin=by_margin,
        asked=asked,
        discount=terms.discount,
        discounted=discounted,
        at_least=at_least,
        steps=steps,
        whole_steps=whole_steps,
        net=net,
        tax=tax,
        total=net + tax,
        hours=hours_h,
        bags=bags,
        area=area_ft2,
        per_area=ratio(net, area_ft2),
        markup_asked=markup_asked,
        margin_asked=margin_asked,
        markup_had=markup_kept,
        margin_had=margin_kept,
    )


def terms_of(job: Job) -> Terms:
    """Return the terms of a job's price policy."""
    policy = job.policy
    return Terms(
        overhead_way=policy.overhead_way,
        overhead=value(policy.overhead),
        overhead_hour=value(policy.overhead_hour),
        contingency=value(policy.contingency),
        contingency_way=policy.contingency_way,
        price_way=policy.price_way,
        markup=value(policy.markup),
        margin=value(policy.margin),
        discount=value(job.costs.discount),
        minimum=value(policy.minimum),
        round_to=value(policy.round_to),
        round_way=policy.round_way,
        price_tax=value(policy.price_tax),
    )


def make_trips(job: Job, visits: float) -> Trips:
    """Drive to every visit, unless trips are typed."""
    return Trips(trips_used=given(job.costs.trips, visits))
