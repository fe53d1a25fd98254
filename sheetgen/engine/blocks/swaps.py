"""Materials: what colours and sealers of the options take, in place of those of the systems."""
# ruff: noqa: RUF009 - figure() returns an attrs field, which is no default that records would share

from __future__ import annotations

from typing import TYPE_CHECKING, ClassVar

import attrs

from sheetgen.engine.blocks.options import KINDS
from sheetgen.engine.blocks.table import Row, table
from sheetgen.engine.missing import MISSING, known, ratio, value
from sheetgen.engine.totals import Column, at, totals_by_number
from sheetgen.engine.values import figure

if TYPE_CHECKING:
    from sheetgen.engine.blocks.layer_sums import LayerSums
    from sheetgen.engine.blocks.options import Options
    from sheetgen.engine.blocks.scope import Ground
    from sheetgen.engine.inputs import Job


@attrs.frozen(kw_only=True)
class ZoneSwaps:
    """What each zone takes of the product of an option."""

    block: ClassVar[str] = "zone_swaps"
    over: ClassVar[str | None] = "zones"
    scenario: ClassVar[bool] = True

    colour_cover: Column = figure("area/pack")
    colour_coats: Column = figure("number")
    colour_by_cover: Column = figure("pack/area")
    colour_rate: Column = figure("pack/area")
    colour_need: Column = figure("pack")
    sealer_cover: Column = figure("area/pack")
    sealer_coats: Column = figure("number")
    sealer_by_cover: Column = figure("pack/area")
    sealer_rate: Column = figure("pack/area")
    sealer_need: Column = figure("pack")


@attrs.frozen(kw_only=True)
class Swaps:
    """What the product of each option takes."""

    block: ClassVar[str] = "swaps"
    over: ClassVar[str | None] = "options"
    scenario: ClassVar[bool] = True

    colour_need: Column = figure("pack")
    sealer_need: Column = figure("pack")


def make_zone_swaps(job: Job, ground: Ground, sums: LayerSums) -> ZoneSwaps:
    """Compute what each zone takes of the colour and the sealer of its options."""
    rows: list[Row] = []
    for row, system_no in enumerate(ground.laid.system_no):
        found: Row = {}
        for kind in KINDS if known(system_no) else ():
            found |= _taken(job, row, kind, ground, sums)
        rows.append(found)
    return table(ZoneSwaps, rows)


def _taken(job: Job, row: int, kind: str, ground: Ground, sums: LayerSums) -> Row:
    """Return what a zone takes: as many coats, and as much waste, as of what is replaced; one coat where nothing is."""
    laid = ground.laid
    number, system_no = getattr(laid, f"{kind}_option")[row], laid.system_no[row]
    cover = value(getattr(job.options[int(number) - 1], f"{kind}_coverage")) if number > 0 else MISSING
    coats = 1.0 if at(sums.of(kind, "layers"), system_no) == 0 else at(sums.of(kind, "coats"), system_no)
    by_cover = ratio(coats, cover)
    rate = by_cover if known(cover) else at(sums.of(kind, "rate"), system_no)
    return {
        f"{kind}_cover": cover,
        f"{kind}_coats": coats,
        f"{kind}_by_cover": by_cover,
        f"{kind}_rate": rate,
        f"{kind}_need": laid.area[row] * rate if number > 0 else 0.0,
    }


def make_swaps(options: Options, ground: Ground, taken: ZoneSwaps) -> Swaps:
    """Add up what each option's own colour and sealer take."""
    begun, count = ground.names.started, len(options.started)
    needs = {
        kind: totals_by_number(getattr(taken, f"{kind}_need"), begun, getattr(ground.laid, f"{kind}_option"), count) for kind in KINDS
    }
    rows: list[Row] = [
        {f"{kind}_need": needs[kind][row] for kind in KINDS} if known(begun) else {} for row, begun in enumerate(options.started)
    ]
    return table(Swaps, rows)
