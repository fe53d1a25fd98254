"""Temperature: its scales, and how it changes a time."""

from __future__ import annotations

import math
from typing import Final

from sheetgen.engine.ranges import require_between

_ABSOLUTE_ZERO_F: Final = -459.67
_FREEZING_F: Final = 32.0
_F_PER_C: Final = 1.8


def celsius(temperature_f: float) -> float:
    """Convert a temperature.

    Parameters
    ----------
    temperature_f : float
        Temperature [°F].

    Returns
    -------
    float
        Temperature [°C].
    """
    return (temperature_f - _FREEZING_F) / _F_PER_C


def fahrenheit(temperature_c: float) -> float:
    """Convert a temperature.

    Parameters
    ----------
    temperature_c : float
        Temperature [°C].

    Returns
    -------
    float
        Temperature [°F].
    """
    return temperature_c * _F_PER_C + _FREEZING_F


def kelvin(temperature_f: float) -> float:
    """Convert a temperature.

    Parameters
    ----------
    temperature_f : float
        Temperature [°F].

    Returns
    -------
    float
        Absolute temperature [K].
    """
    return (temperature_f - _ABSOLUTE_ZERO_F) / _F_PER_C


def time_factor(temperature_f: float, reference_f: float, q_kelvin: float) -> float:
    """Compute by how much a time on the data sheet changes with temperature.

    Parameters
    ----------
    temperature_f : float
        Temperature of the mix or slab, above absolute zero [°F].
    reference_f : float
        Temperature that the data sheet gives the time for [°F].
    q_kelvin : float
        Activation energy over the gas constant [K].

    Returns
    -------
    float
        exp(Q (1/T - 1/T₀)): below 1 where it is warmer [-].

    Raises
    ------
    OutOfRangeError
        A temperature is below absolute zero.

    References
    ----------
    ASTM C1074, equivalent age: the same exponent, for the rate instead of the time.
    """
    require_between(_ABSOLUTE_ZERO_F + 1, math.inf, temperature_f=temperature_f, reference_f=reference_f)
    return math.exp(q_kelvin * (1 / kelvin(temperature_f) - 1 / kelvin(reference_f)))
