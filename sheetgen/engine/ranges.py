"""Ranges of validity, enforced where a sum begins."""

from __future__ import annotations

# What a sheet takes for noise when it compares, in either system of units.
_NOISE = 1e-5


class OutOfRangeError(ValueError):
    """Raised where an argument lies outside the range in which a sum holds."""

    def __init__(self, name: str, value: float, allowed: str) -> None:
        self.name = name
        self.value = value
        self.allowed = allowed
        super().__init__(f"{name} must be {allowed}, not {value!r}")


# A missing number (NaN) passes every check below: what follows from it is missing.


def require_above_zero(**arguments: float) -> None:
    """Raise unless each argument is above 0."""
    for name, value in arguments.items():
        if value <= 0:
            raise OutOfRangeError(name, value, "above 0")


def require_not_negative(**arguments: float) -> None:
    """Raise unless each argument is 0 or more."""
    for name, value in arguments.items():
        if value < 0:
            raise OutOfRangeError(name, value, "0 or more")


def require_between(least: float, most: float, **arguments: float) -> None:
    """Raise unless each argument lies between two limits or on one, but for noise."""
    for name, value in arguments.items():
        if value < least - _NOISE or value > most + _NOISE:
            raise OutOfRangeError(name, value, f"{least:g} to {most:g}")
