"""Price: what is agreed with the customer, and what else the bid may come to."""
# ruff: noqa: RUF009 - figure() returns an attrs field, which is no default that records would share

from __future__ import annotations

from typing import TYPE_CHECKING, ClassVar

import attrs

from sheetgen.engine.blocks.table import flag
from sheetgen.engine.missing import cents, given, ratio, value
from sheetgen.engine.totals import sum_known, total
from sheetgen.engine.values import figure

if TYPE_CHECKING:
    from collections.abc import Mapping

    from sheetgen.engine.blocks.change_orders import Orders
    from sheetgen.engine.blocks.options import OptionPrices, Options
    from sheetgen.engine.blocks.price import Price
    from sheetgen.engine.inputs import Job
    from sheetgen.engine.totals import Column


@attrs.frozen(kw_only=True)
class Contract:
    """The price that is agreed: as bid, with the accepted options, and with the accepted change orders."""

    block: ClassVar[str] = "contract"
    over: ClassVar[str | None] = None
    scenario: ClassVar[bool] = False

    base_now: float = figure("money")
    base: float = figure("money")
    options: float = figure("money")
    options_together: float = figure("money")
    net: float = figure("money")
    orders: float = figure("money")
    tax: float = figure("money")
    total: float = figure("money")
    orders_tax: float = figure("money")
    all: float = figure("money")
    cost: float = figure("money")
    margin: float = figure("share")
    per_area: float = figure("money/area")
    unfixed: float = figure("count")


@attrs.frozen(kw_only=True)
class WhatIfs:
    """The scenarios side by side."""

    block: ClassVar[str] = "what_ifs"
    over: ClassVar[str | None] = "scenarios"
    scenario: ClassVar[bool] = False

    hours: Column = figure("hour")
    bags: Column = figure("bag")
    cost: Column = figure("money")
    net: Column = figure("money")
    difference: Column = figure("money")


def make_contract(job: Job, options: Options, prices: OptionPrices, of: Mapping[str, Price], orders: Orders) -> Contract:
    """Add up what is agreed; what an accepted option costs and brings is read where all of them are taken together."""
    as_bid, accepted = of["as_bid"], of["accepted"]
    base = given(job.contract.base_fixed, as_bid.net)
    added = total(prices.taken_price, options.started)
    net, tax_share = base + added, value(job.policy.price_tax)
    tax, orders_tax = cents(net * tax_share), cents(orders.price * tax_share)
    cost = accepted.cost + orders.cost
    return Contract(
        base_now=as_bid.net,
        base=base,
        options=added,
        options_together=accepted.net - as_bid.net - total(prices.taken_now, options.started),
        net=net,
        orders=orders.price,
        tax=tax,
        total=net + tax,
        orders_tax=orders_tax,
        all=net + tax + orders.price + orders_tax,
        cost=cost,
        margin=ratio(net + orders.price - cost, net + orders.price),
        per_area=ratio(net, accepted.area),
        unfixed=_unfixed(job, options),
    )


def _unfixed(job: Job, options: Options) -> float:
    """Count the prices that a dated proposal leaves open: they would move with every change of the book [count]."""
    if job.proposal.date is None:
        return 0.0
    return sum_known(options.unfixed) + flag(holds=job.contract.base_fixed is None)


def make_what_ifs(of: Mapping[str, Price]) -> WhatIfs:
    """Set the scenarios side by side."""
    prices, accepted = tuple(of.values()), of["accepted"].net
    return WhatIfs(
        hours=tuple(price.hours for price in prices),
        bags=tuple(price.bags for price in prices),
        cost=tuple(price.cost for price in prices),
        net=tuple(price.net for price in prices),
        difference=tuple(price.net - accepted for price in prices),
    )
