"""Systems: toppings and their layers, checked and matched."""

from __future__ import annotations

from typing import ClassVar

import attrs

from sheetgen.engine.blocks.zones import within
from sheetgen.engine.inputs import Display, Job
from sheetgen.engine.lists import LAYER_KINDS, number_of
from sheetgen.engine.missing import MISSING, known, value
from sheetgen.engine.names import Register, keys, twins
from sheetgen.engine.records import Layer, ToppingSystem, filled
from sheetgen.engine.totals import Column, Texts
from sheetgen.engine.values import figure


@attrs.frozen(kw_only=True)
class Systems:
    """The systems, with their names matched."""

    block: ClassVar = "systems"
    over: ClassVar = "systems"
    scenario: ClassVar = False

    started: Column = figure("count")
    key: Texts = figure("text")
    twin: Column = figure("count")
    product_no: Column = figure("no")
    fault: Column = figure("no")


@attrs.frozen(kw_only=True)
class Layers:
    """The layers of all systems."""

    block: ClassVar = "layers"
    over: ClassVar = "layers"
    scenario: ClassVar = False

    started: Column = figure("count")
    system_no: Column = figure("no")
    kind_no: Column = figure("no")
    product_no: Column = figure("no")
    rate: Column = figure("pack/area")
    fault: Column = figure("no")


def system_keys(job: Job) -> Texts:
    """Return the names by which zones, layers, lines and tasks know the systems."""
    return keys([system.name for system in job.systems])


def make_systems(job: Job, products: Register, display: Display) -> Systems:
    """Match each system's product and find its first fault."""
    names = system_keys(job)
    twin = twins(names)
    started, product_no, faults = [], [], []
    for system, alike in zip(job.systems, twin, strict=True):
        begun = filled(system)
        product = products.number(system.product)
        started.append(1.0 if begun else MISSING)
        product_no.append(product)
        faults.append(_system_fault(system, alike, product, display) if begun else MISSING)
    return Systems(
        started=tuple(started),
        key=names,
        twin=twin,
        product_no=tuple(product_no),
        fault=tuple(faults),
    )


def _system_fault(
    system: ToppingSystem, twin: float, product_no: float, display: Display
) -> float:
    if not known(twin):
        return 1
    if twin > 1:
        return 2
    if not known(product_no):
        return 3
    if not value(system.yield_) > 0:
        return 4
    if system.thickness is None:
        return 5
    least, most = system.thickness_least, system.thickness_most
    return 0 if within(system.thickness, least, most, display) else 6


def make_layers(job: Job, systems: Register, products: Register) -> Layers:
    """Match the names of each layer, and turn its coverage or dose into a rate."""
    started, system_no, kind_no, product_no, rates, faults = [], [], [], [], [], []
    for layer in job.layers:
        begun = filled(layer)
        system = systems.number(layer.system)
        kind = number_of(LAYER_KINDS, layer.kind)
        product = products.number(layer.product)
        rate = layer_rate(layer)
        needed = (system, kind, product, rate)
        fault = next((n for n, one in enumerate(needed, start=1) if not known(one)), 0)
        started.append(1.0 if begun else MISSING)
        system_no.append(system)
        kind_no.append(kind)
        product_no.append(product)
        rates.append(rate)
        faults.append(fault if begun else MISSING)
    return Layers(
        started=tuple(started),
        system_no=tuple(system_no),
        kind_no=tuple(kind_no),
        product_no=tuple(product_no),
        rate=tuple(rates),
        fault=tuple(faults),
    )


def layer_rate(layer: Layer) -> float:
    """Return what a layer takes per area, from coverage or else from dose [unit/ft²]."""
    if value(layer.coverage) > 0:
        return 1 / value(layer.coverage)
    if value(layer.per) > 0:
        return value(layer.dose) / value(layer.per)
    return MISSING
