"""A day as people type it: by the ISO standard, the American way, or with the month in letters."""

from __future__ import annotations

import datetime as dt
import re
from typing import Final

_MONTHS: Final = ("jan", "feb", "mar", "apr", "may", "jun", "jul", "aug", "sep", "oct", "nov", "dec")
_FULL: Final = (
    "january", "february", "march", "april", "may", "june", "july", "august", "september", "october", "november", "december",
)  # fmt: skip
_NAMES: Final = {
    name: number
    for number, short in enumerate(_MONTHS, 1)
    for name in (short, _FULL[number - 1], "sept" if short == "sep" else short)
}
_ISO: Final = re.compile(r"(\d{4})[-/.](\d{1,2})[-/.](\d{1,2})(?:[T ].*)?", re.ASCII)
_NUMBERS: Final = re.compile(r"(\d{1,2}) ?[-/.] ?(\d{1,2}) ?[-/.] ?(\d{4}|\d{2})", re.ASCII)
_MONTH_FIRST: Final = re.compile(r"([A-Za-z]{3,9})\.? (\d{1,2})(?:st|nd|rd|th)?,? (\d{4})", re.ASCII)
_DAY_FIRST: Final = re.compile(r"(\d{1,2})[ -]([A-Za-z]{3,9})\.?[ ,-]{1,2}(\d{4})", re.ASCII)
_MONTHS_IN_YEAR: Final = 12


def read_date(text: str) -> tuple[dt.date | None, str]:
    """Read a day from a text.

    Parameters
    ----------
    text : str
        What was typed, spaces single.

    Returns
    -------
    day : datetime.date or None
        None where it is no day or can be read in two ways.
    problem : str
        Why it is none, where there is more to say.
    """
    if found := _ISO.fullmatch(text):
        return _day(int(found[1]), int(found[2]), int(found[3]))
    if found := _MONTH_FIRST.fullmatch(text):
        return _day(int(found[3]), _NAMES.get(found[1].casefold(), 0), int(found[2]))
    if found := _DAY_FIRST.fullmatch(text):
        return _day(int(found[3]), _NAMES.get(found[2].casefold(), 0), int(found[1]))
    found = _NUMBERS.fullmatch(text)
    if found is None:
        return None, ""
    first, second, year = int(found[1]), int(found[2]), found[3]
    if len(year) < 4:
        return None, f"the year of '{text}' has two digits"
    if first <= _MONTHS_IN_YEAR and second <= _MONTHS_IN_YEAR and first != second:
        return None, f"'{text}' can be read as {year}-{first:02d}-{second:02d} or as {year}-{second:02d}-{first:02d}"
    month, day = (first, second) if first <= _MONTHS_IN_YEAR else (second, first)
    return _day(int(year), month, day)


def _day(year: int, month: int, day: int) -> tuple[dt.date | None, str]:
    try:
        return dt.date(year, month, day), ""
    except ValueError:
        return None, "there is no such day"
