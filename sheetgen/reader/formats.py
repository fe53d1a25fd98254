"""The part of a book's styles that reading needs: number formats, dates, and what is locked."""

from __future__ import annotations

import re
from typing import Any, Final

import attrs

from sheetgen.reader.package import local

# Formats that have a number only; 27-36 and 50-58 are East Asian dates.
_BUILT_IN: Final[dict[int, str]] = {
    0: "General",
    1: "0",
    2: "0.00",
    3: "#,##0",
    4: "#,##0.00",
    9: "0%",
    10: "0.00%",
    11: "0.00E+00",
    12: "# ?/?",
    13: "# ??/??",
    14: "mm-dd-yy",
    15: "d-mmm-yy",
    16: "d-mmm",
    17: "mmm-yy",
    18: "h:mm AM/PM",
    19: "h:mm:ss AM/PM",
    20: "h:mm",
    21: "h:mm:ss",
    22: "m/d/yy h:mm",
    37: "#,##0 ;(#,##0)",
    38: "#,##0 ;[Red](#,##0)",
    39: "#,##0.00;(#,##0.00)",
    40: "#,##0.00;[Red](#,##0.00)",
    45: "mm:ss",
    46: "[h]:mm:ss",
    47: "mmss.0",
    48: "##0.0E+0",
    49: "@",
    **dict.fromkeys([*range(27, 37), *range(50, 59)], "yyyy/m/d"),
}
# What is not a date letter: quoted and escaped characters, fill and padding, and brackets other than
# elapsed hours, minutes and seconds.
_DECORATION: Final = re.compile(r'"[^"]*"|\\.|_.|\*.|\[(?!h+\]|m+\]|s+\])[^\]]*\]', re.IGNORECASE)
_DATE_LETTER: Final = re.compile(r"[dmyhs]", re.IGNORECASE)
_FALSE: Final = frozenset({"0", "false"})


@attrs.frozen
class Formats:
    """What each style index means.

    Parameters
    ----------
    codes : tuple of str
        Number format by style index.
    dates : frozenset of int
        Style indices that show a date or a time.
    unlocked : frozenset of int
        Style indices whose cells can be typed into on a protected sheet.
    """

    codes: tuple[str, ...] = ("General",)
    dates: frozenset[int] = frozenset()
    unlocked: frozenset[int] = frozenset()


def is_date_format(code: str) -> bool:
    """Return whether a number format shows a date or a time."""
    positive = _DECORATION.sub("", code).partition(";")[0]
    return positive.casefold() != "general" and bool(_DATE_LETTER.search(positive))


def read_formats(root: Any | None) -> Formats:
    """Read the styles part.

    Parameters
    ----------
    root : lxml element or None
        Root of the part; None where the book has none.

    Returns
    -------
    Formats
        By style index.
    """
    if root is None:
        return Formats()
    own: dict[str, str] = {}
    records: list[Any] = []
    for group in root:
        if local(group.tag) == "numFmts":
            own = {line.get("numFmtId", ""): line.get("formatCode", "") for line in group}
        elif local(group.tag) == "cellXfs":
            records = list(group)
    codes, unlocked = [], set()
    for index, record in enumerate(records):
        identity = record.get("numFmtId", "0")
        number = int(identity) if identity.isdecimal() else 0
        codes.append(own.get(identity) or _BUILT_IN.get(number, "General"))
        for child in record:
            if local(child.tag) == "protection" and child.get("locked", "1") in _FALSE:
                unlocked.add(index)
    dates = frozenset(index for index, code in enumerate(codes) if is_date_format(code))
    return Formats(tuple(codes) or ("General",), dates, frozenset(unlocked))
