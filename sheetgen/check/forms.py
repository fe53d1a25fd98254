"""Formulas that are the same relative to their row are read once: a book has few forms and many cells."""

from __future__ import annotations

import functools
import re
from typing import TYPE_CHECKING, Final

import attrs

from sheetgen.check import whitelist
from sheetgen.check.references import LOST_MEND, Problem, Reading, Side
from sheetgen.check.syntax import SyntaxRefusedError, parse, relative_form
from sheetgen.check.tree import Reference, depth

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping

TOO_LONG: Final = Problem(
    "formula-length", f"is longer than {whitelist.MOST_CHARACTERS} characters", "use a helper column"
)
# Above this a formula is not even parsed: the parser calls itself for each term.
_READABLE: Final = 2 * whitelist.MOST_CHARACTERS
_SHEET: Final = re.compile(r"'(?:[^']|'')+'!|[^\W\d][\w.]*!")
_SYNTAX_MEND: Final = "write it with cells, ranges of cells, names and listed functions only"


def too_long(formula: str, most: int = whitelist.MOST_CHARACTERS) -> bool:
    """Return whether a formula is too long even without its sheet names, which have a prefix in a person's own workbook."""
    return len(formula) > most and len(_SHEET.sub("", formula)) > most


@attrs.frozen(eq=False)
class Form:
    """What is known of all formulas with one text relative to their row.

    Parameters
    ----------
    references : tuple of Reference
        Everything referred to, defined names resolved.
    names : frozenset of str
        Defined names used, as written.
    problems : tuple of Problem
        What is wrong, whatever the row.
    groups : tuple of tuple of Side
        Ranges that must have one shape.
    lines : tuple of Side
        Ranges that must be one row or one column.
    """

    references: tuple[Reference, ...] = ()
    names: frozenset[str] = frozenset()
    problems: tuple[Problem, ...] = ()
    groups: tuple[tuple[Side, ...], ...] = ()
    lines: tuple[Side, ...] = ()

    @functools.cached_property
    def steady(self) -> bool:
        """Whether its ranges have the same shape in every row."""
        return all(reference.steady for reference in self.references)

    def misfits(self, row: int) -> Iterator[Problem]:
        """Yield what is wrong with the shapes of its ranges in one row.

        Parameters
        ----------
        row : int
            Row of the formula [1-based row].
        """
        for group in self.groups:
            shapes = dict.fromkeys(side.shape(row) for side in group)
            if len(shapes) > 1:
                listed = ", ".join(f"{height} x {width}" for height, width in shapes)
                yield Problem(
                    "formula-shape", f"joins ranges of different shapes ({listed})", "use ranges of one shape"
                )
        for side in self.lines:
            height, width = side.shape(row)
            if height > 1 and width > 1:
                yield Problem(
                    "formula-shape", f"looks along a range of {height} x {width} cells", "use one row or one column"
                )


class Forms:
    """Every form met, each read once.

    Parameters
    ----------
    names : mapping of str to Reference
        What the defined names refer to, by name in lower case.
    sheets : mapping of str to str
        The name of each sheet by that name in lower case.
    """

    def __init__(self, names: Mapping[str, Reference], sheets: Mapping[str, str]) -> None:
        self._names = names
        self._sheets = sheets
        self._met: dict[object, Form] = {}

    def form(self, formula: str, row: int, *, show: bool = False) -> Form:
        """Return the form of a formula.

        Parameters
        ----------
        formula : str
            Its text, without the ``=``.
        row : int
            Row of its cell [1-based row].
        show : bool
            Whether the cell only shows what is checked elsewhere.
        """
        key = (show, relative_form(formula, row))
        form = self._met.get(key)
        if form is None:
            form = self._met[key] = self._read(formula, row, show=show)
        return form

    def _read(self, formula: str, row: int, *, show: bool) -> Form:
        if too_long(formula, _READABLE):
            return Form(problems=(TOO_LONG,))
        try:
            tree = parse(formula, row)
        except SyntaxRefusedError as error:
            return Form(problems=(Problem(error.code, error.what, _SYNTAX_MEND),))
        reading = Reading(self._names, show=show)
        reading.value(tree)
        nested = depth(tree)
        if nested > whitelist.MOST_NESTED:
            reading.problem("formula-depth", f"has {nested} functions inside each other", "use a helper column")
        references = tuple(self._on_sheet(reference, reading) for reference in reading.references)
        return Form(
            references,
            frozenset(reading.names),
            tuple(reading.problems),
            tuple(tuple(group) for group in reading.groups if len(group) > 1),
            tuple(reading.lines),
        )

    def _on_sheet(self, reference: Reference, reading: Reading) -> Reference:
        """Return a reference with its sheet spelt as the tab spells it."""
        if reference.sheet is None or reference.sheet in self._sheets.values():
            return reference
        sheet = self._sheets.get(reference.sheet.casefold())
        if sheet is None:
            what = f"refers to the sheet '{reference.sheet}', which is not there"
            reading.problem("formula-lost", what, LOST_MEND)
            return reference
        return attrs.evolve(reference, sheet=sheet)
