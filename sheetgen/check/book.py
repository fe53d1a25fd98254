"""One book of ours on the bench: structure proved, recalculated, every formula cell compared with the engine."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import attrs

from sheetgen import steps
from sheetgen.book.contents import Contents
from sheetgen.book.defined import defined_names
from sheetgen.book.template import SCENARIOS
from sheetgen.check.compare import Counts, Recalculated, compare
from sheetgen.check.copy import readable
from sheetgen.check.meet import expected
from sheetgen.check.recalculate import Program, formula_cells, recalculate
from sheetgen.check.rules import rules
from sheetgen.check.runs import Run, one_formula
from sheetgen.check.structure import structure
from sheetgen.findings import Finding
from sheetgen.reader.raw import RawBook, read_raw


@attrs.frozen
class Checked:
    """What a check found.

    Parameters
    ----------
    counts : Counts
        Formula cells found, recalculated, compared [count].
    findings : tuple of Finding
        Everything that is wrong.
    """

    counts: Counts
    findings: tuple[Finding, ...]


def types_of(contents: Contents) -> dict[str, str]:
    """Return the type of each sheet by its title."""
    return {contents.plan.title(sheet): sheet.type for sheet in contents.plan.book.sheets}


def runs_of(contents: Contents) -> Iterator[Run]:
    """Yield the cells of each computed column: they must hold one formula, relative to the row."""
    for block, field in contents.compiled.formulas():
        spot = contents.plan.spot(block.name, field.name)
        for scenario in range(len(SCENARIOS) if block.kind == "scenario" and spot.records > 1 else 1):
            if spot.records > 1:
                first, last = spot.cell(0, scenario), spot.cell(spot.records - 1, scenario)
                corners = (first.row + 1, first.column + 1), (last.row + 1, last.column + 1)
                yield Run(first.sheet, *corners, f"{block.name}.{field.name}")


def check_form(raw: RawBook, contents: Contents, *, fresh: bool) -> tuple[Finding, ...]:
    """Test the rules of form: they hold by construction in a book that was just made, and are broken by people.

    Parameters
    ----------
    raw : RawBook
        The saved book.
    contents : Contents
        What should stand in its cells.
    fresh : bool
        False for a book that a person has used: its cursor and hidden rows are theirs.

    Returns
    -------
    tuple of Finding
        What is broken.
    """
    return (*rules(raw, types_of(contents), fresh=fresh), *one_formula(raw, runs_of(contents)))


def check_file(
    path: Path,
    contents: Contents,
    program: Program = "ironcalc",
    raw: RawBook | None = None,
    recalculated: Recalculated | None = None,
) -> Checked:
    """Check a saved book against what should stand in it.

    Parameters
    ----------
    path : Path
        The saved book.
    contents : Contents
        What should stand in its cells, by the engine.
    program : {'ironcalc', 'libreoffice'}
        Which program recalculates.
    raw : RawBook, optional
        The book, where it has been read already.
    recalculated : mapping of str to mapping of (row, column) to value, optional
        What its formula cells are recalculated to be, where that is known already.

    Returns
    -------
    Checked
        Counts and findings.

    Raises
    ------
    Refused
        The file cannot be read or recalculated.
    """
    book = raw if raw is not None else read_raw(path)
    wanted = expected(contents, date1904=book.date1904)
    shows = {
        sheet: {cell for cell, one in cells.items() if one.kind in {"show", "filtered"}} for sheet, cells in wanted.items()
    }
    proved = structure(book, types_of(contents), shows, frozenset(defined_names(contents.plan)))
    if recalculated is None:
        cells = formula_cells(book)
        steps.say(f"checking {sum(map(len, cells.values())):,} formulas …")
        with readable(book) as copy:
            recalculated = recalculate(copy, program, {sheet: cells[sheet] for sheet in wanted if sheet in cells})
    counts, findings = compare(book, recalculated, wanted)
    return Checked(counts, (*proved, *findings))
