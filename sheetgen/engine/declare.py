"""Declares the inputs of a record: what may be typed, its unit, and the value that a new book shows."""

from __future__ import annotations

import datetime as dt
import math
import numbers
from typing import Any

import attrs

from sheetgen.engine.lists import LISTS


def _finite(x: Any) -> float | None:
    if x is None:
        return None
    if isinstance(x, bool) or not isinstance(x, numbers.Real):
        raise TypeError(f"a number is wanted, not {x!r}")
    if not math.isfinite(x):
        raise ValueError(f"a number must be finite, not {x!r}")
    return float(x)


def _text(x: Any) -> str | None:
    if x is not None and not isinstance(x, str):
        raise TypeError(f"text is wanted, not {x!r}")
    return x or None


def number(unit: str, default: float | None = None, blank: float | None = None) -> Any:
    """Declare a number.

    Parameters
    ----------
    unit : str
        Unit expression.
    default : float, optional
        Starter value [unit of the expression].
    blank : float, optional
        How many of a row's basis a blank stands for [basis].

    Returns
    -------
    attribute
        For a record class.
    """
    metadata = {"kind": "input", "unit": unit, "optional": default is None, "blank": blank}
    return attrs.field(default=default, converter=_finite, metadata=metadata)


def text(*, optional: bool = True) -> Any:
    """Declare a text."""
    metadata = {"kind": "input", "unit": "text", "optional": optional}
    return attrs.field(default=None, converter=_text, metadata=metadata)


def day() -> Any:
    """Declare a date."""
    check = attrs.validators.optional(attrs.validators.instance_of(dt.date))
    metadata = {"kind": "input", "unit": "date", "optional": True}
    return attrs.field(default=None, validator=check, metadata=metadata)


def choice(of: str, default: str | None = None) -> Any:
    """Declare a choice: a code of a list, or a name such as those of `zones.name`."""
    unit = "code" if of in LISTS else "text"
    metadata = {"kind": "choice", "unit": unit, "optional": default is None, "choices": of}
    return attrs.field(default=default, converter=_text, metadata=metadata)
