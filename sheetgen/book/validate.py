"""The validation of an input cell: what may be typed, said before and after."""

from __future__ import annotations

import datetime as dt
from typing import Any, Final

from sheetgen import units
from sheetgen.book.plan import Plan
from sheetgen.book.template import Field

MOST_TEXT: Final = 200
MOST_NUMBER: Final = 1_000_000_000.0
FIRST_DAY: Final = dt.date(2000, 1, 1)
LAST_DAY: Final = dt.date(2099, 12, 31)
LAST_MINUTE: Final = dt.time(23, 59)
_TITLE, _MESSAGE = 32, 255


def bounds(field: Field, plan: Plan) -> tuple[float, float]:
    """Return the least and most that a number cell takes, in the units of the book.

    Parameters
    ----------
    field : Field
        An input that holds a number.
    plan : Plan
        The plan of the book.

    Returns
    -------
    least, most : float
        Bounds, both allowed [unit of the field].
    """
    least = field.least.get(plan.system, 0.0)
    most = field.most.get(plan.system, 1.0 if field.unit == "share" else MOST_NUMBER)
    return float(least), float(most)


def rule(field: Field, plan: Plan, first: str) -> dict[str, Any]:
    """Return the validation of an input, as XlsxWriter takes it.

    Parameters
    ----------
    field : Field
        The input.
    plan : Plan
        The plan of the book.
    first : str
        Its first cell, such as ``C7``.

    Returns
    -------
    dict
        The rule and what it says.
    """
    title = field.label.replace("\n", " ")[:_TITLE]
    said = {
        "input_title": title,
        "input_message": field.message[:_MESSAGE],
        "error_title": title,
        "error_type": "stop",
        "ignore_blank": True,
    }
    if field.kind == "choice":
        return {
            **said,
            "validate": "list",
            "source": f"={plan.defined('list_' + field.choices.replace('.', '_'))}",
            "error_message": "Choose from the list.",
        }
    if field.unit == "text":
        return {
            **said,
            "validate": "length",
            "criteria": "<=",
            "value": MOST_TEXT,
            "error_message": f"At most {MOST_TEXT} characters.",
        }
    if field.unit == "date":
        return {
            **said,
            "validate": "date",
            "criteria": "between",
            "minimum": FIRST_DAY,
            "maximum": LAST_DAY,
            "error_message": f"A date from {FIRST_DAY} to {LAST_DAY}.",
        }
    if field.unit == "clock":
        return {
            **said,
            "validate": "time",
            "criteria": "between",
            "minimum": dt.time(0, 0),
            "maximum": LAST_MINUTE,
            "error_message": "A time of day, such as 7:30 or 14:00.",
        }
    least, most = bounds(field, plan)
    symbol = units.symbol(field.unit, plan.system)
    in_percent = f"{least * 100:g} % to {most * 100:g} %"
    said_bounds = in_percent if field.unit == "share" else f"{least:g} to {most:,.10g} {symbol}".strip()
    if field.no_limit:
        word = plan.book.words["no_limit"]
        return {
            **said,
            "validate": "custom",
            "value": f'=OR(AND(ISNUMBER({first}),{first}>={least!r},{first}<={most!r}),{first}="{word}")',
            "error_message": f"A number, {said_bounds}, or the words: {word}.",
        }
    return {
        **said,
        "validate": "decimal",
        "criteria": "between",
        "minimum": least,
        "maximum": most,
        "error_message": f"A number, {said_bounds}.",
    }
