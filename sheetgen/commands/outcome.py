"""What commands that build share: no file is written over unasked, and what was built is said in one way."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import attrs
import click

from sheetgen.checked_words import made_line
from sheetgen.findings import Finding, Refused, Severity
from sheetgen.terminal import leave, print_json, show_findings

if TYPE_CHECKING:
    from collections.abc import Iterable

    from sheetgen.build import Built
    from sheetgen.check.compare import Counts


def keep(out: Path, *, replace: bool) -> None:
    """Refuse to write over a file unless that is asked for."""
    if out.is_dir():
        mend = f"name the file to make in it, as in {out / 'book.xlsx'}"
        raise Refused([Finding("output-name", Severity.ERROR, str(out), "is a folder; nothing was written", mend)])
    if out.exists() and not replace:
        what = "is there already and may be filled; nothing was written"
        raise Refused([Finding("output-there", Severity.ERROR, str(out), what, "choose another name, or add --replace")])


def refuse_source(out: Path, *read: tuple[Path | None, str]) -> None:
    """Refuse to write over a file that is read.

    Parameters
    ----------
    out : Path
        Where the output goes.
    *read : tuple of (Path or None, str)
        Each file that is read, and what it is.

    Raises
    ------
    Refused
        They are the same file.
    """
    for path, what in read:
        if path is not None and out.resolve() == path.resolve():
            raise Refused([Finding("output-input", Severity.ERROR, str(out), f"is {what} that is read", "choose another name")])


def hand_over(ctx: click.Context, built: Built, findings: Iterable[Finding], *, strict: bool, as_json: bool) -> None:
    """Say what was built, and leave."""
    findings = tuple(findings)
    if as_json:
        print_json({"book": str(built.path), "counts": counts(built.counts), "findings": [f.record() for f in findings]})
    else:
        click.echo(made_line(built))
        show_findings(findings)
    leave(ctx, findings, least=Severity.LOOK if strict else Severity.ERROR)


def counts(told: Counts) -> dict[str, int]:
    """Return what was found, recalculated and compared, for programs."""
    return attrs.asdict(told)
