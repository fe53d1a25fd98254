"""Variances: actual less estimate, so that positive is unfavourable for cost and hours, everywhere."""

from __future__ import annotations

from sheetgen.engine.materials import INCHES_PER_FOOT
from sheetgen.engine.missing import cents, ratio
from sheetgen.engine.ranges import require_above_zero


def price_variance(paid: float, bought: float, price: float) -> float:
    """Compute what was paid beyond the price of the bid, on what was bought.

    Parameters
    ----------
    paid : float
        Amount paid [money].
    bought : float
        Packages bought [package].
    price : float
        Price of the bid [money/package].

    Returns
    -------
    float
        paid - bought · price, to the cent [money].

    References
    ----------
    OpenStax, Principles of Accounting, vol. 2, chapter 8: direct materials price variance.
    """
    return cents(paid - bought * price)


def quantity_variance(used: float, needed: float, price: float) -> float:
    """Compute what was used beyond the need for the work done, at the price of the bid.

    Parameters
    ----------
    used : float
        Packages used [package].
    needed : float
        Packages that the work done needs, not rounded [package].
    price : float
        Price of the bid [money/package].

    Returns
    -------
    float
        (used - needed) · price, to the cent [money].

    References
    ----------
    OpenStax, Principles of Accounting, vol. 2, chapter 8: direct materials quantity variance.
    """
    return cents((used - needed) * price)


def rate_variance(hours_h: float, wage_money_per_h: float, planned_money_per_h: float, burden: float = 0.0) -> float:
    """Compute what hours cost beyond the planned wage, with the taxes and insurance that follow it.

    Parameters
    ----------
    hours_h : float
        Hours worked [h].
    wage_money_per_h : float
        Wage paid [money/h].
    planned_money_per_h : float
        Wage of the bid [money/h].
    burden : float
        Payroll taxes, compensation and liability, as shares of the wage [-].

    Returns
    -------
    float
        hours · (paid - planned) · (1 + burden), to the cent [money].

    References
    ----------
    OpenStax, Principles of Accounting, vol. 2, chapter 8: direct labor rate variance.
    """
    return cents(hours_h * (wage_money_per_h - planned_money_per_h) * (1 + burden))


def efficiency_variance(hours_h: float, allowed_h: float, loaded_money_per_h: float) -> float:
    """Compute what hours beyond those allowed for the work done cost.

    Parameters
    ----------
    hours_h : float
        Hours worked [h].
    allowed_h : float
        Hours that the bid allows for the work done [h].
    loaded_money_per_h : float
        Loaded wage of the bid [money/h].

    Returns
    -------
    float
        (hours - allowed) · loaded wage, to the cent [money].

    References
    ----------
    OpenStax, Principles of Accounting, vol. 2, chapter 8: direct labor time variance.
    """
    return cents((hours_h - allowed_h) * loaded_money_per_h)


def depth_used_in(bags: float, yield_ft3_per_bag: float, area_ft2: float) -> float:
    """Compute the depth that the topping used would stand at over the area done.

    Parameters
    ----------
    bags : float
        Bags used [bag].
    yield_ft3_per_bag : float
        Mixed volume that a bag gives [ft³/bag].
    area_ft2 : float
        Area done, above 0 [ft²].

    Returns
    -------
    float
        used · yield / area [in].

    Raises
    ------
    OutOfRangeError
        The area is 0 or less.
    """
    require_above_zero(area_ft2=area_ft2)
    return bags * yield_ft3_per_bag / area_ft2 * INCHES_PER_FOOT


def planned_depth_in(depth_in: float, coats: float, fill_in: float, waste: float) -> float:
    """Compute the depth that the bid allows, waste included.

    Parameters
    ----------
    depth_in : float
        Thickness of one coat [in].
    coats : float
        Coats [count].
    fill_in : float
        Fill allowance [in].
    waste : float
        Share lost [-].

    Returns
    -------
    float
        (k t + f)(1 + waste) [in].
    """
    return (coats * depth_in + fill_in) * (1 + waste)


def average_thickness_in(used_in: float, coats: float, fill_in: float, waste: float) -> float:
    """Compute the average thickness laid, with waste as bid.

    Parameters
    ----------
    used_in : float
        Depth used, from `depth_used_in` [in].
    coats : float
        Coats, above 0 [count].
    fill_in : float
        Fill allowance [in].
    waste : float
        Share lost, as bid [-].

    Returns
    -------
    float
        (used / (1 + waste) - f) / k, missing where all is waste [in].

    Raises
    ------
    OutOfRangeError
        No coats.

    Notes
    -----
    Trade, logs and comparison: the number that explains a bag overrun.
    """
    require_above_zero(coats=coats)
    return (ratio(used_in, 1 + waste) - fill_in) / coats
