"""What a person typed into a cell becomes a number, a text or a date, or a problem in plain words; never an exception."""

from __future__ import annotations

import datetime as dt
import math
import re
import unicodedata
from typing import TYPE_CHECKING, Final

import attrs

from sheetgen.reader.serial import from_serial
from sheetgen.reader.typed_clock import read_clock
from sheetgen.reader.typed_date import read_date
from sheetgen.reader.typed_number import NotANumberError, read_number

if TYPE_CHECKING:
    from sheetgen.reader.raw import RawCell

MOST_TEXT: Final = 200
FIRST_DAY: Final = dt.date(2000, 1, 1)
LAST_DAY: Final = dt.date(2099, 12, 31)
# A share from here on is a percentage without its sign: nobody marks up by 200 % without saying so.
_PERCENT_FROM: Final = 2.0
_SHOWN: Final = 40
_INVISIBLE: Final = frozenset({"Cc", "Cf", "Cs", "Co", "Cn", "Zl", "Zp"})
_SPACES: Final = "\t\r\n\x0b\x0c\u2028\u2029"


@attrs.frozen
class Typed:
    """What was read from one cell.

    Parameters
    ----------
    value : float, str, datetime.date or None
        The value [unit of the field]; None where the cell is blank or there is a problem.
    note : str or None
        How it was read, where that is not plain.
    problem : str or None
        Why it cannot be read.
    mend : str
        What to type instead.
    """

    value: float | str | dt.date | None = None
    note: str | None = None
    problem: str | None = None
    mend: str = ""


def as_number(cell: RawCell, unit_symbol: str, *, share: bool = False, date1904: bool = False) -> Typed:
    """Read a cell that should hold a number.

    Parameters
    ----------
    cell : RawCell
        The cell.
    unit_symbol : str
        Symbol of the unit that the sheet shows for it; it may be typed behind the number.
    share : bool
        Whether it is a share, typed with or without a percent sign.
    date1904 : bool
        Whether the book counts days from 1904.

    Returns
    -------
    Typed
        A finite float [unit of the field], a share as a fraction; or None, or a problem.
    """
    if cell.kind == "blank":
        return Typed()
    if cell.kind == "number" and isinstance(cell.value, float):
        if cell.is_date:
            return _became_date(cell.value, share=share, date1904=date1904)
        return _number(cell.value, None, share=share)
    if cell.kind != "text":
        return _not_text(cell, "a number")
    text = _clean(str(cell.value))
    if not text:
        return Typed()
    if len(text) > MOST_TEXT:
        return Typed(problem=f"{len(text)} characters of text stand where a number should", mend="type the number alone")
    try:
        value = read_number(text, unit_symbol, share=share)
    except NotANumberError as error:
        return Typed(problem=error.problem, mend=error.mend)
    return _number(value, text, share=share)


def as_text(cell: RawCell, most: int = MOST_TEXT, *, date1904: bool = False) -> Typed:
    """Read a cell that should hold a text.

    Parameters
    ----------
    cell : RawCell
        The cell.
    most : int
        Most characters [count].
    date1904 : bool
        Whether the book counts days from 1904.

    Returns
    -------
    Typed
        Text without outer or doubled spaces and invisible characters; or None, or a problem.
    """
    if cell.kind == "blank":
        return Typed()
    if cell.kind == "number" and isinstance(cell.value, float):
        if cell.is_date:
            what = f"the text became the {_moment(cell.value, date1904=date1904)}"
            return Typed(problem=what, mend="format the cell as text and type it again")
        number = f"{cell.value:.15g}"
        return Typed(number, note=f"the number {number} is read as text")
    if cell.kind != "text":
        return _not_text(cell, "a text")
    raw = str(cell.value)
    text = _clean(raw)
    if len(text) > most:
        return Typed(problem=f"the text has {len(text):,} characters, {len(text) - most:,} over {most}", mend="shorten it")
    hidden = any(unicodedata.category(letter) in _INVISIBLE and letter not in _SPACES for letter in raw)
    return Typed(text or None, note="invisible characters were left out" if hidden else None)


def as_clock(cell: RawCell) -> Typed:
    """Read a cell that should hold a time of day.

    Parameters
    ----------
    cell : RawCell
        The cell.

    Returns
    -------
    Typed
        Fraction of a day, from 0 to below 1 [day]; or None, or a problem.
    """
    mend = "type a time of day like 7:30 or 14:00"
    if cell.kind == "blank":
        return Typed()
    if cell.kind == "number" and isinstance(cell.value, float):
        if math.isfinite(cell.value) and 0 <= cell.value < 1:
            return Typed(cell.value)
        return Typed(problem=f"{cell.value:.15g} is no time of day", mend=mend)
    if cell.kind != "text":
        return _not_text(cell, "a time of day")
    text = _clean(str(cell.value))
    if not text:
        return Typed()
    clock = read_clock(text)
    if clock is None:
        return Typed(problem=f"'{_short(text)}' is no time of day", mend=mend)
    return Typed(clock, note=f"the text '{_short(text)}' is read as a time of day")


def as_date(cell: RawCell, date1904: bool = False) -> Typed:  # noqa: FBT001, FBT002 - a property of the book, not a switch
    """Read a cell that should hold a day.

    Parameters
    ----------
    cell : RawCell
        The cell.
    date1904 : bool
        Whether the book counts days from 1904.

    Returns
    -------
    Typed
        A date from 2000 to 2099; or None, or a problem.
    """
    if cell.kind == "blank":
        return Typed()
    if cell.kind == "number" and isinstance(cell.value, float):
        moment = from_serial(cell.value, date1904=date1904) if math.isfinite(cell.value) else None
        if moment is None or not FIRST_DAY <= moment.date() <= LAST_DAY:
            shown = f"{cell.value:.15g}" if moment is None or not cell.is_date else moment.date().isoformat()
            return Typed(problem=f"{shown} is no day from 2000 to 2099", mend="type a date like 2026-03-31")
        note = None if cell.is_date else f"the number {cell.value:.15g} is read as {moment.date()}"
        return Typed(moment.date(), note=note)
    if cell.kind != "text":
        return _not_text(cell, "a date")
    text = _clean(str(cell.value))
    if not text:
        return Typed()
    day, problem = read_date(text)
    if day is None:
        return Typed(problem=problem or f"'{_short(text)}' is not a date", mend="type a date like 2026-03-31")
    if not FIRST_DAY <= day <= LAST_DAY:
        return Typed(problem=f"{day} is no day from 2000 to 2099", mend="type a date like 2026-03-31")
    return Typed(day, note=f"the text '{_short(text)}' is read as {day}")


def _number(value: float, text: str | None, *, share: bool) -> Typed:
    if not math.isfinite(value):
        return Typed(problem="the number is not finite", mend="type the number again")
    if share and abs(value) >= _PERCENT_FROM and not (text or "").endswith("%"):
        return Typed(problem=f"{value:.15g} looks like percent", mend=f"type {value:.15g} %")
    shown = f"{value:.15g}"
    return Typed(value, note=None if text is None else f"the text '{_short(text)}' is read as {shown}")


def _became_date(serial: float, *, share: bool, date1904: bool) -> Typed:
    moment = from_serial(serial, date1904=date1904) if math.isfinite(serial) and serial >= 1 else None
    fraction = f"; for {moment.month}/{moment.day} type {moment.month / moment.day:.6g}" if moment else ""
    mend = "format the cell as a number and type " + ("5 % or 0.05" if share else "a decimal such as 0.125") + fraction
    return Typed(problem=f"the number became the {_moment(serial, date1904=date1904)}", mend=mend)


def _moment(serial: float, *, date1904: bool) -> str:
    moment = from_serial(serial, date1904=date1904) if math.isfinite(serial) and serial >= 1 else None
    if moment is not None:
        return f"date {moment.date()}"
    hours, minutes = divmod(round(serial * 1440), 60) if math.isfinite(serial) and 0 <= serial < 1 else (0, 0)
    return f"time {hours:02d}:{minutes:02d}" if hours or minutes else f"date {serial:.15g}"


def _not_text(cell: RawCell, wanted: str) -> Typed:
    if cell.kind == "error":
        return Typed(problem=f"the cell holds the error {_short(str(cell.value))}", mend=f"type {wanted}")
    return Typed(problem=f"{str(cell.value).upper()} stands where {wanted} should", mend=f"type {wanted}")


def _clean(text: str) -> str:
    """Return a text without control and other invisible characters, every kind of space a single plain one."""
    plain = "".join(
        " " if letter in _SPACES else "" if unicodedata.category(letter) in _INVISIBLE else letter for letter in text
    )
    return re.sub(r"\s+", " ", plain).strip()


def _short(text: str) -> str:
    return text if len(text) <= _SHOWN else text[: _SHOWN - 1] + "…"
