"""How wide a text is in a cell, and how wide a column."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING, Final

from sheetgen.reader.formats import is_date_format

if TYPE_CHECKING:
    from sheetgen.check.look import Look
    from sheetgen.reader.raw import RawSheet

# Widths count digits of the book's normal font (Calibri 11: 7 pixels); a column keeps 5 pixels for itself.
_DEFAULT: Final = 9.14
_PADDING: Final = 5 / 7
# Fonts differ a little from program to program; this much over is not worth a word.
_LEEWAY: Final = 0.4
_NORMAL_SIZE: Final = 11.0
_BOLD: Final = 1.05
_NARROW: Final = dict.fromkeys("iljtfrI.,:;'|!()[]-/ \u00a0\"", 0.6)
_WIDE: Final = dict.fromkeys("mwMW@%&QOGD", 1.3)
_PIECES: Final = {**_NARROW, **_WIDE}
_CAPITAL: Final = 1.12
_QUOTED: Final = re.compile(r'"([^"]*)"|\\(.)|\[[^\]]*\]|_(.)|\*.')
_LONG_NAMES: Final = (
    ("mmmm", "September"), ("dddd", "Wednesday"), ("mmm", "Sep"), ("ddd", "Wed"), ("AM/PM", "PM"), ("[h]", "9999"),
)  # fmt: skip


def column_widths(sheet: RawSheet) -> dict[int, float]:
    """Return the width of each column that has its own, and the common one under 0 [digits of the normal font]."""
    common = sheet.root.find("{*}sheetFormatPr")
    widths = {0: _DEFAULT}
    if common is not None and common.get("defaultColWidth"):
        widths[0] = float(common.get("defaultColWidth"))
    last = max((column for _, column in sheet.cells), default=0)
    for line in sheet.root.iterfind("{*}cols/{*}col"):
        if line.get("width"):
            columns = range(int(line.get("min")), min(int(line.get("max")), last) + 1)
            widths.update(dict.fromkeys(columns, float(line.get("width"))))
    return widths


def room(width: float) -> float:
    """Return how much text a column takes [digits of the normal font].

    Parameters
    ----------
    width : float
        Its width as the file writes it [digits of the normal font].
    """
    return width - _PADDING + _LEEWAY


def text_width(text: str, look: Look) -> float:
    """Return how wide a text is [digits of the normal font]."""
    width = sum(_PIECES.get(letter) or (_CAPITAL if letter.isupper() else 0.97) for letter in text)
    return width * look.size / _NORMAL_SIZE * (_BOLD if look.bold else 1.0)


def number_text(value: float, code: str) -> str:
    """Return a number about as its format shows it, for its width.

    Parameters
    ----------
    value : float
        What the cell holds [unit of the cell].
    code : str
        Number format.
    """
    sections = code.split(";")
    chosen = 1 if value < 0 and len(sections) > 1 else 0
    section = sections[chosen]
    if is_date_format(code):
        for letters, name in _LONG_NAMES:
            section = section.replace(letters, name)
        return _QUOTED.sub(lambda found: found[1] or found[2] or "", section)
    literals = "".join(first or second or third for first, second, third in _QUOTED.findall(section))
    bare = _QUOTED.sub("", section)
    size = abs(value)
    sign = "-" if value < 0 and not chosen else ""
    if "general" in bare.casefold() or bare == "@":
        return f"{sign}{size:.0f}"
    if "E+" in bare or "E-" in bare:
        return sign + literals + bare
    if "/" in bare:
        return f"{sign}{int(size)} {bare.partition('/')[0].count('?') * '0'}/{bare.partition('/')[2]}{literals}"
    if "%" in bare:
        size *= 100
    whole, _, decimals = bare.partition(".")
    fixed, most = decimals.count("0"), len(re.findall(r"[0#?]", decimals))
    number = f"{size:,.{most}f}" if "," in whole else f"{size:.{most}f}"
    for _ in range(most - fixed):
        number = number.removesuffix("0")
    return sign + re.sub(r"[0#?,.]+", "", bare) + literals + number + ("." if most and number[-1:] not in "0123456789" else "")
