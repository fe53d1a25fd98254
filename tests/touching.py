"""What people do to a book besides typing, done to its cells in memory: quick, and as a program would leave them."""

from __future__ import annotations

import copy
from collections.abc import Callable, Iterable

import attrs

from sheetgen.reader.cells import RawCell
from sheetgen.reader.raw import RawBook, RawSheet

Place = tuple[int, int]


def with_sheet(raw: RawBook, name: str, change: Callable[[RawSheet], RawSheet | None]) -> RawBook:
    """Return a book with one sheet changed, or taken out where the change gives none."""
    changed = [change(sheet) if sheet.name == name else sheet for sheet in raw.sheets]
    return attrs.evolve(raw, sheets=tuple(sheet for sheet in changed if sheet is not None))


def typed(raw: RawBook, sheet: str, at: Place, value: float | str | None, formula: str | None = None) -> RawBook:
    """Return a book with another value in one cell, whose formula is gone unless one is given."""
    kind = "blank" if value is None else "text" if isinstance(value, str) else "number"

    def change(held: RawSheet) -> RawSheet:
        style = held.cells[at].style if at in held.cells else 0
        return attrs.evolve(held, cells={**held.cells, at: RawCell(value, kind, formula, False, style)})

    return with_sheet(raw, sheet, change)


def styled(raw: RawBook, sheet: str, at: Place, like: Place) -> RawBook:
    """Return a book with the style of one cell pasted over another."""

    def change(held: RawSheet) -> RawSheet:
        return attrs.evolve(held, cells={**held.cells, at: held.cells[at]._replace(style=held.cells[like].style)})

    return with_sheet(raw, sheet, change)


def shifted(raw: RawBook, sheet: str, line: int, by: int, axis: str = "rows") -> RawBook:
    """Return a book with lines put in before one (by > 0), or taken out from it on (by < 0)."""

    def moved(at: Place) -> Place | None:
        here = at[0] if axis == "rows" else at[1]
        if by < 0 and line <= here < line - by:
            return None
        there = here + by if here >= line else here
        return (there, at[1]) if axis == "rows" else (at[0], there)

    def change(held: RawSheet) -> RawSheet:
        return attrs.evolve(held, cells={new: cell for at, cell in held.cells.items() if (new := moved(at)) is not None})

    return with_sheet(raw, sheet, change)


def with_root(raw: RawBook, sheet: str, change: Callable[[object], None]) -> RawBook:
    """Return a book with the XML of one sheet changed, but for its cells."""

    def changed(held: RawSheet) -> RawSheet:
        root = copy.deepcopy(held.root)
        change(root)
        return attrs.evolve(held, root=root)

    return with_sheet(raw, sheet, changed)


def in_order(raw: RawBook, names: Iterable[str]) -> RawBook:
    """Return a book with its sheets in another order."""
    by_name = {sheet.name: sheet for sheet in raw.sheets}
    return attrs.evolve(raw, sheets=tuple(by_name[name] for name in names))
