"""Which validation each input has, whatever way the program that saved the book writes it."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING, Any, Final

from sheetgen.reader.same_formula import plain_formula
from sheetgen.reader.shared import COLUMNS

if TYPE_CHECKING:
    from sheetgen.reader.raw import RawSheet

Place = tuple[int, int]
# Kind, way of comparing, and bounds, by the cell that has it.
Validations = dict[Place, tuple[str, ...]]
_RANGE: Final = re.compile(r"\$?([A-Z]{1,3})\$?(\d{1,7})(?::\$?([A-Z]{1,3})\$?(\d{1,7}))?")
_PAIRED: Final = frozenset({"between", "notBetween"})
_WITHOUT_BOUNDS: Final = frozenset({"list", "custom"})
# Cells looked at for all ranges of a sheet together; a sheet of ours needs a few thousand [count].
_MOST: Final = 2_000_000
# Stands for the validations of a sheet that has more of them than anybody could have put there.
TOO_MANY: Final[Validations] = {(0, 0): ()}


def validations_of(sheet: RawSheet, inputs: set[Place]) -> Validations:
    """Return the validation of each input of a sheet that has one.

    Parameters
    ----------
    sheet : RawSheet
        The sheet as it was saved.
    inputs : set of (row, column)
        The cells that matter [1-based row, 1-based column].
    """
    found: Validations = {}
    looked = 0
    for rule in sheet.root.iter("{*}dataValidation"):
        told = _rule(rule)
        for text in (rule.get("sqref") or rule.findtext("{*}sqref") or "").split():
            corners = _RANGE.fullmatch(text)
            if corners is None:
                continue
            left, right = COLUMNS.get(corners[1], 0), COLUMNS.get(corners[3] or corners[1], 0)
            top, bottom = int(corners[2]), int(corners[4] or corners[2])
            area = max(0, bottom - top + 1) * max(0, right - left + 1)
            looked += min(area, len(inputs)) + 1
            if looked > _MOST:
                return TOO_MANY
            if area <= len(inputs):
                covered = [(row, column) for row in range(top, bottom + 1) for column in range(left, right + 1)]
            else:
                covered = [at for at in inputs if top <= at[0] <= bottom and left <= at[1] <= right]
            found.update((at, told) for at in covered if at in inputs)
    return found


def _rule(rule: Any) -> tuple[str, ...]:
    kind = rule.get("type", "none")
    if kind == "none":
        return (kind,)
    first, second = (_bound(rule, f"formula{number}") for number in (1, 2))
    if kind in _WITHOUT_BOUNDS:
        return kind, first
    operator = rule.get("operator", "between")
    return (kind, operator, first, second) if operator in _PAIRED else (kind, operator, first)


def _bound(rule: Any, name: str) -> str:
    element = rule.find(f"{{*}}{name}")
    text = "" if element is None else plain_formula("".join(element.itertext()).strip())
    try:
        return f"{float(text):.9g}"
    except ValueError:
        return text
