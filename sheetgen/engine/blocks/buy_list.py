"""Buy list: what is to be bought, product after product, and when it must be there."""
# ruff: noqa: RUF009 - figure() returns an attrs field, which is no default that records would share

from __future__ import annotations

from typing import TYPE_CHECKING, ClassVar

import attrs

from sheetgen.engine.blocks.job_clock import serial
from sheetgen.engine.blocks.table import Row, flag, table
from sheetgen.engine.missing import MISSING, above_zero, cents, known, value
from sheetgen.engine.totals import Column, sum_known
from sheetgen.engine.values import figure

if TYPE_CHECKING:
    from sheetgen.engine.blocks.needs import Buying
    from sheetgen.engine.blocks.rates import Products
    from sheetgen.engine.inputs import Job


@attrs.frozen(kw_only=True)
class BuyRanks:
    """Where each product stands on the list, and what it brings to it."""

    block: ClassVar[str] = "products"
    over: ClassVar[str | None] = "products"
    scenario: ClassVar[bool] = False

    buying: Column = figure("count")
    order: Column = figure("no")
    buy_rank: Column = figure("no")
    buy_weight: Column = figure("mass")
    buy_pallets: Column = figure("number")
    buy_cost: Column = figure("money")
    unweighed: Column = figure("count")


@attrs.frozen(kw_only=True)
class Buy:
    """The list: its rows in the order of the products."""

    block: ClassVar[str] = "buy"
    over: ClassVar[str | None] = "buy"
    scenario: ClassVar[bool] = False

    product_no: Column = figure("no")
    to_buy: Column = figure("package")
    size: Column = figure("pack/package")
    weight: Column = figure("mass")
    pallets: Column = figure("number")
    left_over: Column = figure("pack")
    cost: Column = figure("money")


@attrs.frozen(kw_only=True)
class BuyTotals:
    """All that is to be bought."""

    block: ClassVar[str] = "buying"
    over: ClassVar[str | None] = None
    scenario: ClassVar[bool] = False

    need_by: float = figure("date")
    weight: float = figure("mass")
    pallets: float = figure("number")
    cost: float = figure("money")
    unknown_weight: float = figure("count")


@attrs.frozen(kw_only=True)
class BuyList:
    """The list with its ranks and totals."""

    ranks: BuyRanks
    rows: Buy
    totals: BuyTotals

    def blocks(self) -> tuple[BuyRanks, Buy, BuyTotals]:
        """Return all blocks of figures."""
        return self.ranks, self.rows, self.totals


def make_buy_list(job: Job, products: Products, buying: Buying) -> BuyList:
    """List the products that are to be bought; what a list has no rows for is still in its totals."""
    ranks = _ranks(job, products, buying)
    places = {rank: row for row, rank in enumerate(ranks.buy_rank)}
    rows = [_listed(places[rank], products, buying, ranks) if rank in places else {} for rank in range(1, len(job.buy) + 1)]
    start, lead = job.crew.start_date, value(job.buying.lead_days)
    totals = BuyTotals(
        need_by=MISSING if start is None else serial(start) - lead,
        weight=sum_known(ranks.buy_weight),
        pallets=sum_known(ranks.buy_pallets),
        cost=sum_known(ranks.buy_cost),
        unknown_weight=sum_known(ranks.unweighed),
    )
    return BuyList(ranks=ranks, rows=table(Buy, rows), totals=totals)


def _ranks(job: Job, products: Products, buying: Buying) -> BuyRanks:
    rows: list[Row] = []
    rank = 0.0
    for row, product in enumerate(job.products):
        if not known(products.started[row]):
            rows.append({})
            continue
        count = buying.to_buy[row]
        wanted = count > 0
        rows.append({"buying": flag(holds=wanted), "order": row + 1.0, "unweighed": flag(holds=wanted and product.mass is None)})
        if wanted:
            rank += 1
            rows[-1] |= {
                "buy_rank": rank,
                "buy_weight": count * value(product.mass),
                "buy_pallets": count / above_zero(value(product.per_pallet)),
                "buy_cost": cents(count * value(product.price)),
            }
    return table(BuyRanks, rows)


def _listed(row: int, products: Products, buying: Buying, ranks: BuyRanks) -> Row:
    return {
        "product_no": row + 1.0,
        "to_buy": buying.to_buy[row],
        "size": products.pack_size[row],
        "weight": ranks.buy_weight[row],
        "pallets": ranks.buy_pallets[row],
        "left_over": buying.left_over[row],
        "cost": ranks.buy_cost[row],
    }
