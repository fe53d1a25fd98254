"""A filled book on the bench: its inputs read, the engine run on them, and every formula cell compared."""

from __future__ import annotations

from pathlib import Path
from typing import Final

import attrs

from sheetgen.check.book import Checked, check_file, check_form
from sheetgen.check.compare import Counts
from sheetgen.check.follow import without_followers
from sheetgen.check.looks import to_look_at
from sheetgen.check.meet import beside_job, contents_of, contents_of_tables, job_of, tables_of
from sheetgen.check.recalculate import Program
from sheetgen.findings import Finding, Refused, Severity
from sheetgen.reader.filled import Filled, read_each
from sheetgen.reader.touched import touched

# What XlsxWriter says of itself, and the program that its files are made for.
_OURS: Final = "Microsoft Excel"
# Rules of form that are told cell by cell against the book's twin: one formula a column, inputs, validations.
_TOUCHED: Final = ("rule-3-", "rule-13-", "rule-16-")


def told(path: Path, program: Program = "ironcalc") -> tuple[Checked | None, tuple[Finding, ...]]:
    """Check one of many books, of which one that is refused does not stop the others.

    Returns
    -------
    checked : Checked or None
        What was counted; None where the book is refused.
    findings : tuple of Finding
        What was found, or why it is refused.
    """
    try:
        checked = check_filled(path, program)
    except Refused as refused:
        return None, refused.findings
    return checked, checked.findings


def lost(_: Path, finding: Finding) -> tuple[None, tuple[Finding, ...]]:
    """Return what is told of a book that was too much for a worker."""
    return None, (finding,)


def check_filled(path: Path, program: Program = "ironcalc") -> Checked:
    """Check a book that a person may have filled, or every book that stands in a person's own workbook.

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
    counts = Counts()
    findings: list[Finding] = []
    refused = False
    for filled in read_each(path):
        try:
            checked = _check(filled, program)
        except Refused as why:
            refused = True
            findings += why.findings
        else:
            counts = counts.plus(checked.counts)
            findings += checked.findings
    if refused:
        raise Refused(findings)
    return Checked(counts, tuple(findings))


def _check(filled: Filled, program: Program) -> Checked:
    changed = touched(filled)
    # What was seen on reading is not said again.
    seen = {(finding.code, finding.place) for finding in filled.findings}
    findings = [*filled.findings, *(one for one in changed.findings if (one.code, one.place) not in seen)]
    if any(finding.severity is Severity.ERROR for finding in filled.findings):
        raise Refused(findings)
    if filled.outdated:
        what = "the formulas were not recalculated: they are those of an earlier template version"
        findings.append(Finding("compared-none", Severity.LOOK, filled.name, what, "carry the book into a new one: sheetgen carry"))
        return Checked(Counts(), tuple(findings))
    if filled.located.astray or len(filled.located.sheets) < len(filled.compiled.plan.book.sheets):
        what = "the formulas were not recalculated: sheets, rows or columns are not where they belong"
        findings.append(Finding("compared-none", Severity.LOOK, filled.name, what, "put them back, or carry the book into a new one"))
        return Checked(Counts(), tuple(findings))
    if filled.stamp.kind == "cost":
        contents = contents_of_tables(filled.compiled, tables_of(filled.entries))
    else:
        job = job_of(filled.entries, filled.stamp.system)
        contents = contents_of(filled.compiled, job, beside_job(filled.entries), filled.links)
    checked = check_file(filled.path, contents, program, filled.raw)
    findings.extend(without_followers(checked.findings, filled.raw, changed, filled.findings))
    broken = [one for one in check_form(filled.raw, contents, fresh=False) if not one.code.startswith(_TOUCHED)]
    if filled.raw.application != _OURS:
        # Another program's way of saving (panes, texts of charts) is not what a person did to the book.
        broken = [attrs.evolve(one, severity=Severity.NOTE) for one in broken]
    looks = () if filled.stamp.kind == "cost" else to_look_at(contents, filled.path.name)
    return attrs.evolve(checked, findings=(*findings, *broken, *looks))
