"""Declares the inputs of a record: what may be typed, its unit, and the value that a new book shows."""

from __future__ import annotations

import datetime as dt
import math
import numbers
from typing import Any, Final

import attrs

from sheetgen.engine.lists import LISTS

# What stands in a job where a data sheet says "no limit".
NO_LIMIT: Final = math.inf


def _finite(x: Any) -> float | None:
    if x is None:
        return None
    if isinstance(x, bool) or not isinstance(x, numbers.Real):
        raise TypeError(f"a number is wanted, not {x!r}")
    if not math.isfinite(x):
        raise ValueError(f"a number must be finite, not {x!r}")
    return float(x)


def _finite_or_no_limit(x: Any) -> float | None:
    return x if x == NO_LIMIT else _finite(x)


def _text(x: Any) -> str | None:
    if x is not None and not isinstance(x, str):
        raise TypeError(f"text is wanted, not {x!r}")
    return x if x and x.strip(" ") else None  # spaces alone are a blank cell, as in every formula


def number(unit: str, default: float | None = None, blank: float | None = None, *, no_limit: bool = False) -> Any:
    """Declare a number.

    Parameters
    ----------
    unit : str
        Unit expression.
    default : float, optional
        Starter value [unit of the expression].
    blank : float, optional
        How many of a row's basis a blank stands for [basis].
    no_limit : bool
        Whether it may also be said that there is no limit.

    Returns
    -------
    attribute
        For a record class.
    """
    metadata = {"kind": "input", "unit": unit, "optional": default is None, "blank": blank, "no_limit": no_limit}
    return attrs.field(default=default, converter=_finite_or_no_limit if no_limit else _finite, metadata=metadata)


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
