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
    from sheetgen.engine.blocks.materials import Bought
    from sheetgen.engine.blocks.scope import Ground
    from sheetgen.engine.blocks.systems import Layers
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
    fill_volume: Column = figure("area*depth")
    coat_volume: Column = figure("area*depth")
    fill_mean: Column = figure("depth")
    depth_mean: Column = figure("depth")
    mixed: Column = figure("volume")
    bags_raw: Column = figure("bag")
    by_volume: Column = figure("bag")
    scaled_bags: Column = figure("bag")
    like_bags: Column = figure("bag")
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

    kind: Column = figure("no")
    whole: Column = figure("area")
    plain_colour: Column = figure("area")
    plain_sealer: Column = figure("area")
    kept: Column = figure("area")
    plain: Column = figure("area")
    porous: Column = figure("area")
    covered: Column = figure("area")
    need: Column = figure("pack")


def make_topping(job: Job, of: Bought, ground: Ground, planned: Topping | None) -> Topping:
    """Compute the bags of each system, by volume or by whole batches; one that no zone uses needs none.

    Parameters
    ----------
    job, of
        Systems and planned pours, of all scenarios.
    ground : Ground
        The zones of this one.
    planned : Topping or None
        The toppings that the pours are planned for, None for these themselves.
    """
    systems, poured, names, laid = of.systems, of.poured, ground.names, ground.laid

    def by_system(column: Column) -> Column:
        return totals_by_number(column, names.started, laid.system_no, len(job.systems))

    areas, volumes, porous = by_system(laid.area), by_system(laid.mixed), by_system(laid.porous)
    fills = by_system(tuple(a * f for a, f in zip(laid.area, laid.fill, strict=True)))
    coats = by_system(tuple(a * t for a, t in zip(laid.area, laid.depth, strict=True)))
    uses = [flag(holds=area > 0) if known(area) and known(begun) else MISSING for area, begun in zip(areas, systems.started, strict=True)]
    users = totals_by_number(uses, systems.started, systems.product_no, len(job.products))
    part = value(job.crew.part_bags)
    rows: list[Row] = []
    for row, system in enumerate(job.systems):
        if not known(systems.started[row]):
            rows.append({})
            continue
        area, mixed = areas[row], volumes[row]
        bags = bags_before_rounding(mixed, above_zero(value(system.yield_))) if mixed != 0 else 0.0
        by_volume = whole_bags(bags)
        raw_planned = planned.bags_raw[row] if planned else bags
        scaled = larger(0.0, up(poured.pour_bags[row] * bags / raw_planned) - part) if raw_planned != 0 else 0.0
        # Nothing is rounded where nothing is scaled: a batch may take half a bag.
        like = (poured.whole_bags[row] if sixth(bags) == sixth(raw_planned) else scaled) if known(bags) else MISSING
        batch_bags = MISSING if of.lost_pours[row] > 0 else like if planned else poured.whole_bags[row]
        most = max(by_volume, batch_bags) if known(by_volume + batch_bags) and bags != 0 else by_volume
        product_no = systems.product_no[row]
        sharing = at(users, product_no)
        rows.append(
            {
                "product_no": product_no,
                "area": area,
                "porous": porous[row],
                "fill_volume": fills[row],
                "coat_volume": coats[row],
                "fill_mean": ratio(fills[row], area),
                "depth_mean": ratio(coats[row], area),
                "mixed": mixed,
                "bags_raw": bags,
                "by_volume": by_volume,
                "scaled_bags": scaled,
                "like_bags": like,
                "batch_bags": batch_bags,
                "lost_pours": of.lost_pours[row],
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


def make_layer_needs(layers: Layers, topping: Topping, ground: Ground, systems: int) -> LayerNeeds:
    """Compute what each layer covers and needs.

    An open slab takes more of the first primer coat only; zones with an option's colour or sealer take none of the system's.
    """
    laid, begun_zones = ground.laid, ground.names.started
    coloured, sealed = (
        totals_by_number(_unless_changed(laid.area, options), begun_zones, laid.system_no, systems)
        for options in (laid.colour_option, laid.sealer_option)
    )
    rows: list[Row] = []
    for row, begun in enumerate(layers.started):
        if not known(begun):
            rows.append({})
            continue
        system_no, kind_no = layers.system_no[row], layers.kind_no[row]
        whole, plain_colour, plain_sealer = (at(areas, system_no) for areas in (topping.area, coloured, sealed))
        kept = {_COLOUR: plain_colour, _SEALER: plain_sealer}.get(kind_no, whole)
        plain = kept * layers.coats_used[row]
        porous = MISSING
        if known(kind_no):
            porous = at(topping.porous, system_no) if kind_no == _PRIMER_FIRST else 0.0
        covered = plain + porous
        need = MISSING
        if layers.fault[row] == 0:
            need = need_of_basis(covered, layers.rate[row], layers.waste_used[row])
        rows.append(
            {
                "kind": kind_no if known(kind_no) else 0.0,
                "whole": whole,
                "plain_colour": plain_colour,
                "plain_sealer": plain_sealer,
                "kept": kept,
                "plain": plain,
                "porous": porous,
                "covered": covered,
                "need": need,
            }
        )
    return table(LayerNeeds, rows)
