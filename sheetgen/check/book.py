"""One book of ours on the bench: structure proved, recalculated, every formula cell compared with the engine."""

from __future__ import annotations

from pathlib import Path

import attrs

from sheetgen.book.contents import Contents
from sheetgen.check.compare import Counts, compare
from sheetgen.check.meet import expected
from sheetgen.check.recalculate import Program, formula_cells, recalculate
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


def check_file(path: Path, contents: Contents, program: Program = "ironcalc", raw: RawBook | None = None) -> Checked:
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
    wanted = expected(contents)
    shows = {
        sheet: {cell for cell, one in cells.items() if one.kind == "show"} for sheet, cells in wanted.items()
    }
    proved = structure(book, types_of(contents), shows)
    recalculated = recalculate(path, program, formula_cells(book))
    counts, findings = compare(book, recalculated, wanted)
    return Checked(counts, (*proved, *findings))
