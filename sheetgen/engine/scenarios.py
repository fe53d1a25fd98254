"""The scenarios of a bid: which options each of them takes, and what it turns up or down."""

from __future__ import annotations

from typing import Final

import attrs

from sheetgen.engine.missing import larger
from sheetgen.engine.values import SCENARIOS

OPTIONS: Final = 6  # as many as have a scenario of their own


@attrs.frozen(kw_only=True)
class Scenario:
    """One way the job may come out.

    Parameters
    ----------
    alone : float
        Number of the option that is taken alone, 0 for none [no].
    takes_accepted : bool
        Whether the accepted options are taken.
    waste, difficulty, thickness : int
        -1 where it is turned down by its step, +1 where up, 0 where it is as bid.
    """

    alone: float = 0.0
    takes_accepted: bool = False
    waste: int = 0
    difficulty: int = 0
    thickness: int = 0


_WHAT_IFS: Final = {
    f"{name}_{end}": Scenario(takes_accepted=True, **{name: sign})
    for name in ("waste", "difficulty", "thickness")
    for end, sign in (("low", -1), ("high", 1))
}
BY_NAME: Final[dict[str, Scenario]] = {
    "as_bid": Scenario(),
    "accepted": Scenario(takes_accepted=True),
    **{f"option_{number}": Scenario(alone=float(number)) for number in range(1, OPTIONS + 1)},
    **_WHAT_IFS,
}
assert tuple(BY_NAME) == SCENARIOS


def moved_waste(waste: float, sign: int, step: float) -> float:
    """Move the waste by a step, never below none.

    Parameters
    ----------
    waste, step : float
        Share of what is needed that is lost, and by how much it may be off [-].
    sign : int
        -1, 0 or +1.

    Returns
    -------
    float
        max(0, waste + sign · step); as it is without a sign, whatever the step [-].

    Notes
    -----
    Trade, price: scenarios.
    """
    return larger(0.0, waste + sign * step) if sign else waste


def moved_factor(factor: float, sign: int, step: float) -> float:
    """Move a factor by a share of itself.

    Parameters
    ----------
    factor, step : float
        Factor, and by which share of it it may be off [-].
    sign : int
        -1, 0 or +1.

    Returns
    -------
    float
        factor · (1 + sign · step); as it is without a sign, whatever the step [-].

    Notes
    -----
    Trade, price: scenarios.
    """
    return factor * (1 + sign * step) if sign else factor
