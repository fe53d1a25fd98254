"""Price: which option is heard in each zone, and the system, thickness and area that it makes of it."""
# ruff: noqa: RUF009 - figure() returns an attrs field, which is no default that records would share

from __future__ import annotations

from typing import TYPE_CHECKING, ClassVar

import attrs

from sheetgen.engine.blocks.options import EVERY_ZONE
from sheetgen.engine.blocks.table import Row, table
from sheetgen.engine.blocks.zones import system_of
from sheetgen.engine.missing import MISSING, given, known, value
from sheetgen.engine.totals import sum_known
from sheetgen.engine.values import figure

if TYPE_CHECKING:
    from sheetgen.engine.blocks.option_on import OptionOn
    from sheetgen.engine.blocks.options import Options
    from sheetgen.engine.blocks.zones import Lone, ZoneNames
    from sheetgen.engine.inputs import Job
    from sheetgen.engine.records import Zone
    from sheetgen.engine.totals import Column

# In what an option may be heard, and the weights that say so.
_HEARD = {"system": "systems", "colour": "colours", "sealer": "sealers", "thickness": "depths"}


@attrs.frozen(kw_only=True)
class Wins:
    """What the options of a scenario make of each zone, whatever faults it has; 0 where none is heard."""

    block: ClassVar[str] = "wins"
    over: ClassVar[str | None] = "zones"
    scenario: ClassVar[bool] = True

    zone_no: Column = figure("no")
    system_weight: Column = figure("number")
    colour_weight: Column = figure("number")
    sealer_weight: Column = figure("number")
    thickness_weight: Column = figure("number")
    system: Column = figure("no")
    colour: Column = figure("no")
    sealer: Column = figure("no")
    thickness: Column = figure("no")
    extra: Column = figure("area")
    system_no: Column = figure("no")
    coats_typed: Column = figure("count")
    target: Column = figure("depth")
    own_depth: Column = figure("depth")
    plain_depth: Column = figure("depth")
    depth: Column = figure("depth")


def make_wins(job: Job, options: Options, on: OptionOn, names: ZoneNames, lone: Lone) -> Wins:
    """Hear the options zone by zone: the last one that says something of it."""
    rows: list[Row] = []
    for zone, number, typed_system_no in zip(job.zones, names.order, names.typed_system_no, strict=True):
        if not known(number):
            rows.append({})
            continue
        own = [row for row, of in enumerate(options.zone_no) if of in {EVERY_ZONE, number}]
        row: Row = {"zone_no": number, "extra": _extra_ft2(options, on, number, lone)}
        for name, weights in _HEARD.items():
            heard: Column = getattr(on, weights)
            row[f"{name}_weight"] = sum_known(heard[at] for at in own)
            row[name] = max((at + 1.0 for at in own if heard[at] > 0), default=0.0)
        rows.append(row | _system_and_depth(job, zone, row, options, typed_system_no))
    return table(Wins, rows)


def _extra_ft2(options: Options, on: OptionOn, zone_no: float, lone: Lone) -> float:
    """Return the area that options add to a zone; one for every zone adds it to the only one [ft²]."""
    of = {zone_no, EVERY_ZONE} if lone.zone == zone_no else {zone_no}
    return sum_known(extra for extra, named in zip(on.extra, options.zone_no, strict=True) if named in of)


def _system_and_depth(job: Job, zone: Zone, row: Row, options: Options, typed_system_no: float) -> Row:
    """Return the system and the thickness of a coat; another system is laid at its own target, whatever was typed for the zone."""
    changed, chosen = row["system"], row["system"] or row["thickness"]
    system_no = options.system_no[int(changed) - 1] if changed else typed_system_no
    system = system_of(job, system_no)
    target = value(system.thickness)
    own = value(job.options[int(chosen) - 1].thickness) if chosen else MISSING
    plain = target if changed else given(zone.thickness, target)
    return {
        "system_no": system_no,
        "coats_typed": value(system.coats),
        "target": target,
        "own_depth": own,
        "plain_depth": plain,
        "depth": own if known(own) else plain,
    }
