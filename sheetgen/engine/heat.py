"""How hot the air feels: the heat index of the National Weather Service and its bands.

Two forms: a simple one for mild days, Rothfusz' regression from 80 °F on, less in very dry air and more in very
moist air.
"""

from __future__ import annotations

import math
from typing import Final

from sheetgen.engine.climate import AIR_F, HUMIDITY_PERCENT
from sheetgen.engine.missing import MISSING, known, sixth
from sheetgen.engine.ranges import require_between

# Where the bands begin: caution, extreme caution, danger, extreme danger; NWS.
HEAT_BANDS_F: Final = (80.0, 90.0, 105.0, 130.0)
EXTREME_CAUTION: Final = 3.0
_REGRESSION_FROM_F: Final = 80.0


def simple_heat_f(air_f: float, humidity_percent: float) -> float:
    """Compute the simple form.

    Parameters
    ----------
    air_f : float
        Temperature of the air [°F].
    humidity_percent : float
        Relative humidity [%].

    Returns
    -------
    float
        ½(T + 61 + 1.2(T - 68) + 0.094 RH) [°F].

    References
    ----------
    NWS Weather Prediction Center, "The Heat Index Equation" (read).
    """
    return 0.5 * (air_f + 61.0 + (air_f - 68.0) * 1.2 + humidity_percent * 0.094)


def mean_heat_f(air_f: float, humidity_percent: float) -> float:
    """Compute the simple form averaged with the temperature, which tells whether the regression holds.

    Parameters
    ----------
    air_f : float
        Temperature of the air [°F].
    humidity_percent : float
        Relative humidity [%].

    Returns
    -------
    float
        Mean of both [°F].
    """
    return (simple_heat_f(air_f, humidity_percent) + air_f) / 2


def regression_f(air_f: float, humidity_percent: float) -> float:
    """Compute Rothfusz' regression.

    Parameters
    ----------
    air_f : float
        Temperature of the air [°F].
    humidity_percent : float
        Relative humidity [%].

    Returns
    -------
    float
        Heat index before it is adjusted [°F].

    References
    ----------
    L. P. Rothfusz, NWS Technical Attachment SR 90-23 (1990).
    """
    t, rh = air_f, humidity_percent
    return (
        -42.379
        + 2.04901523 * t
        + 10.14333127 * rh
        - 0.22475541 * t * rh
        - 0.00683783 * t**2
        - 0.05481717 * rh**2
        + 0.00122874 * t**2 * rh
        + 0.00085282 * t * rh**2
        - 0.00000199 * t**2 * rh**2
    )


def dry_part(humidity_percent: float) -> float:
    """Compute how far below 13 % the air is, in steps of 4 %.

    Parameters
    ----------
    humidity_percent : float
        Relative humidity [%].

    Returns
    -------
    float
        (13 - RH)/4 [-].
    """
    return (13 - humidity_percent) / 4


def dry_root(air_f: float) -> float:
    """Compute how much of the dry adjustment holds at a temperature.

    Parameters
    ----------
    air_f : float
        Temperature of the air [°F].

    Returns
    -------
    float
        √((17 - |T - 95|)/17), 0 beyond 78 and 112 °F [-].
    """
    return math.sqrt(max(0.0, 17 - abs(air_f - 95)) / 17) if known(air_f) else MISSING


def dry_adjustment_f(air_f: float, humidity_percent: float) -> float:
    """Compute what very dry air takes off the regression.

    Parameters
    ----------
    air_f : float
        Temperature of the air [°F].
    humidity_percent : float
        Relative humidity [%].

    Returns
    -------
    float
        Dry part · dry root below 13 % and from 80 to 112 °F, else 0 [°F].
    """
    if not known(air_f + humidity_percent):
        return MISSING
    holds = sixth(humidity_percent) < 13 and _REGRESSION_FROM_F <= sixth(air_f) <= 112
    return dry_part(humidity_percent) * dry_root(air_f) if holds else 0.0


def damp_part(air_f: float, humidity_percent: float) -> float:
    """Compute how far the air is above 85 %, in tenths, times how far below 87 °F, in steps of 5 °F.

    Parameters
    ----------
    air_f : float
        Temperature of the air [°F].
    humidity_percent : float
        Relative humidity [%].

    Returns
    -------
    float
        (RH - 85)/10 · (87 - T)/5 [°F].
    """
    return (humidity_percent - 85) / 10 * (87 - air_f) / 5


def damp_adjustment_f(air_f: float, humidity_percent: float) -> float:
    """Compute what very moist air adds to the regression.

    Parameters
    ----------
    air_f : float
        Temperature of the air [°F].
    humidity_percent : float
        Relative humidity [%].

    Returns
    -------
    float
        Damp part above 85 % and from 80 to 87 °F, else 0 [°F].
    """
    if not known(air_f + humidity_percent):
        return MISSING
    holds = sixth(humidity_percent) > 85 and _REGRESSION_FROM_F <= sixth(air_f) <= 87
    return damp_part(air_f, humidity_percent) if holds else 0.0


def heat_index_f(air_f: float, humidity_percent: float) -> float:
    """Compute how hot the air feels in the shade.

    Parameters
    ----------
    air_f : float
        Temperature of the air, 20 to 130 [°F].
    humidity_percent : float
        Relative humidity, 1 to 100 [%].

    Returns
    -------
    float
        Heat index [°F].

    Raises
    ------
    OutOfRangeError
        An argument is out of its range.

    References
    ----------
    NWS Weather Prediction Center, "The Heat Index Equation" (read).
    """
    require_between(*AIR_F, air_f=air_f)
    require_between(*HUMIDITY_PERCENT, humidity_percent=humidity_percent)
    mean = mean_heat_f(air_f, humidity_percent)
    if sixth(mean) < _REGRESSION_FROM_F:
        return mean
    adjustment = damp_adjustment_f(air_f, humidity_percent) - dry_adjustment_f(air_f, humidity_percent)
    return regression_f(air_f, humidity_percent) + adjustment


def heat_no(heat_index: float, bands: tuple[float, ...] = HEAT_BANDS_F) -> float:
    """Tell the band that a heat index lies in.

    Parameters
    ----------
    heat_index : float
        Heat index, perhaps missing, in one unit with the bands [°F].
    bands : tuple of float
        Where each begins [°F].

    Returns
    -------
    float
        Place in the list of bands, 1 below the first [no].

    References
    ----------
    NWS, heat index chart: 80, 90, 105 and 130 °F.
    """
    if not known(heat_index):
        return MISSING
    return 1.0 + sum(sixth(heat_index) >= sixth(begins) for begins in bands)
