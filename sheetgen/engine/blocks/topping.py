"""The topping of each system in a scenario, and what its layers need."""
# ruff: noqa: RUF009 - figure() returns an attrs field, which is no default that records would share

from __future__ import annotations

from typing import TYPE_CHECKING, ClassVar

import attrs

from sheetgen.engine.blocks.table import Row, flag, table
from sheetgen.engine.lists import LAYER_KINDS
from sheetgen.engine.materials import bags_before_rounding, need_of_basis, whole_bags
from sheetgen.engine.missing import MISSING, above_zero, known, larger, ratio, sixth, up, value
from sheetgen.engine.totals import Column, at, totals_by_number
from sheetgen.engine.values import figure

if TYPE_CHECKING:
    from sheetgen.engine.blocks.laid import Laid
    from sheetgen.engine.blocks.pour_sizes import PouredBags
    from sheetgen.engine.blocks.systems import Layers, Systems
    from sheetgen.engine.blocks.zones import ZoneNames
    from sheetgen.engine.inputs import Job

_PRIMER_FIRST = LAYER_KINDS.index("primer_first") + 1.0
_COLOUR, _SEALER = LAYER_KINDS.index("colour") + 1.0, LAYER_KINDS.index("sealer") + 1.0


@attrs.frozen(kw_only=True)
class Topping:
    """The topping of each system."""

    block: ClassVar[str] = "topping"
    over: ClassVar[str | None] = "systems"
    scenario: ClassVar[bool] = True

    product_no: Column = figure("no")
    area: Column = figure("area")
    porous: Column = figure("area")
    colour_area: Column = figure("area")
    sealer_area: Column = figure("area")
    fill_volume: Column = figure("area*depth")
    coat_volume: Column = figure("area*depth")
    fill_mean: Column = figure("depth")
    depth_mean: Column = figure("depth")
    mixed: Column = figure("volume")
    bags_raw: Column = figure("bag")
    by_volume: Column = figure("bag")
    batch_bags: Column = figure("bag")
    bags: Column = figure("bag")
    lost_pours: Column = figure("count")
    in_use: Column = figure("count")
    users: Column = figure("count")
    sharers: Column = figure("count")


@attrs.frozen(kw_only=True)
class LayerNeeds:
    """What each layer needs of its product."""

    block: ClassVar[str] = "layer_needs"
    over: ClassVar[str | None] = "layers"
    scenario: ClassVar[bool] = True

    plain: Column = figure("area")
    porous: Column = figure("area")
    covered: Column = figure("area")
    need: Column = figure("pack")


def make_topping(job: Job, systems: Systems, names: ZoneNames, laid: Laid, poured: PouredBags, planned: Topping | None) -> Topping:
    """Compute the bags of each system, by volume or by whole batches; one that no zone uses needs none.

    Parameters
    ----------
    job, systems, names, laid
        What is laid where, in one scenario.
    poured : PouredBags
        The bags of the planned pours.
    planned : Topping or None
        The toppings that the pours are planned for, None for these themselves.
    """

    def by_system(column: Column) -> Column:
        return totals_by_number(column, names.started, laid.system_no, len(job.systems))

    areas, volumes, porous = by_system(laid.area), by_system(laid.mixed), by_system(laid.porous)
    coloured = by_system(_unless_changed(laid.area, laid.colour_option))
    sealed = by_system(_unless_changed(laid.area, laid.sealer_option))
    fills = by_system(tuple(a * f for a, f in zip(laid.area, laid.fill, strict=True)))
    coats = by_system(tuple(a * t for a, t in zip(laid.area, laid.depth, strict=True)))
    uses = [flag(holds=area > 0) if known(area) and known(begun) else MISSING for area, begun in zip(areas, systems.started, strict=True)]
    users = totals_by_number(uses, systems.started, systems.product_no, len(job.products))
    rows: list[Row] = []
    for row, system in enumerate(job.systems):
        if not known(systems.started[row]):
            rows.append({})
            continue
        area, mixed = areas[row], volumes[row]
        bags = bags_before_rounding(mixed, above_zero(value(system.yield_))) if mixed != 0 else 0.0
        by_volume = whole_bags(bags)
        by_batch = _scaled(poured.bags[row], bags, planned.bags_raw[row]) if planned else poured.bags[row]
        batch_bags = larger(0.0, by_batch - value(job.crew.part_bags))
        most = max(by_volume, batch_bags) if known(by_volume + batch_bags) and bags != 0 else by_volume
        product_no = systems.product_no[row]
        sharing = at(users, product_no)
        rows.append(
            {
                "product_no": product_no,
                "area": area,
                "porous": porous[row],
                "colour_area": coloured[row],
                "sealer_area": sealed[row],
                "fill_volume": fills[row],
                "coat_volume": coats[row],
                "fill_mean": ratio(fills[row], area),
                "depth_mean": ratio(coats[row], area),
                "mixed": mixed,
                "bags_raw": bags,
                "by_volume": by_volume,
                "batch_bags": batch_bags,
                "lost_pours": poured.lost[row],
                # Bags of no product would cost nothing: a required input is missing, so there is no figure.
                "bags": most if most == 0 or known(product_no) else MISSING,
                "in_use": uses[row],
                "users": sharing,
                "sharers": sharing - uses[row],
            }
        )
    return table(Topping, rows)


def _unless_changed(areas: Column, options: Column) -> Column:
    """Return the areas without those where an option brings another product."""
    return tuple(area * flag(holds=option == 0) if known(option) else MISSING for area, option in zip(areas, options, strict=True))


def _scaled(poured: float, raw: float, planned: float) -> float:
    """Scale the bags of the planned pours to what is mixed in another scenario [bag]."""
    if not known(poured) or sixth(raw) == sixth(planned):
        return poured  # not rounded: a batch may take half a bag
    return up(poured * raw / planned) if planned != 0 else 0.0


def make_layer_needs(layers: Layers, topping: Topping) -> LayerNeeds:
    """Compute what each layer covers and needs.

    An open slab takes more of the first primer coat only; zones with an option's colour or sealer take none of the system's.
    """
    rows: list[Row] = []
    for row, begun in enumerate(layers.started):
        if not known(begun):
            rows.append({})
            continue
        system_no, kind_no = layers.system_no[row], layers.kind_no[row]
        areas = {_COLOUR: topping.colour_area, _SEALER: topping.sealer_area}.get(kind_no, topping.area)
        plain = at(areas, system_no) * layers.coats_used[row]
        porous = MISSING
        if known(kind_no):
            porous = at(topping.porous, system_no) if kind_no == _PRIMER_FIRST else 0.0
        covered = plain + porous
        need = MISSING
        if layers.fault[row] == 0:
            need = need_of_basis(covered, layers.rate[row], layers.waste_used[row])
        rows.append({"plain": plain, "porous": porous, "covered": covered, "need": need})
    return table(LayerNeeds, rows)
