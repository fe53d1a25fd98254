"""The functions a template may use: what each argument takes, and what comes out."""

from __future__ import annotations

from typing import Final

import attrs

# s: one value; r: a range; v: a value or a range; a: array arithmetic; l: a branch, taken or not; t: text; f: a format.
# c: a criterion, a number. q: yes or no. A letter pair in brackets repeats.


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
    "SUMIF": Function("rcr", "last", total=True),
    "SUMIFS": Function("r(rc)", "first", total=True),
    "AVERAGEIFS": Function("r(rc)", "first", total=True),
    "SUMPRODUCT": Function("(a)", "product", total=True),
    "COUNT": Function("(v)", "number", never_missing=True),
    "COUNTA": Function("(v)", "number", never_missing=True),
    "COUNTIF": Function("rc", "number"),
    "COUNTIFS": Function("(rc)", "number"),
    "INDEX": Function("r(s)", "first"),
    "IF": Function("sll", "branch"),
    "CHOOSE": Function("s(l)", "branch"),
    "AND": Function("(q)", "truth"),
    "OR": Function("(q)", "truth"),
    "NOT": Function("q", "truth"),
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
    "TRIM": Function("t", "text"),
    "LEN": Function("t", "number"),
    "LEFT": Function("ts", "text"),
    "MID": Function("tss", "text"),
    "SUBSTITUTE": Function("ttt", "text"),
}
OURS: Final = frozenset(
    {
        "up", "down", "cents", "round6", "given", "match", "known", "sum_known", "sum_shown", "count_shown", "above", "back",
        "number", "quantity", "table", "scenarios_of",
    }
)  # fmt: skip
# Over the rows that a filter leaves.
SHOWN: Final = frozenset({"sum_shown", "count_shown"})
# No "hh:mm": IronCalc 0.9.1 cuts where Python rounds, and float noise makes it write half of the whole minutes one too
# early (TEXT(3/1440,"hh:mm") = "00:02"), so no rule of ours could agree with it. A clock cell shows itself.
TEXT_FORMATS: Final = frozenset({"0", "0.0", "0.00", "0.000", "#,##0", "#,##0.00", "0%", "0.0%", "yyyy-mm-dd"})
MOST_COMPILED: Final = 500
MOST_NESTED: Final = 12


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
