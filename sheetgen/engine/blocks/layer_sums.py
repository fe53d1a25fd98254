"""Systems: the colour and the sealer layers of each system together, for the options that take their place."""
# ruff: noqa: RUF009 - figure() returns an attrs field, which is no default that records would share

from __future__ import annotations

import math
from typing import TYPE_CHECKING, ClassVar

import attrs

from sheetgen.engine.blocks.options import KINDS
from sheetgen.engine.blocks.table import Row, table
from sheetgen.engine.lists import LAYER_KINDS
from sheetgen.engine.missing import MISSING, known
from sheetgen.engine.totals import Column, sum_known
from sheetgen.engine.values import figure

if TYPE_CHECKING:
    from sheetgen.engine.blocks.systems import Layers, Systems


@attrs.frozen(kw_only=True)
class LayerSums:
    """How many layers of a kind a system has, their coats with waste, and what an area takes of them all."""

    block: ClassVar[str] = "systems"
    over: ClassVar[str | None] = "systems"
    scenario: ClassVar[bool] = False

    colour_layers: Column = figure("count")
    colour_lacks: Column = figure("count")
    colour_coats: Column = figure("number")
    colour_sum: Column = figure("pack/area")
    colour_rate: Column = figure("pack/area")
    sealer_layers: Column = figure("count")
    sealer_lacks: Column = figure("count")
    sealer_coats: Column = figure("number")
    sealer_sum: Column = figure("pack/area")
    sealer_rate: Column = figure("pack/area")
    sealer_row: Column = figure("no")

    def of(self, kind: str, part: str) -> Column:
        """Return one column of colour or sealer."""
        column: Column = getattr(self, f"{kind}_{part}")
        return column


def make_layer_sums(systems: Systems, layers: Layers) -> LayerSums:
    """Add up the colour and the sealer layers of each system."""
    rows: list[Row] = []
    for number, begun in enumerate(systems.started, start=1):
        row: Row = {}
        for kind in KINDS if known(begun) else ():
            kind_no = LAYER_KINDS.index(kind) + 1.0
            own = [at for at, of in enumerate(layers.system_no) if of == number and layers.kind_no[at] == kind_no]
            lacks, taken = sum_known(layers.unrated[at] for at in own), math.fsum(layers.rate_known[at] for at in own)
            row |= {
                f"{kind}_layers": float(len(own)),
                f"{kind}_lacks": lacks,
                f"{kind}_coats": math.fsum(layers.coats_wasted[at] for at in own),
                f"{kind}_sum": taken,
                f"{kind}_rate": taken if own and lacks == 0 else MISSING,
            }
            if kind == "sealer":
                row["sealer_row"] = own[0] + 1.0 if own else 0.0
        rows.append(row)
    return table(LayerSums, rows)
