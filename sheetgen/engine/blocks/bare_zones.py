"""Takeoff: the zones whose system has no colour or no sealer that an option could take the place of."""
# ruff: noqa: RUF009 - figure() returns an attrs field, which is no default that records would share

from __future__ import annotations

from typing import TYPE_CHECKING, ClassVar

import attrs

from sheetgen.engine.blocks.options import KINDS
from sheetgen.engine.blocks.table import flag
from sheetgen.engine.missing import MISSING, known
from sheetgen.engine.totals import Column, at
from sheetgen.engine.values import figure

if TYPE_CHECKING:
    from sheetgen.engine.blocks.layer_sums import LayerSums
    from sheetgen.engine.blocks.zones import ZoneNames


@attrs.frozen(kw_only=True)
class BareZones:
    """Whether the system typed for a zone has no layer of a kind."""

    block: ClassVar[str] = "zones"
    over: ClassVar[str | None] = "zones"
    scenario: ClassVar[bool] = False

    colourless: Column = figure("count")
    sealerless: Column = figure("count")


def make_bare_zones(names: ZoneNames, sums: LayerSums) -> BareZones:
    """Find the zones without a colour and those without a sealer; a zone whose system is not known is neither."""
    columns, zones = {}, list(zip(names.started, names.typed_system_no, strict=True))
    for kind in KINDS:
        layers = sums.of(kind, "layers")
        columns[f"{kind}less"] = tuple(flag(holds=at(layers, system_no) == 0) if known(begun) else MISSING for begun, system_no in zones)
    return BareZones(**columns)
