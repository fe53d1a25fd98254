"""Compare three witnesses cell by cell: what the file stores, what a recalculation gives, what the engine says."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING, Any, Final, Literal

import attrs

from sheetgen.check.place import place
from sheetgen.check.recalculate import stored
from sheetgen.check.values import CellError, Value, agree, plain, shown
from sheetgen.findings import Finding, Report

if TYPE_CHECKING:
    from sheetgen.reader.raw import RawBook, RawCell

Place = tuple[int, int]
Kind = Literal["formula", "show", "linked", "filtered"]
Recalculated = Mapping[str, Mapping[Place, Value]]

_CHANGED: Final = "restore the formula from a fresh book"
_STALE: Final = "recalculate the book in a spreadsheet program and save it, or make it again"
_DISAGREE: Final = "do not rely on this figure; restore the formula, or make the book again"


@attrs.frozen
class Expected:
    """What one formula cell must hold.

    Parameters
    ----------
    value : float, str, bool or None
        The engine's value, or the text made of engine values [unit of the cell].
    kind : {'formula', 'show', 'linked', 'filtered'}
        ``formula`` and ``show`` are compared with the value; ``linked`` repeats a cell of the host, so that only
        the stored and the recalculated value are compared; ``filtered`` follows the filter of its sheet: compared
        until a person sets that, then only counted.
    name : str
        Field and record, for findings.
    """

    value: Any
    kind: Kind = "formula"
    name: str = ""


@attrs.frozen
class Counts:
    """How many formula cells were found and tested.

    Parameters
    ----------
    found : int
        Formula cells in the file [count].
    recalculated : int
        Of these, cells for which the recalculation gave a value [count].
    compared : int
        Of these, cells compared with the engine [count].
    shows : int
        Cells that show what is checked elsewhere, compared apart [count].
    others : int
        Linked cells, and those that follow a filter that is set: the engine has no value for them [count].
    """

    found: int = 0
    recalculated: int = 0
    compared: int = 0
    shows: int = 0
    others: int = 0

    def plus(self, other: Counts) -> Counts:
        """Return the counts of two books together."""
        return Counts(*(mine + theirs for mine, theirs in zip(attrs.astuple(self), attrs.astuple(other), strict=True)))


def compare(
    book: RawBook, recalculated: Recalculated, expected: Mapping[str, Mapping[Place, Expected]]
) -> tuple[Counts, tuple[Finding, ...]]:
    """Compare every formula cell of a book.

    Parameters
    ----------
    book : RawBook
        The saved book with its stored values.
    recalculated : mapping of str to mapping of (row, column) to value
        What a spreadsheet program gives for each formula cell [1-based row, 1-based column].
    expected : mapping of str to mapping of (row, column) to Expected
        What each formula cell must hold; only the sheets named here are compared
        [1-based row, 1-based column].

    Returns
    -------
    counts : Counts
        How many cells were found and tested.
    findings : tuple of Finding
        Errors; empty where all agree.
    """
    comparison = _Comparison(book)
    for name, wanted in expected.items():
        comparison.sheet(name, wanted, recalculated.get(name, {}))
    return comparison.counts(), tuple(comparison.report)


class _Comparison:
    def __init__(self, book: RawBook) -> None:
        self.report = Report()
        self._book = book
        self._found = self._recalculated = 0
        self._filter_set = False
        self._kinds: dict[Kind, int] = {"formula": 0, "show": 0, "linked": 0, "filtered": 0}

    def counts(self) -> Counts:
        """Return the counts; report where there is nothing to be glad of."""
        kinds = self._kinds
        counts = Counts(
            self._found, self._recalculated, kinds["formula"], kinds["show"], kinds["linked"] + kinds["filtered"]
        )
        if not counts.compared:
            self.report.error(
                "compared-none", place(self._book.path), "no formula cell was compared with the engine",
                "make the book again; a book without formulas proves nothing",
            )  # fmt: skip
        return counts

    def sheet(self, name: str, wanted: Mapping[Place, Expected], recalculated: Mapping[Place, Value]) -> None:
        sheet = self._book.sheet(name)
        if sheet is None:
            self.report.error("sheet-missing", place(self._book.path, name), "the sheet is not there", _CHANGED)
            return
        self._filter_set = sheet.root.find("{*}autoFilter/{*}filterColumn") is not None
        met = 0
        for where, cell in sheet.cells.items():
            if cell.formula is None:
                continue
            self._found += 1
            entry = wanted.get(where)
            if entry is None:
                self._error("formula-unknown", name, where, "holds a formula that does not belong there", "clear it")
                continue
            met += 1
            if where in recalculated:
                self._recalculated += 1
                self._cell(name, where, entry, cell, plain(recalculated[where]))
            else:
                self._error("recalculated-none", name, where, f"{entry.name} was not recalculated", _DISAGREE)
        if met < len(wanted):
            for where, entry in wanted.items():
                found = sheet.cells.get(where)
                if found is None or found.formula is None:
                    self._error("formula-missing", name, where, f"{entry.name} has no formula", _CHANGED)

    def _cell(self, name: str, where: Place, entry: Expected, cell: RawCell, again: Value) -> None:
        kind: Kind = "formula" if entry.kind == "filtered" and not self._filter_set else entry.kind
        self._kinds[kind] += 1
        held = stored(cell)
        if isinstance(held, CellError) or isinstance(again, CellError):
            self._differs("formula-error", (name, where), entry, (held, again), "mend what it reads, then recalculate")
        elif kind == "filtered":
            return
        elif kind == "linked":
            if not agree(held, again):
                self._differs("stored-stale", (name, where), entry, (held, again), _STALE)
        elif not agree(again, plain(entry.value)) and not (entry.kind == "show" and _same_words(again, entry.value)):
            self._differs("formula-differs", (name, where), entry, (held, again), _DISAGREE)
        elif not agree(held, again):
            self._differs("stored-stale", (name, where), entry, (held, again), _STALE)

    def _differs(
        self, code: str, at: tuple[str, Place], entry: Expected, values: tuple[Value, Value], mend: str
    ) -> None:
        held, again = values
        what = f"{entry.name} stores {shown(held)}, recalculated {shown(again)}"
        if entry.kind != "linked":
            what += f", engine {shown(plain(entry.value))}"
        self._error(code, *at, what, mend)

    def _error(self, code: str, name: str, where: Place, what: str, mend: str) -> None:
        self.report.error(code, place(self._book.path, name, *where), what, mend)


def _same_words(first: object, second: object) -> bool:
    """Return whether two shown texts differ in spaces alone: a reader takes the doubled ones that a person typed for one."""
    return isinstance(first, str) and isinstance(second, str) and first.split() == second.split()
