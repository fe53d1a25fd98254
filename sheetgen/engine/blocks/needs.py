"""Materials: what the products need, what that costs, and what is to be bought."""
# ruff: noqa: RUF009 - figure() returns an attrs field, which is no default that records would share

from __future__ import annotations

from operator import add
from typing import TYPE_CHECKING, ClassVar

import attrs

from sheetgen.engine.blocks.table import Row, flag, table
from sheetgen.engine.materials import packages_cost, packages_to_buy, whole_packages
from sheetgen.engine.missing import MISSING, cents, given, known, value
from sheetgen.engine.totals import Column, total, totals_by_number
from sheetgen.engine.values import figure

if TYPE_CHECKING:
    from sheetgen.engine.blocks.lines import LineNeeds, Lines
    from sheetgen.engine.blocks.options import Options
    from sheetgen.engine.blocks.rates import Products
    from sheetgen.engine.blocks.swaps import Swaps
    from sheetgen.engine.blocks.systems import Layers, Systems
    from sheetgen.engine.blocks.topping import LayerNeeds, Topping
    from sheetgen.engine.inputs import Job


@attrs.frozen(kw_only=True)
class Needs:
    """What the job needs of each product, and its cost, stock included."""

    block: ClassVar[str] = "needs"
    over: ClassVar[str | None] = "products"
    scenario: ClassVar[bool] = True

    from_layers: Column = figure("pack")
    from_lines: Column = figure("pack")
    from_swaps: Column = figure("pack")
    bags: Column = figure("bag")
    bags_raw: Column = figure("bag")
    need: Column = figure("pack")
    need_raw: Column = figure("pack")
    packages: Column = figure("package")
    cost: Column = figure("money")


@attrs.frozen(kw_only=True)
class Stock:
    """What all products cost."""

    block: ClassVar[str] = "stock"
    over: ClassVar[str | None] = None
    scenario: ClassVar[bool] = True

    cost: float = figure("money")


@attrs.frozen(kw_only=True)
class Buying:
    """What is to be bought of each product, and what is left over."""

    block: ClassVar[str] = "products"
    over: ClassVar[str | None] = "products"
    scenario: ClassVar[bool] = False

    is_topping: Column = figure("count")
    to_buy: Column = figure("package")
    left_over: Column = figure("pack")
    left_worth: Column = figure("money")
    needed_fault: Column = figure("no")
    later_fault: Column = figure("no")
    fault: Column = figure("no")
    faulty: Column = figure("count")


@attrs.frozen(kw_only=True)
class Asked:
    """Everything that asks for a product.

    Parameters
    ----------
    systems, layers, lines
        Where the products are named.
    options
        Those that bring a product of their own.
    topping, layer_needs, line_needs, swaps
        How much of them is wanted, in one scenario.
    """

    systems: Systems
    layers: Layers
    lines: Lines
    topping: Topping
    layer_needs: LayerNeeds
    line_needs: LineNeeds
    options: Options
    swaps: Swaps


def make_needs(job: Job, products: Products, asked: Asked) -> Needs:
    """Add up what is needed of each product, once for the job, in whole packages."""
    count = len(job.products)
    of_systems = (asked.systems.started, asked.systems.product_no, count)
    from_layers = totals_by_number(asked.layer_needs.need, asked.layers.started, asked.layers.product_no, count)
    from_lines = totals_by_number(asked.line_needs.need, asked.lines.started, asked.lines.product_no, count)
    begun = asked.options.started
    coloured = totals_by_number(asked.swaps.colour_need, begun, asked.options.colour_no, count)
    sealed = totals_by_number(asked.swaps.sealer_need, begun, asked.options.sealer_no, count)
    from_swaps = tuple(map(add, coloured, sealed))
    bags = totals_by_number(asked.topping.bags, *of_systems)
    bags_raw = totals_by_number(asked.topping.bags_raw, *of_systems)
    rows: list[Row] = []
    for row, product in enumerate(job.products):
        if not known(products.started[row]):
            rows.append({})
            continue
        spread = from_layers[row] + from_lines[row] + from_swaps[row]
        need = spread + bags[row]
        packages = whole_packages(need, products.pack_size[row]) if need != 0 else 0.0
        rows.append(
            {
                "from_layers": from_layers[row],
                "from_lines": from_lines[row],
                "from_swaps": from_swaps[row],
                "bags": bags[row],
                "bags_raw": bags_raw[row],
                "need": need,
                "need_raw": spread + bags_raw[row],
                "packages": packages,
                "cost": packages_cost(packages, value(product.price)) if need != 0 else 0.0,
            }
        )
    return table(Needs, rows)


def make_stock(products: Products, needs: Needs) -> Stock:
    """Add up what all products cost."""
    return Stock(cost=total(needs.cost, products.started))


def make_buying(job: Job, products: Products, systems: Systems, needs: Needs) -> Buying:
    """Compute what is to be bought; a product that is not needed leaves nothing over."""
    rows: list[Row] = []
    for row, product in enumerate(job.products):
        need, size, twin = needs.need[row], products.pack_size[row], products.twin[row]
        if not known(products.started[row]):
            rows.append({})
            continue
        needed_fault = products.price_fault[row] if need > 0 else 0.0
        later_fault = MISSING if not known(twin) else 2.0 if twin > 1 else needed_fault
        fault = 1.0 if products.key[row] is None else later_fault
        buy = left = worth = 0.0
        if need != 0:
            buy = packages_to_buy(need, size, given(product.on_hand, 0))
            left = needs.packages[row] * size - need
            worth = cents(left / size * value(product.price))
        rows.append(
            {
                "is_topping": flag(holds=row + 1 in systems.product_no),
                "to_buy": buy,
                "left_over": left,
                "left_worth": worth,
                "needed_fault": needed_fault,
                "later_fault": later_fault,
                "fault": fault,
                "faulty": flag(holds=fault > 0),
            }
        )
    return table(Buying, rows)
