"""The clock of a job: minutes since midnight before its first day, and the day and clock time they stand for."""

from __future__ import annotations

import datetime as dt
from typing import Final

from sheetgen.engine.missing import sixth

MINUTES_PER_DAY: Final = 1440.0
_DATES_FROM: Final = dt.date(1899, 12, 30)


def job_minute(day_no: float, clock: float) -> float:
    """Return the minute of the job at which a day's clock shows a time.

    Parameters
    ----------
    day_no : float
        Day of the job, from 1, perhaps missing [count].
    clock : float
        Time as a fraction of a day, perhaps missing [clock].

    Returns
    -------
    float
        Minute of the job, to 6 places [min].
    """
    return sixth((day_no - 1) * MINUTES_PER_DAY + clock * MINUTES_PER_DAY)


def day_of(minute: float) -> float:
    """Return the day of the job that a minute of it lies in: the evening before day 1 is day 0.

    Parameters
    ----------
    minute : float
        Minute of the job, perhaps missing [min].

    Returns
    -------
    float
        Day of the job [count].
    """
    return sixth(minute / MINUTES_PER_DAY) // 1 + 1


def clock_of(minute: float) -> float:
    """Return the time that the clock shows at a minute of the job.

    Parameters
    ----------
    minute : float
        Minute of the job, perhaps missing [min].

    Returns
    -------
    float
        Time as a fraction of a day [clock].
    """
    return minute % MINUTES_PER_DAY / MINUTES_PER_DAY


def serial(date: dt.date) -> float:
    """Return a date as a spreadsheet counts it.

    Parameters
    ----------
    date : date
        Any date from March 1900 on.

    Returns
    -------
    float
        Days since the last but one day of 1899 [day].
    """
    return float((date - _DATES_FROM).days)
