"""Air, surface and wind: evaporation and dew point."""

from __future__ import annotations

import math
from typing import Final

from sheetgen.engine.missing import MISSING, known, larger, sixth
from sheetgen.engine.ranges import require_between
from sheetgen.engine.temperature import celsius, fahrenheit

# What may be typed of each; trade, survey: ranges are enforced.
AIR_F: Final = (20.0, 130.0)
HUMIDITY_PERCENT: Final = (1.0, 100.0)
WIND_MPH: Final = (0.0, 60.0)
SLAB_F: Final = (20.0, 160.0)
MIX_F: Final = (30.0, 130.0)

# From here on fresh concrete may crack as it dries; ACI 305R. Thin polymer mixes earlier: from memory.
ALARM_LB_PER_FT2_H: Final = 0.2
THIN_ALARM_LB_PER_FT2_H: Final = 0.1
# What is measured lies within ±40 % of the estimate; Hover 2020.
REAL_SHARES: Final = (0.6, 1.4)
LOW, HIGH_FOR_THIN, HIGH, CONDENSING = 1.0, 2.0, 3.0, 4.0

FINE, CLOSE = 1.0, 2.0

MAGNUS_SLOPE: Final = 17.625
MAGNUS_C: Final = 243.04

_PERCENT: Final = 100.0


def pressure_term(temperature_f: float) -> float:
    """Compute what stands for the vapour pressure at a temperature.

    Parameters
    ----------
    temperature_f : float
        Temperature, 20 to 160 [°F].

    Returns
    -------
    float
        T^2.5 [-].

    Raises
    ------
    OutOfRangeError
        The temperature is out of its range.
    """
    require_between(*SLAB_F, temperature_f=temperature_f)
    return math.pow(temperature_f, 2.5)


def wind_term(wind_mph: float) -> float:
    """Compute by how much wind speeds evaporation up.

    Parameters
    ----------
    wind_mph : float
        Wind at 20 in above the surface, 0 to 60 [mph].

    Returns
    -------
    float
        1 + 0.4 V [-].

    Raises
    ------
    OutOfRangeError
        The wind is out of its range.
    """
    require_between(*WIND_MPH, wind_mph=wind_mph)
    return 1 + 0.4 * wind_mph


def evaporation_signed_lb_per_ft2_h(concrete_f: float, air_f: float, humidity_percent: float, wind_mph: float) -> float:
    """Compute how fast water leaves a fresh surface, or gathers on it.

    Parameters
    ----------
    concrete_f : float
        Temperature of the mix, 20 to 160 [°F].
    air_f : float
        Temperature of the air, 20 to 130 [°F].
    humidity_percent : float
        Relative humidity of the air, 0 to 100 [%].
    wind_mph : float
        Wind at 20 in above the surface, 0 to 60 [mph].

    Returns
    -------
    float
        (Tc^2.5 - r·Ta^2.5)(1 + 0.4 V)·10⁻⁶, below 0 where water condenses [lb/ft²/h].

    Raises
    ------
    OutOfRangeError
        An argument is out of its range.

    Notes
    -----
    The mix may be as warm or cold as a slab can be, because a mix that is not measured is taken as the slab.

    References
    ----------
    P. J. Uno, "Plastic shrinkage cracking and evaporation formulas", ACI Materials Journal 95-M34 (1998), from
    Menzel and the chart of ACI 305R.
    """
    require_between(*AIR_F, air_f=air_f)
    require_between(0.0, _PERCENT, humidity_percent=humidity_percent)
    return (pressure_term(concrete_f) - humidity_percent / _PERCENT * pressure_term(air_f)) * wind_term(wind_mph) * 1e-6


def evaporation_lb_per_ft2_h(concrete_f: float, air_f: float, humidity_percent: float, wind_mph: float) -> float:
    """Compute how fast a fresh surface dries.

    Parameters
    ----------
    concrete_f : float
        Temperature of the mix, 20 to 160 [°F].
    air_f : float
        Temperature of the air, 20 to 130 [°F].
    humidity_percent : float
        Relative humidity of the air, 0 to 100 [%].
    wind_mph : float
        Wind at 20 in above the surface, 0 to 60 [mph].

    Returns
    -------
    float
        Rate, 0 where water condenses [lb/ft²/h].

    Raises
    ------
    OutOfRangeError
        An argument is out of its range.
    """
    return larger(0.0, evaporation_signed_lb_per_ft2_h(concrete_f, air_f, humidity_percent, wind_mph))


def evaporation_no(rate: float, thin_alarm: float, alarm: float, *, condensing: bool) -> float:
    """Tell what a rate of evaporation means.

    Parameters
    ----------
    rate : float
        Rate, perhaps missing, in one unit with the limits [lb/ft²/h].
    thin_alarm, alarm : float
        Where it is high for thin polymer mixes, and for all [lb/ft²/h].
    condensing : bool
        Whether the rate was below 0 before it was cut there.

    Returns
    -------
    float
        Place in the list of states [no].
    """
    if not known(rate):
        return MISSING
    if condensing:
        return CONDENSING
    if sixth(rate) >= sixth(alarm):
        return HIGH
    return HIGH_FOR_THIN if sixth(rate) >= sixth(thin_alarm) else LOW


def vapour_term(air_c: float, humidity_percent: float) -> float:
    """Compute the logarithm of the vapour pressure of the air, against that of saturated air at 0 °C.

    Parameters
    ----------
    air_c : float
        Temperature of the air [°C].
    humidity_percent : float
        Relative humidity, 1 to 100 [%].

    Returns
    -------
    float
        ln(r) + 17.625 T/(243.04 + T) [-].

    Raises
    ------
    OutOfRangeError
        The humidity is out of its range.

    Notes
    -----
    Magnus' form; the constants were fitted from -40 to 50 °C.

    References
    ----------
    O. A. Alduchov and R. E. Eskridge, "Improved Magnus form approximation of saturation vapor pressure",
    Journal of Applied Meteorology 35 (1996): 17.625 and 243.04 °C.
    """
    require_between(*HUMIDITY_PERCENT, humidity_percent=humidity_percent)
    return math.log(humidity_percent / _PERCENT) + MAGNUS_SLOPE * air_c / (MAGNUS_C + air_c)


def dew_point_f(air_f: float, humidity_percent: float) -> float:
    """Compute the temperature at which water gathers from the air.

    Parameters
    ----------
    air_f : float
        Temperature of the air, 20 to 130 [°F].
    humidity_percent : float
        Relative humidity, 1 to 100 [%].

    Returns
    -------
    float
        Dew point over water [°F].

    Raises
    ------
    OutOfRangeError
        An argument is out of its range.
    """
    require_between(*AIR_F, air_f=air_f)
    term = vapour_term(celsius(air_f), humidity_percent)
    return fahrenheit(MAGNUS_C * term / (MAGNUS_SLOPE - term))


def dew_no(gap: float, margin: float) -> float:
    """Tell whether a surface is warm enough above the dew point.

    Parameters
    ----------
    gap : float
        Surface above dew point, perhaps missing, in one unit with the margin [°F].
    margin : float
        Least that is wanted, perhaps missing [°F].

    Returns
    -------
    float
        Place in the list of states: fine or close [no].

    References
    ----------
    ISO 8502-4 and ASTM D3276: 3 °C; American texts say 5 °F. Check your edition.
    """
    if not known(gap + margin):
        return MISSING
    return CLOSE if sixth(gap) < sixth(margin) else FINE
