"""What a person changed in a book besides its inputs, cell by cell against its twin: formulas, fixed words, locks, validations."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator
from typing import TYPE_CHECKING, Final

import attrs

from sheetgen.findings import Finding, Report, Severity
from sheetgen.reader.same_formula import plain_formula, same_formula
from sheetgen.reader.twin import twin_of
from sheetgen.reader.validated import TOO_MANY, Validations, validations_of

if TYPE_CHECKING:
    from sheetgen.book.plan import Plan
    from sheetgen.reader.cells import RawCell
    from sheetgen.reader.filled import Filled
    from sheetgen.reader.raw import RawBook, RawSheet

Place = tuple[int, int]
_FRESH: Final = "restore it from a fresh book, or carry the book into a new one"
_SHOWN: Final = 60
# Programs save fifteen digits.
_DIGITS: Final = 1e-12


@attrs.frozen
class Touched:
    """What was changed in a book besides its inputs.

    Parameters
    ----------
    findings : tuple of Finding
        Errors where a formula is not what it was, looks for the rest; cells of one column that were changed alike stand
        in one finding.
    formulas : frozenset of (sheet, row, column)
        Planned places of the formulas that are not what they were [1-based row, 1-based column].
    """

    findings: tuple[Finding, ...]
    formulas: frozenset[tuple[str, int, int]]


def touched(filled: Filled) -> Touched:
    """Compare a book with its twin.

    Parameters
    ----------
    filled : Filled
        The book as it was read. Where rows, columns or names of sheets have moved, formulas are not compared: they moved too.

    Returns
    -------
    Touched
        What was changed.
    """
    look = _Look(filled)
    look.order()
    for title in filled.located.sheets:
        look.sheet(title)
    if not filled.located.astray:
        look.names()
    return Touched(tuple(look.report), frozenset(look.formulas))


@attrs.frozen
class _Change:
    """One way in which a cell was changed."""

    code: str
    severity: Severity
    what: str
    mend: str = _FRESH


class _Look:
    def __init__(self, filled: Filled) -> None:
        self.report = Report()
        self.formulas: set[tuple[str, int, int]] = set()
        self._filled = filled
        self._raw: RawBook = filled.raw
        self._twin = twin_of(filled.compiled, tells_links=filled.located.tells_links)
        plan = filled.compiled.plan
        # Locked and without a rule, since what they hold is typed elsewhere.
        self._linked = {(cell.sheet, cell.row + 1, cell.column + 1) for cell in map(plan.cell, filled.links)}
        # Locked, and of this book alone: its stamp, and what was posted into it.
        self._own = {
            (cell.sheet, cell.row + 1, cell.column + 1)
            for block, field in plan.book.fields()
            if field.kind in {"stamp", "posted"} and field.stands_in(plan.system)
            for _, cell in plan.places(block, field)
        }
        self._labels = _labels(plan)

    def order(self) -> None:
        """Report where our sheets stand in another order."""
        planned = [sheet.name for sheet in self._twin.sheets if sheet.name in self._filled.located.sheets]
        present = [sheet.name for sheet in self._raw.sheets]
        places = [present.index(self._filled.located.sheets[title].name) for title in planned]
        for title, before, place in zip(planned[1:], places, places[1:], strict=False):
            if place < before:
                self._book("sheet-order", f"{self._raw.path.name} {title}", "the sheet was moved to another place", "move it back")
                return

    def names(self) -> None:
        """Report defined names that are gone or stand for something else."""
        for name, text in self._twin.names.items():
            held = self._raw.names.get(name)
            if held is None or plain_formula(held) != plain_formula(text):
                what = "the name is gone" if held is None else f"the name stands for {held[:_SHOWN]} now, it stood for {text}"
                self._book("name-changed", f"{self._raw.path.name} name {name}", what, _FRESH)

    def sheet(self, title: str) -> None:
        """Report what was changed on one sheet."""
        planned, present = self._twin.sheet(title), self._filled.located.sheets[title]
        assert planned is not None
        if not present.protected:
            place = f"{self._raw.path.name} {present.name}"
            self._book("sheet-unprotected", place, "the protection of the sheet was taken off", "protect it again, without a password")
        changes: dict[Place, list[_Change]] = {}
        moved = bool(self._filled.located.astray)
        rules, ours = (None if title in self._filled.located.astray else self._validations(planned, present)) or (None, None)
        for at, cell in planned.cells.items():
            found = list(self._cell(title, at, cell, present.cells.get(at), moved=moved))
            entered = cell.style in self._twin.unlocked_styles
            linked = (title, *at) in self._linked
            if entered and not linked and rules is not None and ours is not None and rules.get(at) != ours[at]:
                found.append(_validation(rules.get(at)))
            if found:
                changes[at] = found
                if any(change.severity is Severity.ERROR for change in found):
                    self.formulas.add((title, *at))
        for at, held in present.cells.items():
            if at not in planned.cells and (held.formula is not None or held.value not in (None, "")):
                what = "stands where this book has nothing; it is not read"
                changes[at] = [_Change("cell-added", Severity.LOOK, what, "nothing, if it is a note of yours; else type it into a field")]
        self._tell(title, changes)

    def _validations(self, planned: RawSheet, present: RawSheet) -> tuple[Validations, Validations] | None:
        inputs = {at for at, cell in planned.cells.items() if cell.style in self._twin.unlocked_styles}
        ours, theirs = validations_of(planned, inputs), validations_of(present, inputs)
        if theirs is TOO_MANY:
            self._book("validation-many", f"{self._raw.path.name} {present.name}", "the sheet has too many validations to look at", _FRESH)
            return None
        return theirs, ours

    def _cell(self, title: str, at: Place, planned: RawCell, present: RawCell | None, *, moved: bool) -> Iterator[_Change]:
        held = None if present is None or present.value == "" else present.value
        entered = planned.style in self._twin.unlocked_styles
        if planned.formula is not None:
            label = self._labels.get((title, *at), "")
            if present is None or present.formula is None:
                if held is None:
                    yield _Change("formula-deleted", Severity.ERROR, f"{label} has lost its formula".strip())
                else:
                    what = f"{label} is computed, but {_shown(held)} was put in place of its formula"
                    yield _Change("formula-replaced", Severity.ERROR, what.strip())
            elif not moved and not same_formula(present.formula, planned.formula):
                what = f"the formula of {label or 'the cell'} was changed to ={present.formula[:_SHOWN]}"
                yield _Change("formula-changed", Severity.ERROR, what)
        elif not entered and (title, *at) not in self._own and not _alike(planned.value, held):
            what = f"{_shown(planned.value)} stood here, {_shown(held)} stands here now"
            yield _Change("text-changed", Severity.LOOK, what)
        linked = (title, *at) in self._linked
        if present is not None and not linked and (present.style in self._raw.unlocked_styles) != entered:
            what = "the cell of an input is locked" if entered else "a cell that is none of the inputs can be typed over"
            yield _Change("lock-changed", Severity.LOOK, f"{what}: something was pasted over it")

    def _tell(self, title: str, changes: dict[Place, list[_Change]]) -> None:
        """Report changes, those of cells below each other that are alike in one finding."""
        runs: dict[tuple[int, _Change], list[int]] = {}
        for (row, column), found in sorted(changes.items()):
            for change in found:
                runs.setdefault((column, change), []).append(row)
        for (column, change), rows in sorted(runs.items(), key=lambda item: (item[1][0], item[0][0])):
            for first, last in _together(rows):
                where = self._filled.located.where(title, first - 1, column - 1)
                end = self._filled.located.where(title, last - 1, column - 1).rpartition("!")[2]
                place = where if first == last else f"{where}:{end}"
                self.report.extend([Finding(change.code, change.severity, place, change.what, change.mend)])

    def _book(self, code: str, place: str, what: str, mend: str) -> None:
        self.report.look(code, place, what, mend)


def _validation(rule: tuple[str, ...] | None) -> _Change:
    if rule is None:
        return _Change("validation-gone", Severity.LOOK, "the validation of the input is gone: something was pasted over it")
    return _Change("validation-changed", Severity.LOOK, f"the validation of the input was changed to {' '.join(rule)[:_SHOWN]}")


def _labels(plan: Plan) -> dict[tuple[str, int, int], str]:
    """Return the label of each computed cell."""
    return {
        (cell.sheet, cell.row + 1, cell.column + 1): f"'{' '.join(field.label.split())}'"
        for block, field in plan.book.fields()
        if field.kind in {"formula", "show"} and field.stands_in(plan.system)
        for _, cell in plan.places(block, field)
    }


def _together(rows: Iterable[int]) -> Iterator[tuple[int, int]]:
    """Yield first and last of the rows that follow each other."""
    first = last = -1
    for row in rows:
        if row != last + 1 and last > 0:
            yield first, last
        first = row if row != last + 1 or last < 0 else first
        last = row
    yield first, last


def _alike(one: object, other: object) -> bool:
    if isinstance(one, float) and isinstance(other, float):
        return math.isclose(one, other, rel_tol=_DIGITS)
    return " ".join(str("" if one is None else one).split()) == " ".join(str("" if other is None else other).split())


def _shown(value: object) -> str:
    if value is None:
        return "nothing"
    if isinstance(value, float):
        return f"the number {value:.12g}"
    text = " ".join(str(value).split())
    return f"'{text if len(text) <= _SHOWN else text[: _SHOWN - 1] + '…'}'"

