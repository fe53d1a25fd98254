"""A filled book on the bench: its inputs read, the engine run on them, and every formula cell compared."""

from __future__ import annotations

from pathlib import Path
from typing import Final

import attrs

from sheetgen.check.book import Checked, check_file, check_form
from sheetgen.check.looks import to_look_at
from sheetgen.check.meet import beside_job, contents_of, contents_of_tables, job_of, tables_of
from sheetgen.check.recalculate import Program
from sheetgen.findings import Refused, Severity
from sheetgen.reader.filled import read_filled

# What XlsxWriter says of itself, and the program that its files are made for.
_OURS: Final = "Microsoft Excel"


def check_filled(path: Path, program: Program = "ironcalc") -> Checked:
    """Check a book that a person may have filled.

    Parameters
    ----------
    path : Path
        The file; it is never written to.
    program : {'ironcalc', 'libreoffice'}
        Which program recalculates.

    Returns
    -------
    Checked
        Counts, and findings: of reading, of structure, of every cell that differs, and of the sheets' state.

    Raises
    ------
    Refused
        The file cannot be read, or an input in it cannot.
    """
    filled = read_filled(path)
    if any(finding.severity is Severity.ERROR for finding in filled.findings):
        raise Refused(filled.findings)
    if filled.stamp.kind == "cost":
        contents = contents_of_tables(filled.compiled, tables_of(filled.entries))
    else:
        job = job_of(filled.entries, filled.stamp.system)
        contents = contents_of(filled.compiled, job, beside_job(filled.entries))
    checked = check_file(path, contents, program, filled.raw)
    broken = check_form(filled.raw, contents, fresh=False)
    if filled.raw.application != _OURS:
        # Another program's way of saving (panes, texts of charts) is not what a person did to the book.
        broken = tuple(attrs.evolve(one, severity=Severity.NOTE) for one in broken)
    looks = () if filled.stamp.kind == "cost" else to_look_at(contents, path.name)
    return attrs.evolve(checked, findings=(*filled.findings, *checked.findings, *broken, *looks))
