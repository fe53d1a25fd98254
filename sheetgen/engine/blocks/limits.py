"""The range of thickness that a data sheet allows, compared as the sheet shows it."""

from __future__ import annotations

from typing import TYPE_CHECKING

from sheetgen.engine.blocks.table import flag
from sheetgen.engine.missing import MISSING, known, sixth

if TYPE_CHECKING:
    from sheetgen.engine.inputs import Display


def too_thin(depth_in: float, least_in: float | None, display: Display) -> float:
    """Tell whether a depth is below its limit.

    Parameters
    ----------
    depth_in : float
        Depth, perhaps missing [in].
    least_in : float or None
        Limit; none given does not limit [in].
    display : Display
        How the sheet shows both.

    Returns
    -------
    float
        1 where it is, else 0; missing where there is a limit but no depth [count].
    """
    if least_in is None:
        return 0.0
    return flag(holds=_shown(depth_in, display) < _shown(least_in, display)) if known(depth_in) else MISSING


def too_thick(depth_in: float, most_in: float | None, display: Display) -> float:
    """Tell whether a depth is above its limit.

    Parameters
    ----------
    depth_in : float
        Depth, perhaps missing [in].
    most_in : float or None
        Limit; none given does not limit [in].
    display : Display
        How the sheet shows both.

    Returns
    -------
    float
        1 where it is, else 0; missing where there is a limit but no depth [count].
    """
    if most_in is None:
        return 0.0
    return flag(holds=_shown(depth_in, display) > _shown(most_in, display)) if known(depth_in) else MISSING


def _shown(depth_in: float, display: Display) -> float:
    return sixth(display(depth_in, "depth"))
