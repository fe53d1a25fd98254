"""What a data sheet says, and whether it can be true."""

from __future__ import annotations

from typing import Final

from sheetgen.engine.ranges import require_above_zero

# A litre of water is taken as a kilogram: 8.345404 lb/gal.
WATER_LB_PER_QT: Final = 3.785411784 / 4 / 0.45359237
# Fresh mortar weighs no less and no more; trade, materials.
DENSITY_LEAST_LB_PER_FT3: Final = 90.0
DENSITY_MOST_LB_PER_FT3: Final = 160.0
# A data sheet older than three years may have been replaced; common practice, no source.
STALE_DAYS: Final = 1095


def mixed_density_lb_per_ft3(bag_mass_lb: float, water_qt: float, yield_ft3_per_bag: float) -> float:
    """Compute the density of the mix that a data sheet describes.

    Parameters
    ----------
    bag_mass_lb : float
        Mass of a bag [lb].
    water_qt : float
        Water for a bag [qt].
    yield_ft3_per_bag : float
        Mixed volume that a bag gives, above 0 [ft³/bag].

    Returns
    -------
    float
        (bag + water) / yield [lb/ft³].

    Raises
    ------
    OutOfRangeError
        The yield is 0 or less.

    Notes
    -----
    Trade, materials: outside 90 to 160 lb/ft³, check yield and water.
    """
    require_above_zero(yield_ft3_per_bag=yield_ft3_per_bag)
    return (bag_mass_lb + water_qt * WATER_LB_PER_QT) / yield_ft3_per_bag
