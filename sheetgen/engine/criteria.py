"""Which criterion applies where, whether it stops the work, and how many tests it takes."""

from __future__ import annotations

from typing import Final

import attrs

from sheetgen.engine.lists import CRITERIA, PLACES, SURFACES

_ALL: Final = frozenset(SURFACES)
_FLOOR: Final = frozenset({"floor"})
_EVERYWHERE: Final = frozenset(PLACES)
_INSIDE: Final = frozenset({"inside"})


@attrs.frozen(kw_only=True)
class Criterion:
    """What a slab is judged by.

    Parameters
    ----------
    surfaces, places : frozenset of str
        Where it applies.
    stops : bool
        Whether a failure forbids covering; any other may be repaired.
    only_if_read : bool
        Whether it applies only where someone made the test.
    first_count : float
        Tests for the first part of an area [count].
    first_area_ft2, more_area_ft2 : float
        Size of the first part, and what needs one test more; 0 where the size does not matter [ft²].
    """

    surfaces: frozenset[str] = _ALL
    places: frozenset[str] = _EVERYWHERE
    stops: bool = False
    only_if_read: bool = False
    first_count: float = 1.0
    first_area_ft2: float = 0.0
    more_area_ft2: float = 0.0


# Those that stop the work come first, so that the first that fails is the worst.
RULES: Final[dict[str, Criterion]] = {
    # ASTM F2170.
    "humidity": Criterion(surfaces=_FLOOR, places=_INSIDE, stops=True, first_count=3, first_area_ft2=1000, more_area_ft2=1000),
    # ASTM F1869.
    "mver": Criterion(surfaces=_FLOOR, places=_INSIDE, stops=True, first_count=3, first_area_ft2=1000, more_area_ft2=1000),
    # ASTM D4263; the count is from memory.
    "plastic_sheet": Criterion(
        surfaces=_FLOOR, places=_INSIDE, stops=True, only_if_read=True, first_area_ft2=500, more_area_ft2=500
    ),
    # ICRI 210.3R, from memory.
    "strength": Criterion(stops=True, first_count=3, first_area_ft2=5000, more_area_ft2=5000),
    "ph": Criterion(surfaces=_FLOOR, places=_INSIDE),
    # ASTM F3191.
    "absorption": Criterion(surfaces=frozenset({"floor", "step"}), first_count=3, first_area_ft2=2000, more_area_ft2=3000),
    "profile": Criterion(),
    "hollow": Criterion(),
    "cracks": Criterion(),
    "contamination": Criterion(),
    "age": Criterion(),
    "temperature": Criterion(),
    "dew": Criterion(),
    "level": Criterion(surfaces=_FLOOR),
}
assert tuple(RULES) == CRITERIA
