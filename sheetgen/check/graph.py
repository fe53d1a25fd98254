"""The graph of formula cells in which every cell of every range is an edge: it must hold no circle."""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from typing import TYPE_CHECKING

import attrs

if TYPE_CHECKING:
    from collections.abc import Callable, Collection, Iterable, Sequence

    from sheetgen.check.forms import Form
    from sheetgen.check.tree import Reference

Span = tuple[int, int]


@attrs.frozen
class FormulaCell:
    """One cell with a formula.

    Parameters
    ----------
    sheet : str
        Name of its sheet.
    column, row : int
        Its place [1-based column, 1-based row].
    form : Form
        What is known of its formula.
    """

    sheet: str
    column: int
    row: int
    form: Form = attrs.field(repr=False, eq=False)


class CellGraph:
    """Formula cells and what they refer to.

    The cells are numbered down each column, so the formula cells of a range are a few runs of numbers (spans)
    and no edge has to be written out. Cells without a formula refer to nothing and cannot be part of a circle.

    Parameters
    ----------
    cells : iterable of FormulaCell
        Every formula cell of the book.
    """

    def __init__(self, cells: Iterable[FormulaCell]) -> None:
        self.cells = sorted(cells, key=lambda cell: (cell.sheet, cell.column, cell.row))
        self._number: dict[tuple[str, int, int], int] = {}
        self._columns: dict[tuple[str, int], tuple[int, list[int]]] = {}
        for number, cell in enumerate(self.cells):
            self._number[cell.sheet, cell.column, cell.row] = number
            self._columns.setdefault((cell.sheet, cell.column), (number, []))[1].append(cell.row)
        self._ranges: dict[tuple[str, int, int, int, int], tuple[Span, ...]] = {}

    def spans(self, number: int) -> list[Span]:
        """Return the runs of numbers of the formula cells that one formula cell refers to.

        Parameters
        ----------
        number : int
            Number of the cell [index].
        """
        cell = self.cells[number]
        found: list[Span] = []
        for reference in cell.form.references:
            sheet = reference.sheet or cell.sheet
            if reference.is_range:
                found.extend(self._range(sheet, reference, cell.row))
                continue
            row = reference.top if reference.top_fixed else cell.row + reference.top
            met = self._number.get((sheet, reference.left, row))
            if met is not None:
                found.append((met, met + 1))
        return found

    def _range(self, sheet: str, reference: Reference, row: int) -> tuple[Span, ...]:
        top, bottom = reference.rows(row)
        key = (sheet, top, bottom, reference.left, reference.right)
        if key not in self._ranges:
            spans = []
            for column in range(reference.left, reference.right + 1):
                first, rows = self._columns.get((sheet, column), (0, []))
                low, high = bisect_left(rows, top), bisect_right(rows, bottom)
                if low < high:
                    spans.append((first + low, first + high))
            self._ranges[key] = tuple(spans)
        return self._ranges[key]

    def circle(self, sheets: Collection[str] | None = None) -> list[FormulaCell]:
        """Return the cells of one circle, each referring to the next and the last to the first; or none.

        Parameters
        ----------
        sheets : collection of str, optional
            Only a circle on which a cell of these sheets depends; any by default.
        """
        starts = [sheets is None or cell.sheet in sheets for cell in self.cells]
        return [self.cells[number] for number in _circle(self.spans, starts)]


def _circle(spans: Callable[[int], Sequence[Span]], starts: Sequence[bool]) -> list[int]:
    """Search in depth; a cell met again while it is still on the path closes a circle."""
    count = len(starts)
    # following[n] leads to the first number from n on that is not done: done runs are skipped at once.
    following = list(range(count + 1))
    on_path = bytearray(count)

    def open_from(number: int) -> int:
        root = number
        while following[root] != root:
            root = following[root]
        while following[number] != root:
            following[number], number = root, following[number]
        return root

    start = 0
    while (start := open_from(start)) < count:
        if not starts[start]:
            start += 1
            continue
        path = [start]
        waiting = [list(spans(start))]
        on_path[start] = 1
        while path:
            if not waiting[-1]:
                waiting.pop()
                done = path.pop()
                on_path[done] = 0
                following[done] = done + 1
                continue
            low, high = waiting[-1][-1]
            met = open_from(low)
            if met >= high:
                waiting[-1].pop()
            elif on_path[met]:
                return path[path.index(met) :]
            else:
                path.append(met)
                waiting.append(list(spans(met)))
                on_path[met] = 1
    return []
