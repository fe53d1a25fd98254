"""Pour plan: which coat of which zones each pour is, typed or laid out in order."""
# ruff: noqa: RUF009 - figure() returns an attrs field, which is no default that records would share

from __future__ import annotations

from typing import TYPE_CHECKING, ClassVar

import attrs

from sheetgen.engine.blocks.table import Row, flag, table
from sheetgen.engine.missing import MISSING, given, known
from sheetgen.engine.records import any_filled, filled
from sheetgen.engine.totals import Column, at, sum_known
from sheetgen.engine.values import figure

if TYPE_CHECKING:
    from sheetgen.engine.blocks.zone_pours import ZoneCoats
    from sheetgen.engine.blocks.zones import ZoneNames
    from sheetgen.engine.inputs import Job
    from sheetgen.engine.names import Register
    from sheetgen.engine.records import Pour

# A further zone that nobody named.
NO_ZONE = 0.0
_TYPED_FIRST = ("zone", "zone_2", "zone_3", "coat", "day", "opens", "temperature", "bags", "bay_width", "bay_length")


@attrs.frozen(kw_only=True)
class PourZones:
    """What each pour covers."""

    block: ClassVar[str] = "pours"
    over: ClassVar[str | None] = "pours"
    scenario: ClassVar[bool] = False

    typed_first: Column = figure("count")
    typed: Column = figure("count")
    started: Column = figure("count")
    pour: Column = figure("no")
    gap: Column = figure("no")
    auto_zone: Column = figure("no")
    zone_no: Column = figure("no")
    zone_2_no: Column = figure("no")
    zone_3_no: Column = figure("no")
    coat_no: Column = figure("no")
    system_no: Column = figure("no")
    surface_no: Column = figure("no")
    place_no: Column = figure("no")
    coats_there: Column = figure("count")

    def numbers_at(self, row: int) -> tuple[float, float, float]:
        """Return the three zone numbers of a pour: 0 for none, missing for a name that is not matched [no]."""
        return self.zone_no[row], self.zone_2_no[row], self.zone_3_no[row]

    def rows_of(self, zone_no: float) -> list[int]:
        """Return the rows of the pours that name a zone; one that names it twice comes twice."""
        return [row for row in range(len(self.started)) for number in self.numbers_at(row) if number == zone_no]


def make_pour_zones(job: Job, register: Register, names: ZoneNames, coats: ZoneCoats) -> PourZones:
    """Match the zones of each pour that is typed; where none is, pour every coat of every zone in turn."""
    typed = [filled(pour) for pour in job.pours]
    planned = sum_known(coats.coats_planned)
    rows: list[Row] = []
    before = 0.0
    for number, (pour, is_typed) in enumerate(zip(job.pours, typed, strict=True), start=1):
        row: Row = {"typed_first": any_filled(pour, _TYPED_FIRST), "typed": flag(holds=is_typed)}
        if is_typed or (not any(typed) and number <= planned):
            auto_zone = coats.zone_of(number)
            row |= _typed(pour, register, names) if is_typed else _in_turn(number, auto_zone, coats)
            row |= {"started": 1.0, "pour": float(number), "gap": number - before, "auto_zone": auto_zone}
            row |= {name: at(getattr(names, name), row["zone_no"]) for name in ("system_no", "surface_no", "place_no")}
            row["coats_there"] = at(coats.coats_planned, row["zone_no"])
            before = float(number)
        rows.append(row)
    return table(PourZones, rows)


def _typed(pour: Pour, register: Register, names: ZoneNames) -> Row:
    first = 1.0 if known(names.started[0]) else MISSING
    return {
        "zone_no": register.number(pour.zone, blank=first),
        "zone_2_no": register.number(pour.zone_2, blank=NO_ZONE),
        "zone_3_no": register.number(pour.zone_3, blank=NO_ZONE),
        "coat_no": given(pour.coat, 1),
    }


def _in_turn(number: float, auto_zone: float, coats: ZoneCoats) -> Row:
    return {
        "zone_no": auto_zone,
        "zone_2_no": NO_ZONE,
        "zone_3_no": NO_ZONE,
        "coat_no": number - at(coats.coats_before, auto_zone),
    }
