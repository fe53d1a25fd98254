"""Dates as spreadsheets count them: days since 1900, with its missing leap day, or since 1904."""

from __future__ import annotations

import datetime as dt
from typing import Final

_BEFORE_1900: Final = dt.datetime(1899, 12, 30)  # noqa: DTZ001 - sheets know no time zone
_START_1904: Final = dt.datetime(1904, 1, 1)  # noqa: DTZ001 - sheets know no time zone
_NO_SUCH_DAY: Final = 60  # 29 February 1900, kept by every program for the sake of Lotus 1-2-3
DAYS_BEFORE_1904: Final = 1_462  # by which a serial is smaller where days count from 1904
_END: Final = 2_958_466.0  # 1 January 10000


def to_serial(moment: dt.datetime, *, date1904: bool = False) -> float:
    """Return the number that a sheet stores for a moment.

    Parameters
    ----------
    moment : datetime.datetime
        Without time zone.
    date1904 : bool
        Whether the book counts from 1904.

    Returns
    -------
    float
        Serial [day].
    """
    days = (moment - (_START_1904 if date1904 else _BEFORE_1900)) / dt.timedelta(days=1)
    return days if date1904 or days > _NO_SUCH_DAY else days - 1


def from_serial(serial: float, *, date1904: bool = False) -> dt.datetime | None:
    """Return the moment that a serial stands for, to the second.

    Parameters
    ----------
    serial : float
        What the sheet stores [day].
    date1904 : bool
        Whether the book counts from 1904.

    Returns
    -------
    datetime.datetime or None
        None where no date belongs to the number: below the first day, past the year 9999, or
        29 February 1900, which never was.
    """
    if date1904:
        first, start = 0.0, _START_1904
    else:
        if _NO_SUCH_DAY <= serial < _NO_SUCH_DAY + 1:
            return None
        first, start = 1.0, _BEFORE_1900
        if serial < _NO_SUCH_DAY:
            start += dt.timedelta(days=1)
    if not first <= serial < _END:
        return None
    seconds = round(serial * 86_400)
    last = (_END - (DAYS_BEFORE_1904 if date1904 else 0)) * 86_400
    return start + dt.timedelta(seconds=seconds) if seconds < last else None


def shown_clock(fraction: float) -> str:
    """Return a time of day as people write it.

    Parameters
    ----------
    fraction : float
        Part of a day [day].
    """
    minutes, seconds = divmod(round(fraction * 86_400), 60)
    return f"{minutes // 60}:{minutes % 60:02d}" + (f":{seconds:02d}" if seconds else "")
