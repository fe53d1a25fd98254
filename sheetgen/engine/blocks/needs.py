"""Materials: what the lines and the products need, what that costs, and what is to be bought."""

from __future__ import annotations

from typing import ClassVar

import attrs

from sheetgen.engine.blocks.laid import Basis, LayerNeeds, Topping
from sheetgen.engine.blocks.rates import ANY, Lines, Products, Tasks
from sheetgen.engine.blocks.systems import Layers, Systems
from sheetgen.engine.blocks.zones import ZoneNames
from sheetgen.engine.inputs import Job
from sheetgen.engine.lists import BASES
from sheetgen.engine.materials import (
    need_of_basis,
    packages_cost,
    packages_to_buy,
    whole_packages,
)
from sheetgen.engine.missing import MISSING, above_zero, cents, given, known, ratio, value
from sheetgen.engine.records import Product
from sheetgen.engine.tables import from_rows
from sheetgen.engine.totals import Column, total, totals_by_number
from sheetgen.engine.values import figure

_ONCE = BASES.index("once") + 1.0


@attrs.frozen(kw_only=True)
class LineNeeds:
    """What each line needs of its product."""

    block: ClassVar = "line_needs"
    over: ClassVar = "lines"
    scenario: ClassVar = True

    quantity: Column = figure("basis")
    need: Column = figure("pack")


@attrs.frozen(kw_only=True)
class Needs:
    """What the job needs of each product, and its cost, stock included."""

    block: ClassVar = "needs"
    over: ClassVar = "products"
    scenario: ClassVar = True

    need: Column = figure("pack")
    packages: Column = figure("package")
    cost: Column = figure("money")


@attrs.frozen(kw_only=True)
class Stock:
    """What all products cost."""

    block: ClassVar = "stock"
    over: ClassVar = None
    scenario: ClassVar = True

    cost: float = figure("money")


@attrs.frozen(kw_only=True)
class Buying:
    """What is to be bought of each product, and what is left over."""

    block: ClassVar = "products"
    over: ClassVar = "products"
    scenario: ClassVar = False

    to_buy: Column = figure("package")
    left_over: Column = figure("pack")
    left_worth: Column = figure("money")
    fault: Column = figure("no")


def in_scope(names: ZoneNames, scoped: Lines | Tasks, row: int) -> tuple[bool, ...]:
    """Tell for each zone whether a line or a task with its scope matched holds there."""
    system, surface, zone = scoped.system_no[row], scoped.surface_no[row], scoped.zone_no[row]
    return tuple(
        known(begun) and zone in {ANY, number} and system in {ANY, of} and surface in {ANY, on}
        for number, (begun, of, on) in enumerate(
            zip(names.started, names.system_no, names.surface_no, strict=True), start=1
        )
    )


def basis_in_scope(
    basis: Basis, names: ZoneNames, scoped: Lines | Tasks, row: int
) -> tuple[float, ...] | None:
    """Return the row's basis for each zone, 0 outside its scope; None where it cannot be told."""
    matched = (scoped.basis_no, scoped.system_no, scoped.surface_no, scoped.zone_no)
    if not all(known(column[row]) for column in matched):
        return None
    inside = in_scope(names, scoped, row)
    amounts = basis.of(scoped.basis_no[row])
    return tuple(
        amount if here or not known(amount) else 0.0
        for amount, here in zip(amounts, inside, strict=True)
    )


def once(scoped: Lines | Tasks, row: int) -> float:
    """Return 1 for the basis that counts once for the whole job, else 0 [basis]."""
    return 1.0 if scoped.basis_no[row] == _ONCE else 0.0


def make_line_needs(job: Job, lines: Lines, names: ZoneNames, basis: Basis) -> LineNeeds:
    """Compute what each line needs; a line with a fault has no need."""
    rows = []
    for row, line in enumerate(job.lines):
        amounts = basis_in_scope(basis, names, lines, row)
        quantity = need = MISSING
        if amounts is not None:
            quantity = total(amounts, names.started) + once(lines, row)
        if lines.fault[row] == 0:
            dose = value(line.dose) / above_zero(given(line.per, 1))
            need = need_of_basis(quantity, dose, given(line.waste, 0))
        rows.append((quantity, need))
    return from_rows(LineNeeds, rows)


@attrs.frozen(kw_only=True)
class Suppliers:
    """Everything that asks for a product.

    Parameters
    ----------
    systems, layers, lines
        Where the products are named.
    topping, layer_needs, line_needs
        How much of them is wanted, in one scenario.
    """

    systems: Systems
    layers: Layers
    lines: Lines
    topping: Topping
    layer_needs: LayerNeeds
    line_needs: LineNeeds

    def of_products(self, bags: Column, count: int) -> Column:
        """Return what each product is asked for: bags as given, layers and lines [unit]."""
        systems, layers, lines = self.systems, self.layers, self.lines
        parts = (
            totals_by_number(bags, systems.started, systems.product_no, count),
            totals_by_number(self.layer_needs.need, layers.started, layers.product_no, count),
            totals_by_number(self.line_needs.need, lines.started, lines.product_no, count),
        )
        return tuple(sum(asked) for asked in zip(*parts, strict=True))


def make_needs(job: Job, products: Products, asked: Suppliers) -> Needs:
    """Add up what is needed of each product, once for the job, in whole packages."""
    sums = asked.of_products(asked.topping.bags, len(job.products))
    rows = []
    for product, begun, wanted in zip(job.products, products.started, sums, strict=True):
        need = wanted if known(begun) else MISSING
        size, price = above_zero(value(product.size)), value(product.price)
        whole = whole_packages(need, size) if need != 0 else 0.0
        rows.append((need, whole, packages_cost(whole, price) if need != 0 else 0.0))
    return from_rows(Needs, rows)


def make_stock(products: Products, needs: Needs) -> Stock:
    """Add up what all products cost."""
    return Stock(cost=total(needs.cost, products.started))


def make_buying(job: Job, products: Products, needs: Needs) -> Buying:
    """Compute what is to be bought; a product that is not needed leaves nothing over."""
    rows = []
    for row, product in enumerate(job.products):
        need, packages = needs.need[row], needs.packages[row]
        size = above_zero(value(product.size))
        buy = left = worth = 0.0
        if need != 0:
            buy = packages_to_buy(need, size, given(product.on_hand, 0))
            left = packages * size - need
            worth = cents(ratio(left, size) * value(product.price))
        begun = known(products.started[row])
        fault = _product_fault(product, products.twin[row], need) if begun else MISSING
        rows.append((buy, left, worth, fault))
    return from_rows(Buying, rows)


def _product_fault(product: Product, twin: float, need: float) -> float:
    if not known(twin):
        return 1
    if twin > 1:
        return 2
    if need > 0 and not value(product.size) > 0:
        return 3
    return 4 if need > 0 and product.price is None else 0
