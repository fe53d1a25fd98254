"""Materials: what the job needs of every product in a scenario, one block after the other."""

from __future__ import annotations

from typing import TYPE_CHECKING

import attrs

from sheetgen.engine.blocks import lines, needs, swaps, topping

if TYPE_CHECKING:
    from sheetgen.engine.blocks.laid import Basis
    from sheetgen.engine.blocks.layer_sums import LayerSums
    from sheetgen.engine.blocks.lines import LineNeeds, Lines
    from sheetgen.engine.blocks.needs import Needs, Stock
    from sheetgen.engine.blocks.options import Options
    from sheetgen.engine.blocks.pour_sizes import PouredBags
    from sheetgen.engine.blocks.rates import Products
    from sheetgen.engine.blocks.scope import Ground
    from sheetgen.engine.blocks.swaps import Swaps, ZoneSwaps
    from sheetgen.engine.blocks.systems import Layers, Systems
    from sheetgen.engine.blocks.topping import LayerNeeds, Topping
    from sheetgen.engine.inputs import Job
    from sheetgen.engine.totals import Column
    from sheetgen.engine.values import Figures


@attrs.frozen(kw_only=True)
class Bought:
    """What is bought, and of what, in every scenario.

    Parameters
    ----------
    systems, layers, layer_sums, lines, products, options
        Where products are named.
    poured, lost_pours
        Bags of the planned pours by system, and how many of them have none.
    visits : float
        Visits that are paid [count].
    """

    systems: Systems
    layers: Layers
    layer_sums: LayerSums
    lines: Lines
    products: Products
    options: Options
    poured: PouredBags
    lost_pours: Column
    visits: float


@attrs.frozen(kw_only=True)
class Materials:
    """What the job needs, and what that costs."""

    topping: Topping
    layer_needs: LayerNeeds
    line_needs: LineNeeds
    zone_swaps: ZoneSwaps
    swaps: Swaps
    needs: Needs
    stock: Stock

    def by_scenario(self) -> tuple[Figures, ...]:
        """Return all blocks of figures."""
        return (self.topping, self.layer_needs, self.line_needs, self.zone_swaps, self.swaps, self.needs, self.stock)


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
    toppings = topping.make_topping(job, of, ground, planned.topping if planned else None)
    layer_needs = topping.make_layer_needs(of.layers, toppings, ground, len(job.systems))
    line_needs = lines.make_line_needs(job, of.lines, ground, basis, of.visits)
    zone_swaps = swaps.make_zone_swaps(job, ground, of.layer_sums)
    swapped = swaps.make_swaps(of.options, ground, zone_swaps)
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
        zone_swaps=zone_swaps,
        swaps=swapped,
        needs=wanted,
        stock=needs.make_stock(of.products, wanted),
    )
