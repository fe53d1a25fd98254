"""Numbers that are written for a reader: sizes as fractions, no needless zeros, prices of options with their sign."""

from __future__ import annotations

from typing import Final

import attrs

from sheetgen.book.style import number_format
from sheetgen.book.template import Field
from sheetgen.units import System

# Eighths have one digit above and below the line, thirty-seconds up to two; other sizes stay decimals.
_EIGHTHS: Final = "# ?/?"
_THIRTY_SECONDS: Final = "# ??/??"
_PLACES: Final = 6


@attrs.frozen
class Case:
    """A number format for those numbers that are whole once they are multiplied.

    Parameters
    ----------
    times : float
        Multiplier [number].
    form : str
        Number format.
    """

    times: float
    form: str


def plain_form(field: Field) -> str:
    """Return the number format of a field where no case applies."""
    form = number_format(field.unit, field.name)
    # Quoted: the sign that is as wide as a plus, not the hyphen.
    return f'+{form};"−"{form};{form}' if field.form == "signed" else form


def cases(field: Field, system: System) -> tuple[Case, ...]:
    """Return the cases of a field, the first that applies counts.

    Parameters
    ----------
    field : Field
        A field; one without a form has no cases.
    system : {'us', 'metric'}
        Units of the book: millimetres are no fractions.
    """
    if field.form == "short":
        return (Case(100.0, "0%"),) if field.unit == "share" else (Case(1.0, "#,##0"),)
    if field.form == "fraction" and (system == "us" or field.unit == "inch"):
        return (Case(1.0, "0"), Case(8.0, _EIGHTHS), Case(32.0, _THIRTY_SECONDS))
    return (Case(1.0, "0"),) if field.form == "fraction" else ()


def form_of(field: Field, system: System, value: object) -> str:
    """Return the number format of one value of a field."""
    if isinstance(value, float):
        for case in cases(field, system):
            times = round(value * case.times, _PLACES)
            if times == int(times):
                return case.form
    return plain_form(field)


def condition(case: Case, cell: str) -> str:
    """Return the formula that says whether a case applies to the number in a cell; it fails, and so does not, for words."""
    times = f"ROUND({cell}*{case.times:g},{_PLACES})"
    return f"={times}=INT({times})"
