"""The survey of a slab: how many tests, what a reading says, and the verdict."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING, Final

from sheetgen.engine.missing import MISSING, known, sixth, up
from sheetgen.engine.ranges import require_above_zero

if TYPE_CHECKING:
    from collections.abc import Sequence

GRAMS_PER_POUND: Final = 453.59237  # exact; NIST SP 811, appendix B
HOURS_PER_DAY: Final = 24.0
MVER_AREA_FT2: Final = 1000.0
# A dish less its rim; ASTM F1869. The gross area of 0.486 ft² reads a twelfth too low.
DISH_AREA_FT2: Final = 0.44486
EXPOSURE_LEAST_H: Final = 60.0
EXPOSURE_MOST_H: Final = 72.0

# What a criterion comes to, by number.
PASS: Final = 1.0
FAIL: Final = 2.0
NOT_TESTED: Final = 3.0
ACCEPTED: Final = 4.0
DOES_NOT_APPLY: Final = 5.0

# Verdicts, worst first.
DO_NOT_COVER: Final = 1.0
AFTER_REPAIR: Final = 2.0
NOT_KNOWN: Final = 3.0
READY: Final = 4.0


def tests_needed(area_ft2: float, first_count: float, first_area_ft2: float, more_area_ft2: float) -> float:
    """Count the tests that an area needs.

    Parameters
    ----------
    area_ft2 : float
        Area of the slab, perhaps missing [ft²].
    first_count : float
        Tests for the first part of it [count].
    first_area_ft2 : float
        Size of the first part [ft²].
    more_area_ft2 : float
        What needs one test more, or a part of it; 0 where the size does not matter [ft²].

    Returns
    -------
    float
        first + up((area - first area) / more area), the first alone where no area is known [count].

    References
    ----------
    ASTM F2170, F1869 and F3191, number of tests; check your edition.
    """
    if more_area_ft2 == 0 or not known(area_ft2):
        return first_count
    return first_count + up(max(0.0, area_ft2 - first_area_ft2) / more_area_ft2)


def probe_depth_in(slab_thickness_in: float, share: float) -> float:
    """Compute how deep the humidity probe sits.

    Parameters
    ----------
    slab_thickness_in : float
        Thickness of the slab [in].
    share : float
        0.4 for a slab that dries from one side, 0.2 from two [-].

    Returns
    -------
    float
        Depth of the hole [in].

    References
    ----------
    ASTM F2170, depth of holes; check your edition.
    """
    return slab_thickness_in * share


def vapour_emission(grams: float, hours: float, dish_area_ft2: float = DISH_AREA_FT2) -> float:
    """Compute the moisture vapour emission rate (MVER) from what a dish of calcium chloride gained.

    Parameters
    ----------
    grams : float
        Gain of the dish [g].
    hours : float
        Exposure, above 0 [h].
    dish_area_ft2 : float
        Slab under the dome less the rim of the dish, above 0 [ft²].

    Returns
    -------
    float
        mass / (area · time) [lb/1000 ft²/24 h].

    Raises
    ------
    OutOfRangeError
        Exposure or area is 0 or less.

    References
    ----------
    ASTM F1869, calculation; check your edition.
    """
    require_above_zero(hours=hours, dish_area_ft2=dish_area_ft2)
    pounds = grams / GRAMS_PER_POUND
    return pounds / (dish_area_ft2 / MVER_AREA_FT2) / (hours / HOURS_PER_DAY)


def exposure_counts(hours: float) -> bool:
    """Tell whether a dish stood long enough, and not too long.

    Parameters
    ----------
    hours : float
        Exposure, perhaps missing [h].

    Returns
    -------
    bool
        Whether it is 60 to 72 hours, to 6 places.

    References
    ----------
    ASTM F1869, exposure; check your edition.
    """
    return EXPOSURE_LEAST_H <= sixth(hours) <= EXPOSURE_MOST_H


def strengths_by_mode(strengths: Sequence[float], mode_nos: Sequence[float], modes: int) -> tuple[tuple[float, ...], ...]:
    """Group pull-off strengths by mode of failure.

    Parameters
    ----------
    strengths : sequence of float
        Readings in one unit [psi].
    mode_nos : sequence of float
        How each failed, from 1 [no].
    modes : int
        How many modes there are [count].

    Returns
    -------
    tuple of tuple of float
        The readings of each mode [psi].

    References
    ----------
    ASTM C1583, report: only readings of one mode of failure are averaged; check your edition.
    """
    groups: list[list[float]] = [[] for _ in range(modes)]
    for strength, mode_no in zip(strengths, mode_nos, strict=True):
        groups[int(mode_no) - 1].append(strength)
    return tuple(map(tuple, groups))


def mean_strength(strengths: Sequence[float]) -> float:
    """Average the strengths of one mode of failure.

    Parameters
    ----------
    strengths : sequence of float
        Readings of one mode [psi].

    Returns
    -------
    float
        Mean, missing where there is no reading [psi].
    """
    return math.fsum(strengths) / len(strengths) if strengths else MISSING


def state_no(*, applies: float, have: float, needed: float, bad: float, accepted: bool) -> float:
    """Tell what a criterion comes to.

    Parameters
    ----------
    applies : float
        1 where it applies to the zone, else 0, perhaps missing [count].
    have, needed : float
        Readings that count, and how many it takes [count].
    bad : float
        How many of them say no; one is enough to fail [count].
    accepted : bool
        Whether someone accepts the slab without this test, with a reason.

    Returns
    -------
    float
        Place in the list of states [no].

    Notes
    -----
    Trade, survey. Two readings of three are not tested, unless one of them fails. What fails cannot be
    accepted without test: it has been tested.
    """
    if not known(applies):
        return MISSING
    if applies == 0:
        return DOES_NOT_APPLY
    if bad > 0:
        return FAIL
    if have >= needed:
        return PASS
    return ACCEPTED if accepted else NOT_TESTED


def verdict_no(*, stopping: float, failing: float, untested: float) -> float:
    """Tell the verdict of a zone, worst first.

    Parameters
    ----------
    stopping : float
        Criteria that fail and stop the work, perhaps missing: moisture and strength [count].
    failing : float
        Criteria that fail, those among them [count].
    untested : float
        Criteria that are not tested [count].

    Returns
    -------
    float
        Place in the list of verdicts [no].

    Notes
    -----
    Trade, survey.
    """
    if not known(stopping + failing + untested):
        return MISSING
    if stopping > 0:
        return DO_NOT_COVER
    if failing > 0:
        return AFTER_REPAIR
    return NOT_KNOWN if untested > 0 else READY
