"""Materials: what the job needs of every product in a scenario, one block after the other."""

from __future__ import annotations

from typing import TYPE_CHECKING

import attrs

from sheetgen.engine.blocks import lines, needs, swaps, topping

if TYPE_CHECKING:
    from sheetgen.engine.blocks.laid import Basis
    from sheetgen.engine.blocks.lines import LineNeeds, Lines
    from sheetgen.engine.blocks.needs import Needs, Stock
    from sheetgen.engine.blocks.options import Options
    from sheetgen.engine.blocks.pour_sizes import PouredBags
    from sheetgen.engine.blocks.rates import Products
    from sheetgen.engine.blocks.scope import Ground
    from sheetgen.engine.blocks.swaps import Swaps
    from sheetgen.engine.blocks.systems import Layers, Systems
    from sheetgen.engine.blocks.topping import LayerNeeds, Topping
    from sheetgen.engine.inputs import Job
    from sheetgen.engine.values import Figures


@attrs.frozen(kw_only=True)
class Bought:
    """What is bought, and of what, in every scenario.

    Parameters
    ----------
    systems, layers, lines, products, options
        Where products are named.
    poured : PouredBags
        Bags of the planned pours.
    visits : float
        Visits that are paid [count].
    """

    systems: Systems
    layers: Layers
    lines: Lines
    products: Products
    options: Options
    poured: PouredBags
    visits: float


@attrs.frozen(kw_only=True)
class Materials:
    """What the job needs, and what that costs."""

    topping: Topping
    layer_needs: LayerNeeds
    line_needs: LineNeeds
    swaps: Swaps
    needs: Needs
    stock: Stock

    def by_scenario(self) -> tuple[Figures, ...]:
        """Return all blocks of figures."""
        return (self.topping, self.layer_needs, self.line_needs, self.swaps, self.needs, self.stock)


def make_materials(job: Job, of: Bought, ground: Ground, basis: Basis, planned: Materials | None) -> Materials:
    """Reckon what is needed of every product.

    Parameters
    ----------
    job, of
        Of all scenarios.
    ground, basis
        The zones of this one.
    planned : Materials or None
        The materials that the pours are planned for, None for these themselves.
    """
    toppings = topping.make_topping(job, of.systems, ground.names, ground.laid, of.poured, planned.topping if planned else None)
    layer_needs = topping.make_layer_needs(of.layers, toppings)
    line_needs = lines.make_line_needs(job, of.lines, ground, basis, of.visits)
    swapped = swaps.make_swaps(job, of.options, of.layers, ground)
    asked = needs.Asked(
        systems=of.systems,
        layers=of.layers,
        lines=of.lines,
        topping=toppings,
        layer_needs=layer_needs,
        line_needs=line_needs,
        options=of.options,
        swaps=swapped,
    )
    wanted = needs.make_needs(job, of.products, asked)
    return Materials(
        topping=toppings,
        layer_needs=layer_needs,
        line_needs=line_needs,
        swaps=swapped,
        needs=wanted,
        stock=needs.make_stock(of.products, wanted),
    )
