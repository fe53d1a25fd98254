"""The range of thickness that a data sheet allows, compared as the sheet shows it."""

from __future__ import annotations

from typing import TYPE_CHECKING

from sheetgen.engine.blocks.table import flag
from sheetgen.engine.missing import MISSING, known, sixth

if TYPE_CHECKING:
    from sheetgen.engine.inputs import Display


def too_thin(depth_in: float, least_in: float | None, display: Display) -> float:
    """Return 1 where a depth is below its limit; 0 where there is none, missing where no depth is known [count]."""
    if least_in is None:
        return 0.0
    return flag(holds=_shown(depth_in, display) < _shown(least_in, display)) if known(depth_in) else MISSING


def too_thick(depth_in: float, most_in: float | None, display: Display) -> float:
    """Return 1 where a depth is above its limit; 0 where there is none, missing where no depth is known [count]."""
    if most_in is None:
        return 0.0
    return flag(holds=_shown(depth_in, display) > _shown(most_in, display)) if known(depth_in) else MISSING


def _shown(depth_in: float, display: Display) -> float:
    return sixth(display(depth_in, "depth"))
