"""Materials: what the job needs of every product, one block after the other."""

from __future__ import annotations

from typing import TYPE_CHECKING

import attrs

from sheetgen.engine.blocks import lines, needs, topping

if TYPE_CHECKING:
    from sheetgen.engine.blocks.laid import Basis
    from sheetgen.engine.blocks.lines import LineNeeds, Lines
    from sheetgen.engine.blocks.needs import Buying, Needs, Stock
    from sheetgen.engine.blocks.pour_sizes import PouredBags
    from sheetgen.engine.blocks.rates import Products
    from sheetgen.engine.blocks.scope import Ground
    from sheetgen.engine.blocks.systems import Layers, Systems
    from sheetgen.engine.blocks.topping import LayerNeeds, Topping
    from sheetgen.engine.inputs import Job
    from sheetgen.engine.values import Figures


@attrs.frozen(kw_only=True)
class Bought:
    """What is bought, and of what."""

    systems: Systems
    layers: Layers
    lines: Lines
    products: Products


@attrs.frozen(kw_only=True)
class Materials:
    """What the job needs, and what that costs."""

    topping: Topping
    layer_needs: LayerNeeds
    line_needs: LineNeeds
    needs: Needs
    stock: Stock
    buying: Buying

    def by_scenario(self) -> tuple[Figures, ...]:
        """Return the blocks that have a column for each scenario."""
        return (self.topping, self.layer_needs, self.line_needs, self.needs, self.stock)


def make_materials(job: Job, of: Bought, ground: Ground, basis: Basis, poured: PouredBags, visits: float) -> Materials:
    """Reckon what is needed of every product, and buy it."""
    toppings = topping.make_topping(job, of.systems, ground.names, ground.laid, poured)
    layer_needs = topping.make_layer_needs(of.layers, toppings)
    line_needs = lines.make_line_needs(job, of.lines, ground, basis, visits)
    asked = needs.Asked(
        systems=of.systems,
        layers=of.layers,
        lines=of.lines,
        topping=toppings,
        layer_needs=layer_needs,
        line_needs=line_needs,
    )
    wanted = needs.make_needs(job, of.products, asked)
    return Materials(
        topping=toppings,
        layer_needs=layer_needs,
        line_needs=line_needs,
        needs=wanted,
        stock=needs.make_stock(of.products, wanted),
        buying=needs.make_buying(job, of.products, of.systems, wanted),
    )
