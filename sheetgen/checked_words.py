"""What was checked of a book, in words for whoever gets it."""

from __future__ import annotations

from typing import TYPE_CHECKING

from sheetgen.findings import Finding, Severity
from sheetgen.terminal import plain

if TYPE_CHECKING:
    from collections.abc import Iterable

    from sheetgen.build import Built
    from sheetgen.check.compare import Counts


def made_line(built: Built) -> str:
    """Return where a book was put, and what was checked of it, in words."""
    return plain(f"made {built.path}: {checked_line(built.counts, built.findings)}")


def checked_line(told: Counts, findings: Iterable[Finding]) -> str:
    """Return in words what was checked of a book; the numbers that it rests on are those of `counts`."""
    if not told.found:
        return "no formula was checked, see below"
    if any(finding.severity is Severity.ERROR for finding in findings):
        return f"{told.found:,} formulas checked, and something is wrong, see below"
    agreeing = told.compared + told.shows
    if told.recalculated == told.found == agreeing:
        return f"all {told.found:,} formulas checked, every figure agrees with the independent engine"
    others = f"the other {told.found - agreeing:,} take over cells of yours or follow a filter that is set"
    return f"{agreeing:,} of {told.found:,} formulas agree with the independent engine; {others}"
