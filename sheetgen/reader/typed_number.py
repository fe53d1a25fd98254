"""A number as people type it: separators of two continents, fractions, currency, percent, units."""

from __future__ import annotations

import re
import unicodedata
from typing import Final

from sheetgen.reader.typed_unit import offered, same_unit

_DOLLAR: Final = "$"
# Primes and curly quotes mean inches and feet; typed dashes and slashes of other alphabets mean the plain ones.
_ALIKE: Final = str.maketrans(
    {
        "\u2033": '"', "\u201d": '"', "\u2032": "'", "\u2019": "'", "\u2212": "-", "\u2013": "-", "\u2044": "/",
    }
)  # fmt: skip
_PARTS: Final = re.compile(
    r"(?P<sign>[-+]?) ?(?P<dollar>\$?) ?(?P<inner>-?)"
    r"(?P<number>\d+(?:[ -]\d+)? ?/ ?\d+|[.,]\d+|\d(?:[\d.,' ]*\d)?[.,]?)"
    r" ?(?P<unit>[^\d\s].*)?"
)
_FEET_AND_INCHES: Final = re.compile(
    r"(?P<feet>\d+(?:[.,]\d+)?) ?(?:'|ft\.?|feet|foot) ?-? ?"
    r"(?P<inches>\d+(?:[.,]\d+)?(?:[ -]\d+ ?/ ?\d+)?|\d+ ?/ ?\d+) ?(?:\"|''|in\.?|inch(?:es)?)",
    re.IGNORECASE,
)
_FRACTION: Final = re.compile(r"(?:(\d+)[ -])?(\d+) ?/ ?(\d+)")
_GROUPED: Final = (
    (re.compile(r"\d{1,3}(?:[ ']\d{3})+(?:[.,]\d*)?"), " '"),
    (re.compile(r"\d{1,3}(?:,\d{3})+\.\d*"), ","),
    (re.compile(r"\d{1,3}(?:,\d{3}){2,}"), ","),
    (re.compile(r"\d{1,3}(?:\.\d{3})+,\d*"), "."),
    (re.compile(r"\d{1,3}(?:\.\d{3}){2,}"), "."),
)
_UNGROUPED: Final = re.compile(r"\d*[.,]?\d*")
_AMBIGUOUS: Final = re.compile(r"[1-9]\d{0,2},\d{3}")
_SHOWN: Final = 40


class NotANumberError(ValueError):
    """Raised for a text that is no number; says why and what to type."""

    def __init__(self, problem: str, mend: str) -> None:
        self.problem = problem
        self.mend = mend
        super().__init__(problem)


def read_number(text: str, unit_symbol: str, *, share: bool = False) -> float:
    """Read a number from a text.

    Parameters
    ----------
    text : str
        What was typed, spaces single.
    unit_symbol : str
        The one unit symbol that may stand behind the number.
    share : bool
        Whether a percent sign divides by 100.

    Returns
    -------
    float
        The number [unit of the symbol; a share as a fraction].

    Raises
    ------
    NotANumberError
        It is no number, it can be read in two ways, or it has another unit.
    """
    shown = text if len(text) <= _SHOWN else text[: _SHOWN - 1] + "…"
    symbol = _spelt(unit_symbol)
    if symbol == "ft" and (both := _FEET_AND_INCHES.fullmatch(_spelt(text))):
        return _decimal(both["feet"], shown) + read_number(both["inches"], "in") / 12
    found = _PARTS.fullmatch(_spelt(text))
    if found is None:
        raise NotANumberError(f"'{shown}' is not a number", "type the number alone")
    unit = (found["unit"] or "").strip()
    if found["dollar"]:
        if not symbol.startswith(_DOLLAR):
            expected = unit_symbol or "a plain number"
            raise NotANumberError(f"'{shown}' is an amount of money; {expected} is expected", "type the number alone")
        symbol = symbol.removeprefix(_DOLLAR)
    percent = share and same_unit(unit, "%")
    wrong = bool(unit) and not percent and not same_unit(unit, symbol)
    number = found["number"]
    if _AMBIGUOUS.fullmatch(number) and not found["dollar"] and not wrong:
        whole, _, rest = number.partition(",")
        either = f"{whole}{rest}", f"{whole}.{rest}"
        raise NotANumberError(f"'{shown}' can be read as {either[0]} or as {either[1]}", f"type {either[0]} or {either[1]}")
    if found["sign"] and found["inner"]:
        raise NotANumberError(f"'{shown}' has two signs", "type the number alone")
    value = _fraction(number, shown) if "/" in number else _decimal(number, shown)
    if "-" in {found["sign"], found["inner"]}:
        value = -value
    if wrong:
        expected = f"the unit here is {unit_symbol}" if unit_symbol else "no unit is expected here"
        same = offered(value, unit, symbol)
        mend = "convert it and type the number alone" if same is None else f"type {same:.6g}"
        raise NotANumberError(f"'{shown}' has the unit {unit[:_SHOWN]}; {expected}", mend)
    return value / 100 if percent else value


def _spelt(text: str) -> str:
    """Return a text with plain letters: quotes, dashes and fractions of one character, raised digits."""
    letters = []
    for letter in text.translate(_ALIKE):
        fraction = unicodedata.normalize("NFKC", letter)
        letters.append(f" {fraction}" if "\u2044" in fraction else fraction)
    return re.sub(r"\s+", " ", "".join(letters).translate(_ALIKE)).strip()


def _fraction(text: str, shown: str) -> float:
    found = _FRACTION.fullmatch(text)
    if found is None or not int(found[3]):
        raise NotANumberError(f"'{shown}' divides by zero", "type the number as a decimal")
    whole, upper, lower = (int(part or 0) for part in found.groups())
    try:
        return whole + upper / lower
    except OverflowError as error:
        raise NotANumberError(f"'{shown}' is too large", "type the number as a decimal") from error


def _decimal(text: str, shown: str) -> float:
    for form, marks in _GROUPED:
        if form.fullmatch(text):
            plain = text.translate(dict.fromkeys(map(ord, marks)))
            return float(plain.replace(",", "."))
    single = re.fullmatch(r"\d{1,3},\d{3}", text)
    if single and not text.startswith("0"):
        return float(text.replace(",", ""))  # an amount of money: with the dollar goes the comma of thousands
    if not _UNGROUPED.fullmatch(text):
        raise NotANumberError(f"'{shown}' is not a number", "type the number without separators, such as 1250.5")
    return float(text.replace(",", "."))
