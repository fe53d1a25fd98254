"""Centre and spread that a few odd rows cannot carry away: Huber's proposal 2."""

from __future__ import annotations

import math
from typing import Final

import attrs
import numpy as np

from sheetgen.engine.tuning.groups import Groups
from sheetgen.engine.tuning.past import Floats

# Beyond so many spreads a row counts no more than one that lies there; trade, rates from past jobs.
BEND: Final = 1.5
_MAD_TO_SPREAD: Final = 1.482602218505602
_PRECISION: Final = 1e-9
_MOST_STEPS: Final = 200


def _drawn_variance(bend: float) -> float:
    """Return the variance of a normal number that is drawn in to so many spreads [-]."""
    inside = math.erf(bend / math.sqrt(2))
    return inside + bend**2 * (1 - inside) - 2 * bend * math.exp(-(bend**2) / 2) / math.sqrt(2 * math.pi)


# What drawing in costs in the variance of the centre, for normal rows.
LOSS: Final = _drawn_variance(BEND) / math.erf(BEND / math.sqrt(2)) ** 2


@attrs.frozen(eq=False)
class Centres:
    """Centre and spread of each group.

    Parameters
    ----------
    size : array of float
        How many rows; with weights, how many equal ones would tell as much [count].
    centre : array of float
        Missing where there is no row [unit of the rows].
    spread : array of float
        Missing where there are fewer than two rows [unit of the rows].
    """

    size: Floats
    centre: Floats
    spread: Floats


def huber(rows: Floats, groups: Groups, weight: Floats | None = None, bend: float = BEND) -> Centres:
    """Compute the centre and spread of each group by Huber's proposal 2.

    Parameters
    ----------
    rows : array of float
        A number for each row [-].
    groups : Groups
        Which rows belong together.
    weight : array of float, optional
        How much each row counts; all alike unless given [-].
    bend : float
        Spreads from the centre to which rows are drawn in; far out, it gives mean and standard deviation [-].

    Returns
    -------
    Centres
        Size, centre and spread of each group.

    Notes
    -----
    Rows are drawn in to k spreads from the centre; the centre is their mean, and the spread is that of a normal number
    whose rows, drawn in alike, vary as much (divisor n - 1). Where half the rows are equal it begins with their standard
    deviation instead of the median deviation. It ends where a step moves nothing by more than a billionth of a spread, or
    after 200 steps.

    References
    ----------
    P. J. Huber, Robust Statistics, 1981, section 6.4; Venables & Ripley, Modern Applied Statistics with S, section 5.5.
    """
    weight = np.ones_like(rows) if weight is None else weight
    drawn_variance = _drawn_variance(bend)
    of_row = groups.of_row
    together = groups.sum(weight)
    with np.errstate(divide="ignore", invalid="ignore"):
        size = together**2 / groups.sum(weight**2)
        size[together == 0] = 0.0
        mean = groups.sum(weight * rows) / together
        # Weighted variance with divisor n - 1 where n is the size above.
        scale = size / (size - 1) / together
        plain = np.sqrt(groups.sum(weight * (rows - mean[of_row]) ** 2) * scale)
        centre = groups.median(rows)
        spread = groups.median(np.abs(rows - centre[of_row])) * _MAD_TO_SPREAD
        spread = np.where(spread > _PRECISION * plain, spread, plain)
        # Where rounding is all that the rows differ by, they do not.
        same = ~(plain > 1e-12 * (1 + np.abs(mean)))
        centre, spread = np.where(same, mean, centre), np.where(same, 0.0, spread)
        for _ in range(_MOST_STEPS):
            reach = bend * spread
            drawn = np.clip(rows, (centre - reach)[of_row], (centre + reach)[of_row])
            before = centre, spread
            centre = groups.sum(weight * drawn) / together
            spread = np.sqrt(groups.sum(weight * (drawn - centre[of_row]) ** 2) * scale / drawn_variance)
            centre, spread = np.where(same, mean, centre), np.where(same, 0.0, spread)
            moved = np.maximum(np.abs(centre - before[0]), np.abs(spread - before[1]))
            if not (moved > _PRECISION * spread).any():
                break
    spread[~(size > 1)] = np.nan
    return Centres(size, centre, spread)
