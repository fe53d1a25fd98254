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
    """Where each product stands on the list."""

    block: ClassVar[str] = "products"
    over: ClassVar[str | None] = "products"
    scenario: ClassVar[bool] = False

    buy_rank: Column = figure("no")


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
    wanted = [row for row, count in enumerate(buying.to_buy) if count > 0]
    ranks = [MISSING] * len(job.products)
    for rank, row in enumerate(wanted, start=1):
        ranks[row] = float(rank)
    listed = [_bought(job, row, products, buying) for row in wanted]
    shown = listed[: len(job.buy)]
    rows: list[Row] = [*shown, *({} for _ in range(len(job.buy) - len(shown)))]
    start, lead = job.crew.start_date, value(job.buying.lead_days)
    totals = BuyTotals(
        need_by=MISSING if start is None else serial(start) - lead,
        weight=sum_known(one["weight"] for one in listed),
        pallets=sum_known(one["pallets"] for one in listed),
        cost=sum_known(one["cost"] for one in listed),
        unknown_weight=sum(flag(holds=not known(one["weight"])) for one in listed),
    )
    return BuyList(ranks=BuyRanks(buy_rank=tuple(ranks)), rows=table(Buy, rows), totals=totals)


def _bought(job: Job, row: int, products: Products, buying: Buying) -> Row:
    product, count = job.products[row], buying.to_buy[row]
    return {
        "product_no": row + 1.0,
        "to_buy": count,
        "size": products.pack_size[row],
        "weight": count * value(product.mass),
        "pallets": count / above_zero(value(product.per_pallet)),
        "left_over": buying.left_over[row],
        "cost": cents(count * value(product.price)),
    }
