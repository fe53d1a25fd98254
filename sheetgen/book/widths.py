"""How wide the columns of one sheet are, and how far to the right its text runs."""

from __future__ import annotations

from typing import Final

from sheetgen.book.plan import LABEL, UNIT, VALUE, PlacedPart, Plan
from sheetgen.book.style import default_width
from sheetgen.book.template import SCENARIOS, SHOWN_SCENARIOS, Sheet

_PLAIN_WIDTH: Final = 8.43
_NUMBER_WIDTH, _CODE_WIDTH, _CHECK_WIDTH = 5.0, 22.0, 10.0


class Widths:
    """The columns of one sheet.

    Parameters
    ----------
    plan : Plan
        Plan of the book.
    sheet : Sheet
        The sheet's template, which may say how wide labels, values and units are.
    """

    def __init__(self, plan: Plan, sheet: Sheet) -> None:
        self.plan = plan
        self.label, self.value, self.unit = sheet.widths
        # By 0-based column [characters].
        self.columns: dict[int, float] = {}
        # The 0-based last column that is not only one more scenario [count].
        self.printed = 0
        self.running: list[tuple[int, int]] = []

    def runs(self, column: int, length: int) -> None:
        """Note that a text of this length [characters] runs on over the empty cells to the right of its own."""
        self.running.append((column, length))

    def add(self, part: PlacedPart) -> None:
        """Widen the columns for a part."""
        kind = part.layout
        if kind in {"fields", "checks", "across"} or (kind == "scenario" and not part.block.over):
            self._need(LABEL, self.label)
            self._need(VALUE, self.value if kind != "across" else self.unit)
        if part.part.letterhead:
            return
        if kind == "fields":
            self._need(UNIT, self.unit)
            for field in part.fields:
                self._need(VALUE, field.width or 0.0)
            return
        if kind == "checks":
            self._need(2, _CHECK_WIDTH)
            self._need(3, _CHECK_WIDTH)
            return
        if part.part.numbered and kind != "across":
            self._need(0, _NUMBER_WIDTH)
        if kind == "list":
            self._need(0, _CODE_WIDTH)
        groups = len(SCENARIOS) if kind == "scenario" else 1
        for field in part.fields:
            spot = self.plan.spot(part.block.name, field.name)
            for group in range(groups):
                printed = bool(part.block.over) or group < SHOWN_SCENARIOS
                for record in range(part.records if spot.record_columns else 1):
                    self._need(spot.cell(record, group).column, field.width or default_width(field.unit), printed=printed)

    def last_column(self) -> int:
        """Return the 0-based last column that a printed page must show [count]."""
        last = self.printed
        for column, length in self.running:
            room, reach = 0.0, column - 1
            while room < length * 0.95:
                reach += 1
                room += self.columns.get(reach, _PLAIN_WIDTH)
            last = max(last, reach)
        return last

    def _need(self, column: int, width: float, *, printed: bool = True) -> None:
        self.columns[column] = max(self.columns.get(column, 0.0), width)
        if printed:
            self.printed = max(self.printed, column)
