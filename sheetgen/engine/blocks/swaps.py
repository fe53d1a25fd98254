"""Materials: what colours and sealers of the options take, in place of those of the systems."""
# ruff: noqa: RUF009 - figure() returns an attrs field, which is no default that records would share

from __future__ import annotations

import math
from typing import TYPE_CHECKING, ClassVar

import attrs

from sheetgen.engine.blocks.table import Row, table
from sheetgen.engine.lists import LAYER_KINDS
from sheetgen.engine.missing import MISSING, known, ratio
from sheetgen.engine.totals import Column, totals_by_number
from sheetgen.engine.values import figure

if TYPE_CHECKING:
    from sheetgen.engine.blocks.options import Options
    from sheetgen.engine.blocks.scope import Ground
    from sheetgen.engine.blocks.systems import Layers
    from sheetgen.engine.inputs import Job

_KINDS = ("colour", "sealer")


@attrs.frozen(kw_only=True)
class Swaps:
    """What the product of each option takes."""

    block: ClassVar[str] = "swaps"
    over: ClassVar[str | None] = "options"
    scenario: ClassVar[bool] = True

    colour_need: Column = figure("pack")
    sealer_need: Column = figure("pack")


def make_swaps(job: Job, options: Options, layers: Layers, ground: Ground) -> Swaps:
    """Compute what each option's own colour and sealer take: as many coats, and as much waste, as of what they replace."""
    needs = {kind: _needs(job, layers, ground, kind) for kind in _KINDS}
    rows: list[Row] = [
        {f"{kind}_need": needs[kind][row] for kind in _KINDS} if known(begun) else {} for row, begun in enumerate(options.started)
    ]
    return table(Swaps, rows)


def _needs(job: Job, layers: Layers, ground: Ground, kind: str) -> Column:
    """Return what each option takes of its product of one kind [pack]."""
    laid, option_nos = ground.laid, getattr(ground.laid, f"{kind}_option")
    amounts = []
    for area, system_no, number in zip(laid.area, laid.system_no, option_nos, strict=True):
        taken = 0.0 if number == 0 else MISSING
        if number > 0:
            taken = area * _rate(layers, system_no, kind, getattr(job.options[int(number) - 1], f"{kind}_coverage"))
        amounts.append(taken)
    return totals_by_number(amounts, ground.names.started, option_nos, len(job.options))


def _rate(layers: Layers, system_no: float, kind: str, coverage: float | None) -> float:
    """Return what an area takes of an option's product in place of a system's layers of one kind.

    Parameters
    ----------
    layers : Layers
        The layers of all systems.
    system_no : float
        System of the zone [no].
    kind : str
        Which layers.
    coverage : float or None
        Coverage of the option's product, None for the rate of the layers that it replaces [area/pack].

    Returns
    -------
    float
        Missing where neither a coverage nor a layer says how much [pack/area].
    """
    kind_no = LAYER_KINDS.index(kind) + 1.0
    own = [row for row, of in enumerate(layers.system_no) if of == system_no and layers.kind_no[row] == kind_no]
    coats = [layers.coats_used[row] * (1 + layers.waste_used[row]) for row in own]
    if coverage is not None:
        return ratio(math.fsum(coats) if own else 1.0, coverage)
    return math.fsum(layers.rate[row] * taken for row, taken in zip(own, coats, strict=True)) if own else MISSING
