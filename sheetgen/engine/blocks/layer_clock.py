"""Pour plan: the clock of the layers, counted back from each pour and on from it."""
# ruff: noqa: RUF009 - figure() returns an attrs field, which is no default that records would share

from __future__ import annotations

from typing import TYPE_CHECKING, ClassVar, Final

import attrs

from sheetgen.engine.blocks.job_clock import clock_of, day_of
from sheetgen.engine.blocks.table import Row, flag, table
from sheetgen.engine.blocks.zones import system_of
from sheetgen.engine.lists import LAYER_KINDS, PLACES
from sheetgen.engine.missing import MISSING, known, value
from sheetgen.engine.priming import counted_on_min, primer_clock
from sheetgen.engine.totals import Column, at
from sheetgen.engine.values import figure

if TYPE_CHECKING:
    from sheetgen.engine.blocks.data_sheet import DataSheets
    from sheetgen.engine.blocks.pour_times import PouredBatches
    from sheetgen.engine.blocks.pour_zones import PourZones
    from sheetgen.engine.blocks.systems import Layers, Systems
    from sheetgen.engine.blocks.times import LayerWaits
    from sheetgen.engine.inputs import Job

_NONE: Final = 0.0
_ROWS: Final = {"primer_row": "primer_first", "primer_more_row": "primer_more", "colour_row": "colour"}


@attrs.frozen(kw_only=True)
class LayerOrders:
    """Which layers are the first of their kind."""

    block: ClassVar[str] = "layers"
    over: ClassVar[str | None] = "layers"
    scenario: ClassVar[bool] = False

    first_kind: Column = figure("no")
    order: Column = figure("no")


@attrs.frozen(kw_only=True)
class SystemRows:
    """Which layers prime and colour each system, and how long its topping rests."""

    block: ClassVar[str] = "systems"
    over: ClassVar[str | None] = "systems"
    scenario: ClassVar[bool] = False

    primer_row: Column = figure("no")
    primer_more_row: Column = figure("no")
    colour_row: Column = figure("no")
    rest: Column = figure("hour")


@attrs.frozen(kw_only=True)
class LayerClock:
    """When to prime before each pour, and when to seal and walk after it."""

    block: ClassVar[str] = "pours"
    over: ClassVar[str | None] = "pours"
    scenario: ClassVar[bool] = False

    first_primer: Column = figure("no")
    last_primer: Column = figure("no")
    first_wait_used: Column = figure("hour")
    last_wait: Column = figure("hour")
    last_window: Column = figure("hour")
    primer_coats: Column = figure("count")
    primed_twice: Column = figure("count")
    first_primer_by: Column = figure("minute")
    last_primer_from: Column = figure("minute")
    last_primer_by: Column = figure("minute")
    seal_from: Column = figure("minute")
    foot_from: Column = figure("minute")
    full_from: Column = figure("minute")
    first_primer_by_day: Column = figure("no")
    last_primer_from_day: Column = figure("no")
    last_primer_by_day: Column = figure("no")
    seal_from_day: Column = figure("no")
    foot_from_day: Column = figure("no")
    full_from_day: Column = figure("no")
    first_primer_by_clock: Column = figure("clock")
    last_primer_from_clock: Column = figure("clock")
    last_primer_by_clock: Column = figure("clock")
    seal_from_clock: Column = figure("clock")
    foot_from_clock: Column = figure("clock")
    full_from_clock: Column = figure("clock")


def make_layer_orders(layers: Layers) -> LayerOrders:
    """Mark the first layer of each kind of each system."""
    seen: set[tuple[float, float]] = set()
    rows: list[Row] = []
    for number, (begun, system_no, kind_no) in enumerate(zip(layers.started, layers.system_no, layers.kind_no, strict=True), start=1):
        if not known(begun):
            rows.append({})
            continue
        first = MISSING
        if known(system_no + kind_no):
            first = 0.0 if (system_no, kind_no) in seen else kind_no
            seen.add((system_no, kind_no))
        rows.append({"first_kind": first, "order": float(number)})
    return table(LayerOrders, rows)


def make_system_rows(job: Job, systems: Systems, sheets: DataSheets, layers: Layers, orders: LayerOrders) -> SystemRows:
    """Find the first layer of each kind, 0 where a system has none, and how long a topping that is used rests."""
    rows: list[Row] = []
    for at_system, (system, begun) in enumerate(zip(job.systems, systems.started, strict=True)):
        if not known(begun):
            rows.append({})
            continue
        pairs = list(enumerate(zip(layers.system_no, orders.first_kind, strict=True), start=1))
        row: Row = {}
        for name, kind in _ROWS.items():
            wanted = (at_system + 1.0, LAYER_KINDS.index(kind) + 1.0)
            row[name] = next((float(number) for number, pair in pairs if pair == wanted), _NONE)
        waits = sheets.used[at_system] > 0 and system.topping_wait is not None
        rows.append(row | {"rest": value(system.topping_wait) if waits else 0.0})
    return table(SystemRows, rows)


@attrs.frozen(kw_only=True)
class LayerTimes:
    """The layers of all systems, with their waits at each place."""

    rows: SystemRows
    layers: Layers
    waits: LayerWaits


def make_layer_clock(job: Job, pours: PourZones, poured: PouredBatches, of: LayerTimes) -> LayerClock:
    """Count the primer back from each opening, and sealing and traffic on from each end."""
    rows: list[Row] = []
    for row, begun in enumerate(pours.started):
        if not known(begun):
            rows.append({})
            continue
        system_no = pours.system_no[row]
        found = _primers(system_no, pours.place_no[row], of)
        opening, end = poured.times.opening[row], poured.times.end[row]
        moments = _primed(opening, found) | _after(job, system_no, end)
        found |= moments
        for name, minute in moments.items():
            found |= {f"{name}_day": day_of(minute), f"{name}_clock": clock_of(minute)}
        rows.append(found)
    return table(LayerClock, rows)


def _primers(system_no: float, place_no: float, of: LayerTimes) -> Row:
    """Return the first and the last primer of a system, and their waits at a place."""
    first, more = at(of.rows.primer_row, system_no), at(of.rows.primer_more_row, system_no)
    first_primer = first if first != _NONE else MISSING
    last_primer = (more if more != _NONE else first_primer) if known(more) else MISSING
    coats = at(of.layers.coats_used, first_primer)
    place = PLACES[int(place_no) - 1] if known(place_no) else None
    waits: Column = getattr(of.waits, f"wait_{place}") if place else ()
    windows: Column = getattr(of.waits, f"window_{place}") if place else ()
    twice = flag(holds=last_primer != first_primer or coats > 1) if known(last_primer + first_primer + coats) else MISSING
    return {
        "first_primer": first_primer,
        "last_primer": last_primer,
        "first_wait_used": at(waits, first_primer),
        "last_wait": at(waits, last_primer),
        "last_window": at(windows, last_primer),
        "primer_coats": coats,
        "primed_twice": twice,
    }


def _primed(opening: float, found: Row) -> dict[str, float]:
    clock = primer_clock(
        opening,
        last_wait_h=found["last_wait"],
        last_window_h=found["last_window"],
        first_wait_h=found["first_wait_used"],
        coats=found["primed_twice"] + 1,
    )
    return {"first_primer_by": clock.first_by, "last_primer_from": clock.last_from, "last_primer_by": clock.last_by}


def _after(job: Job, system_no: float, end: float) -> dict[str, float]:
    system = system_of(job, system_no)
    return {
        "seal_from": counted_on_min(end, value(system.topping_wait)),
        "foot_from": counted_on_min(end, value(system.foot_traffic)),
        "full_from": counted_on_min(end, value(system.full_traffic)),
    }
