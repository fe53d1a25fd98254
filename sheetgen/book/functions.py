"""The functions a template may use: what each argument takes, and what comes out."""

from __future__ import annotations

from typing import Final

import attrs

# s: one value; r: a range; v: a value or a range; a: array arithmetic; l: a branch, taken or not; t: text; f: a format.
# A letter pair in brackets repeats.


@attrs.frozen
class Function:
    """One spreadsheet function.

    Parameters
    ----------
    arguments : str
        A letter per argument; the part in brackets repeats as often as needed.
    result : str
        ``same`` (measure of the arguments, all alike), ``first``, ``number``, ``text``, ``truth``, ``date``, ``product``,
        ``root``, ``clock``.
    never_missing : bool
        The result is there even where arguments are missing.
    total : bool
        Blank while a started record of a range lacks its value.
    """

    arguments: str
    result: str
    never_missing: bool = False
    total: bool = False


SPREADSHEET: Final[dict[str, Function]] = {
    "SUM": Function("(v)", "same", total=True),
    "MIN": Function("(v)", "same", total=True),
    "MAX": Function("(v)", "same", total=True),
    "MEDIAN": Function("(v)", "same", total=True),
    "LARGE": Function("rs", "first", total=True),
    "SMALL": Function("rs", "first", total=True),
    "SUMIF": Function("rsr", "last", total=True),
    "SUMIFS": Function("r(rs)", "first", total=True),
    "AVERAGEIFS": Function("r(rs)", "first", total=True),
    "SUMPRODUCT": Function("(a)", "product", total=True),
    "COUNT": Function("(v)", "number", never_missing=True),
    "COUNTA": Function("(v)", "number", never_missing=True),
    "COUNTIF": Function("rs", "number"),
    "COUNTIFS": Function("(rs)", "number"),
    "INDEX": Function("r(s)", "first"),
    "IF": Function("sll", "branch"),
    "CHOOSE": Function("s(l)", "branch"),
    "AND": Function("(s)", "truth"),
    "OR": Function("(s)", "truth"),
    "NOT": Function("s", "truth"),
    "ISNUMBER": Function("n", "truth", never_missing=True),
    "ISBLANK": Function("n", "truth", never_missing=True),
    "ABS": Function("s", "first"),
    "INT": Function("s", "first"),
    "MOD": Function("ss", "same"),
    "ROUND": Function("ss", "first"),
    "PI": Function("", "number"),
    "SQRT": Function("s", "root"),
    "POWER": Function("ss", "number"),
    "EXP": Function("s", "number"),
    "LN": Function("s", "number"),
    "SIN": Function("s", "number"),
    "NORMSINV": Function("s", "number"),
    "NORMSDIST": Function("s", "number"),
    "DATE": Function("sss", "date"),
    "TIME": Function("sss", "clock"),
    "WEEKDAY": Function("s", "number"),
    "YEAR": Function("s", "number"),
    "MONTH": Function("s", "number"),
    "DAY": Function("s", "number"),
    "TEXT": Function("sf", "text"),
    "TRIM": Function("s", "text"),
    "LEN": Function("s", "number"),
    "LEFT": Function("ss", "text"),
    "MID": Function("sss", "text"),
    "SUBSTITUTE": Function("sss", "text"),
}
OURS: Final = frozenset(
    {"up", "down", "cents", "round6", "given", "match", "known", "sum_known", "above", "back", "number", "quantity", "table"}
)
TEXT_FORMATS: Final = frozenset({"0", "0.0", "0.00", "0.000", "#,##0", "#,##0.00", "0%", "0.0%", "yyyy-mm-dd", "hh:mm"})
MOST_COMPILED: Final = 500


def argument_kinds(pattern: str, count: int) -> str | None:
    """Return a letter for each of ``count`` arguments [count], or None where the count does not fit."""
    head, _, rest = pattern.partition("(")
    if not rest:
        return head if len(head) == count else None
    unit = rest.rstrip(")")
    repeats, left_over = divmod(count - len(head), len(unit))
    if repeats < (0 if head else 1) or left_over:
        return None
    return head + unit * repeats
