"""Systems: toppings and their layers, checked and matched."""
# ruff: noqa: RUF009 - figure() returns an attrs field, which is no default that records would share

from __future__ import annotations

from typing import TYPE_CHECKING, ClassVar

import attrs

from sheetgen.engine.blocks.limits import above, below
from sheetgen.engine.blocks.table import Row, first_fault, flag, table
from sheetgen.engine.lists import LAYER_KINDS, number_of
from sheetgen.engine.missing import MISSING, given, known, ratio, value
from sheetgen.engine.names import Register, keys, twins
from sheetgen.engine.records import Layer, filled
from sheetgen.engine.values import figure

if TYPE_CHECKING:
    from sheetgen.engine.inputs import Display, Job
    from sheetgen.engine.totals import Column, Texts


@attrs.frozen(kw_only=True)
class Systems:
    """The systems, with their names matched."""

    block: ClassVar[str] = "systems"
    over: ClassVar[str | None] = "systems"
    scenario: ClassVar[bool] = False

    started: Column = figure("count")
    key: Texts = figure("text")
    twin: Column = figure("count")
    product_no: Column = figure("no")
    too_thin: Column = figure("count")
    too_thick: Column = figure("count")
    name_fault: Column = figure("no")
    yield_fault: Column = figure("no")
    bag_fault: Column = figure("no")
    range_fault: Column = figure("no")
    coat_fault: Column = figure("no")
    fault: Column = figure("no")
    faulty: Column = figure("count")


@attrs.frozen(kw_only=True)
class Layers:
    """The layers of all systems."""

    block: ClassVar[str] = "layers"
    over: ClassVar[str | None] = "layers"
    scenario: ClassVar[bool] = False

    started: Column = figure("count")
    system_no: Column = figure("no")
    kind_no: Column = figure("no")
    product_no: Column = figure("no")
    coats_used: Column = figure("count")
    waste_used: Column = figure("share")
    coats_wasted: Column = figure("number")
    by_dose: Column = figure("pack/area")
    rate: Column = figure("pack/area")
    unrated: Column = figure("count")
    rate_full: Column = figure("pack/area")
    rate_known: Column = figure("pack/area")
    what_fault: Column = figure("no")
    kind_fault: Column = figure("no")
    fault: Column = figure("no")
    faulty: Column = figure("count")


def system_keys(job: Job) -> Texts:
    """Return the names by which zones, layers, lines and tasks know the systems."""
    return keys([system.name for system in job.systems])


def make_systems(job: Job, products: Register, display: Display) -> Systems:
    """Match each system's product and find its first fault."""
    names = system_keys(job)
    rows: list[Row] = []
    for system, name, twin in zip(job.systems, names, twins(names), strict=True):
        row: Row = {"key": name, "twin": twin}
        if filled(system):
            product_no = products.number(system.product)
            target = value(system.thickness)
            thin = below(target, value(system.thickness_least), "depth", display)
            thick = above(target, value(system.thickness_most), "depth", display)
            name_fault = 1.0 if name is None else 2.0 if twin > 1 else 0.0
            yield_fault = 0.0 if value(system.yield_) > 0 else 4.0
            bag_fault = yield_fault if known(product_no) else 3.0
            range_fault = 6.0 * flag(holds=thin + thick > 0) if known(thin + thick) else MISSING
            coat_fault = range_fault if known(target) else 5.0
            fault = first_fault(name_fault, bag_fault, coat_fault)
            row |= {
                "started": 1.0,
                "product_no": product_no,
                "too_thin": thin,
                "too_thick": thick,
                "name_fault": name_fault,
                "yield_fault": yield_fault,
                "bag_fault": bag_fault,
                "range_fault": range_fault,
                "coat_fault": coat_fault,
                "fault": fault,
                "faulty": flag(holds=fault > 0),
            }
        rows.append(row)
    return table(Systems, rows)


def make_layers(job: Job, systems: Register, products: Register) -> Layers:
    """Match the names of each layer, and turn its coverage or dose into a rate."""
    return table(Layers, [_layer(layer, systems, products) if filled(layer) else {} for layer in job.layers])


def _layer(layer: Layer, systems: Register, products: Register) -> Row:
    system_no = systems.number(layer.system)
    kind_no = number_of(LAYER_KINDS, layer.kind)
    product_no = products.number(layer.product)
    by_dose = ratio(value(layer.dose), value(layer.per))
    rate = by_dose if layer.coverage is None else ratio(1.0, layer.coverage)
    what_fault = 3.0 if not known(product_no) else 4.0 if not known(rate) else 0.0
    coats, waste = given(layer.coats, 1), given(layer.waste, 0)
    rate_full = rate * (coats * (1 + waste))
    kind_fault = what_fault if known(kind_no) else 2.0
    fault = kind_fault if known(system_no) else 1.0
    return {
        "started": 1.0,
        "system_no": system_no,
        "kind_no": kind_no,
        "product_no": product_no,
        "coats_used": coats,
        "waste_used": waste,
        "coats_wasted": coats * (1 + waste),
        "by_dose": by_dose,
        "rate": rate,
        "unrated": flag(holds=not known(rate)),
        "rate_full": rate_full,
        "rate_known": rate_full if known(rate) else 0.0,
        "what_fault": what_fault,
        "kind_fault": kind_fault,
        "fault": fault,
        "faulty": flag(holds=fault > 0),
    }
