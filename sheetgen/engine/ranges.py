"""Ranges of validity, enforced where a sum begins."""

from __future__ import annotations


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
