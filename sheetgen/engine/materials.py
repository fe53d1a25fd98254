"""Quantities: from area and depth to mixed volume, bags, packages, and what they cost."""

from __future__ import annotations

from sheetgen.engine.missing import cents, larger, up
from sheetgen.engine.ranges import OutOfRangeError, require_above_zero, require_not_negative

INCHES_PER_FOOT = 12.0  # exact
MILS_PER_INCH = 1000.0  # exact
CUBIC_INCHES_PER_GALLON = 231.0  # exact; NIST Handbook 44, appendix C


def mixed_volume_ft3(area_ft2: float, depth_in: float, coats: float, fill_in: float, waste: float) -> float:
    """Compute the mixed topping that an area takes.

    Parameters
    ----------
    area_ft2 : float
        Area, 0 or more [ft²].
    depth_in : float
        Thickness of one coat [in].
    coats : float
        Coats [count].
    fill_in : float
        What profile and low spots take, as a depth, once [in].
    waste : float
        Share of what is needed that is lost [-].

    Returns
    -------
    float
        A (k t + f)(1 + waste) [ft³].

    Raises
    ------
    OutOfRangeError
        The area is below 0.

    Notes
    -----
    Trade, materials.
    """
    require_not_negative(area_ft2=area_ft2)
    return area_ft2 * (coats * depth_in + fill_in) / INCHES_PER_FOOT * (1 + waste)


def covered_area_ft2(volume_ft3: float, depth_in: float) -> float:
    """Compute the area that a volume covers at a depth.

    Parameters
    ----------
    volume_ft3 : float
        Volume [ft³].
    depth_in : float
        Depth, above 0 [in].

    Returns
    -------
    float
        Area [ft²].

    Raises
    ------
    OutOfRangeError
        The depth is 0 or less.
    """
    require_above_zero(depth_in=depth_in)
    return volume_ft3 / (depth_in / INCHES_PER_FOOT)


def film_coverage_ft2_per_gal(film_mil: float, solids: float = 1.0) -> float:
    """Compute the area that a gallon covers as a film.

    Parameters
    ----------
    film_mil : float
        Thickness of the film, thousandths of an inch, above 0 [mil].
    solids : float
        Share of the liquid that stays when it has dried; 1 for a wet film [-].

    Returns
    -------
    float
        Coverage [ft²/gal].

    Raises
    ------
    OutOfRangeError
        The film is 0 or less, or the share is not above 0 and at most 1.
    """
    require_above_zero(film_mil=film_mil)
    if not 0 < solids <= 1:
        raise OutOfRangeError("solids", solids, "above 0 and at most 1")
    square_inches = CUBIC_INCHES_PER_GALLON * solids / (film_mil / MILS_PER_INCH)
    return square_inches / INCHES_PER_FOOT**2


def wet_film_mil(coverage_ft2_per_gal: float) -> float:
    """Compute how thick a liquid stands at a coverage.

    Parameters
    ----------
    coverage_ft2_per_gal : float
        Coverage, above 0 [ft²/gal].

    Returns
    -------
    float
        Wet film, thousandths of an inch [mil].

    Raises
    ------
    OutOfRangeError
        The coverage is 0 or less.
    """
    require_above_zero(coverage_ft2_per_gal=coverage_ft2_per_gal)
    square_inches = coverage_ft2_per_gal * INCHES_PER_FOOT**2
    return CUBIC_INCHES_PER_GALLON / square_inches * MILS_PER_INCH


def bags_before_rounding(mixed_ft3: float, yield_ft3_per_bag: float) -> float:
    """Compute the bags that a mixed volume takes, not yet whole.

    Parameters
    ----------
    mixed_ft3 : float
        Mixed volume [ft³].
    yield_ft3_per_bag : float
        Mixed volume that a bag gives, above 0 [ft³/bag].

    Returns
    -------
    float
        mixed / yield [bag].

    Raises
    ------
    OutOfRangeError
        The yield is 0 or less.
    """
    require_above_zero(yield_ft3_per_bag=yield_ft3_per_bag)
    return mixed_ft3 / yield_ft3_per_bag


def whole_bags(bags: float) -> float:
    """Round bags up to whole ones.

    Parameters
    ----------
    bags : float
        Bags before rounding [bag].

    Returns
    -------
    float
        Whole bags: exactly 24.0 stays 24 [bag].
    """
    return up(bags)


def primed_area_ft2(area_ft2: float, coats: float, porosity_factor: float = 1.0) -> float:
    """Compute the area that the coats of a layer cover, an open slab counting for more.

    Parameters
    ----------
    area_ft2 : float
        Area of the zone [ft²].
    coats : float
        Coats [count].
    porosity_factor : float
        How much the first coat takes against a dense slab; for the first primer coat only [-].

    Returns
    -------
    float
        area · (coats + factor - 1) [ft²].

    Notes
    -----
    Trade, materials: the first primer coat is multiplied by the porosity factor of the zone.
    """
    return area_ft2 * (coats + porosity_factor - 1)


def need_of_basis(quantity: float, dose_per_basis: float, waste: float) -> float:
    """Compute what a layer or a line needs of its product.

    Parameters
    ----------
    quantity : float
        How much of the basis there is [basis].
    dose_per_basis : float
        Product per unit of the basis [unit/basis].
    waste : float
        Share that is lost [-].

    Returns
    -------
    float
        quantity · dose · (1 + waste), in the product's own size unit [unit].
    """
    return quantity * dose_per_basis * (1 + waste)


def whole_packages(need: float, size: float) -> float:
    """Compute the packages that hold what a product needs.

    Parameters
    ----------
    need : float
        Need of the whole job [unit].
    size : float
        Size of a package, above 0 [unit/package].

    Returns
    -------
    float
        Whole packages [package].

    Raises
    ------
    OutOfRangeError
        The size is 0 or less.
    """
    require_above_zero(size=size)
    return up(need / size)


def packages_cost(packages: float, price: float) -> float:
    """Compute what packages cost, those on hand included.

    Parameters
    ----------
    packages : float
        Whole packages [package].
    price : float
        Price of one [money/package].

    Returns
    -------
    float
        Cost to the cent [money].
    """
    return cents(packages * price)


def packages_to_buy(need: float, size: float, on_hand: float) -> float:
    """Compute the packages that are still to be bought: cash, not cost.

    Parameters
    ----------
    need : float
        Need of the whole job [unit].
    size : float
        Size of a package, above 0 [unit/package].
    on_hand : float
        Packages in stock, perhaps a part of one [package].

    Returns
    -------
    float
        max(0, up(need/size - on hand)) [package].

    Raises
    ------
    OutOfRangeError
        The size is 0 or less.
    """
    require_above_zero(size=size)
    return larger(0.0, up(need / size - on_hand))
