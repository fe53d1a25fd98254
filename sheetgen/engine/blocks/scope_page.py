"""Proposal: what the customer reads of each zone: its system, colour and sealer, as the accepted options have it."""
# ruff: noqa: RUF009 - figure() returns an attrs field, which is no default that records would share

from __future__ import annotations

from typing import TYPE_CHECKING, ClassVar

import attrs

from sheetgen.engine.blocks.options import KINDS
from sheetgen.engine.blocks.table import Row, flag, table
from sheetgen.engine.missing import MISSING, known
from sheetgen.engine.totals import Column, at
from sheetgen.engine.values import figure

if TYPE_CHECKING:
    from sheetgen.engine.blocks.laid import Laid
    from sheetgen.engine.blocks.options import Options
    from sheetgen.engine.blocks.systems import Layers


@attrs.frozen(kw_only=True)
class ZoneScope:
    """What each zone is given."""

    block: ClassVar[str] = "scope"
    over: ClassVar[str | None] = "zones"
    scenario: ClassVar[bool] = False

    system_no: Column = figure("no")
    more_coats: Column = figure("count")
    colour_row: Column = figure("no")
    sealer_row: Column = figure("no")
    layer_colour: Column = figure("no")
    layer_sealer: Column = figure("no")
    colour_no: Column = figure("no")
    sealer_no: Column = figure("no")


def make_zone_scope(laid: Laid, layers: Layers, options: Options, first_rows: dict[str, Column]) -> ZoneScope:
    """Look up what each zone is coloured and sealed with.

    Parameters
    ----------
    laid, layers, options
        The zones as accepted, and where products are named.
    first_rows : dict of str to tuple of float
        First layer of colour and of sealer of each system, 0 for none [no].
    """
    rows: list[Row] = []
    for row, system_no in enumerate(laid.system_no):
        coats = laid.coats[row]
        found: Row = {"system_no": system_no, "more_coats": flag(holds=coats > 1) if known(coats) else MISSING}
        for kind in KINDS if known(system_no) else ():
            layer_row = at(first_rows[kind], system_no)
            of_layer = at(layers.product_no, layer_row)
            option = getattr(laid, f"{kind}_option")[row]
            found |= {
                f"{kind}_row": layer_row,
                f"layer_{kind}": of_layer,
                f"{kind}_no": at(getattr(options, f"{kind}_no"), option) if option > 0 else of_layer,
            }
        rows.append(found)
    return table(ZoneScope, rows)
