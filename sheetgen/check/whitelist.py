"""What a formula of ours may hold: functions with their arguments, the few literals, and the limits.

Every function here was tried in IronCalc and in LibreOffice; add one only after doing the same.
"""

from __future__ import annotations

import enum
from typing import Final

import attrs


class Takes(enum.Enum):
    """What may stand at one argument of a function."""

    VALUE = "one value"
    RANGE = "a range of cells"
    EITHER = "a value or a range of cells"
    CELL = "one cell"
    CRITERION = "one value, or a comparison mark joined to one whole number"
    DIGITS = "a number of digits"
    FORMAT = "one of the closed text formats"
    EXACT = "0, the exact match"
    ARRAY = "arithmetic over ranges of one shape"
    PICK = "one value, or 0 for a whole row or column"
    LOOKUP = "a look-up (INDEX or MATCH)"
    ESCAPE = "a value or a mark of the wild-card escape"
    SHOWN_ROWS = "109, 102 or 103: sum, count of numbers, count of entries of the rows shown"


@attrs.frozen
class Signature:
    """The arguments a function takes.

    Parameters
    ----------
    first : tuple of Takes
        The arguments at the start.
    rest : tuple of Takes
        What may follow, over and over, as a group.
    least : int
        Fewest arguments [count].
    same_shape : tuple of int
        Which of the first arguments must be ranges of one shape; the ranges of the repeated group always are [index].
    """

    first: tuple[Takes, ...]
    rest: tuple[Takes, ...] = ()
    least: int = 1
    same_shape: tuple[int, ...] = ()

    def takes(self, index: int) -> Takes | None:
        """Return what the argument at a 0-based place may be, or None where none may stand.

        Parameters
        ----------
        index : int
            Place of the argument [index].
        """
        if index < len(self.first):
            return self.first[index]
        if not self.rest:
            return None
        return self.rest[(index - len(self.first)) % len(self.rest)]

    def accepts(self, count: int) -> bool:
        """Return whether a call may have this many arguments.

        Parameters
        ----------
        count : int
            Number of arguments [count].
        """
        if count < self.least:
            return False
        if count <= len(self.first):
            return True
        return bool(self.rest) and (count - len(self.first)) % len(self.rest) == 0


_V, _R, _E, _C = Takes.VALUE, Takes.RANGE, Takes.EITHER, Takes.CRITERION


def _values(count: int, least: int | None = None) -> Signature:
    return Signature((_V,) * count, least=count if least is None else least)


_MANY = Signature((_E,), (_E,))
_LOGICAL = Signature((_V,), (_V,))
_DIGITS = Signature((_V, Takes.DIGITS), least=2)

FUNCTIONS: Final[dict[str, Signature]] = {
    **dict.fromkeys(("SUM", "MIN", "MAX", "MEDIAN", "COUNT", "COUNTA"), _MANY),
    # Over a range AND and OR read "" differently from program to program: they take values only.
    **dict.fromkeys(("AND", "OR"), _LOGICAL),
    **dict.fromkeys(("ROUND", "ROUNDUP", "ROUNDDOWN"), _DIGITS),
    **dict.fromkeys(("CEILING", "FLOOR", "MOD", "POWER"), _values(2)),
    **dict.fromkeys(
        ("NOT", "INT", "ABS", "SQRT", "EXP", "LN", "SIN", "NORMSINV", "NORMSDIST", "ISNUMBER", "ISBLANK"), _values(1)
    ),
    **dict.fromkeys(("YEAR", "MONTH", "DAY", "LEN", "TRIM"), _values(1)),
    **dict.fromkeys(("DATE", "TIME", "MID"), _values(3)),
    **dict.fromkeys(("WEEKDAY", "LEFT"), _values(2, least=1)),
    "SUMIF": Signature((_R, _C, _R), least=2, same_shape=(0, 2)),
    "SUMIFS": Signature((_R, _R, _C), (_R, _C), least=3, same_shape=(0, 1)),
    "AVERAGEIFS": Signature((_R, _R, _C), (_R, _C), least=3, same_shape=(0, 1)),
    "COUNTIF": Signature((_R, _C), least=2),
    "COUNTIFS": Signature((_R, _C), (_R, _C), least=2, same_shape=(0,)),
    "SUMPRODUCT": Signature((Takes.ARRAY,), (Takes.ARRAY,)),
    "INDEX": Signature((_R, Takes.PICK, Takes.PICK), least=2),
    "MATCH": Signature((_V, _R, Takes.EXACT), least=3),
    "IF": _values(3),
    "IFERROR": Signature((Takes.LOOKUP, _V), least=2),
    "CHOOSE": Signature((_V, _V), (_V,), least=2),
    "LARGE": Signature((_R, _V), least=2),
    "SMALL": Signature((_R, _V), least=2),
    "PI": Signature((), least=0),
    "ROW": Signature((Takes.CELL,), least=0),
    "TEXT": Signature((_V, Takes.FORMAT), least=2),
    "WORKDAY": Signature((_V, _V, _R), least=2),
    "SUBSTITUTE": Signature((_V, Takes.ESCAPE, Takes.ESCAPE), least=3),
}

# Only in a cell that shows what is checked elsewhere: a total of the rows left by a filter.
SHOW_ONLY: Final[dict[str, Signature]] = {"SUBTOTAL": Signature((Takes.SHOWN_ROWS, _R), least=2)}

VOLATILE: Final = frozenset({"NOW", "TODAY", "RAND", "RANDBETWEEN", "RANDARRAY", "OFFSET", "INDIRECT", "CELL", "INFO"})

NUMBERS: Final = frozenset({"0", "1"})
SHOWN_ROWS: Final = frozenset({"102", "103", "109"})
ESCAPES: Final = frozenset({"~", "~~", "*", "~*", "?", "~?"})
COMPARISONS: Final = frozenset({"=", "<>", "<", "<=", ">", ">="})
ARRAY_OPERATORS: Final = frozenset({"+", "-", "*", "/", "^"}) | COMPARISONS

MOST_CHARACTERS: Final = 500
MOST_NESTED: Final = 12
