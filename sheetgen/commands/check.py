"""``sheetgen check``."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from sheetgen.checked_words import checked_line
from sheetgen.commands.outcome import counts
from sheetgen.findings import Severity
from sheetgen.options import FILE, json_option, recalculate_option
from sheetgen.terminal import leave, plain, print_json, show_findings

if TYPE_CHECKING:
    from sheetgen.check.recalculate import Program
    from sheetgen.findings import Finding


@click.command()
@click.argument("files", type=FILE, nargs=-1, required=True)
@recalculate_option
@json_option
@click.pass_context
def check(ctx: click.Context, files: tuple[Path, ...], *, program: Program, as_json: bool) -> None:
    """Recalculate books, compare every formula cell with the engine, and say what was touched.

    \b
    Example: sheetgen check garage.xlsx --recalculate libreoffice
    """
    import functools

    from sheetgen import pool, steps
    from sheetgen.check import filled
    from sheetgen.sources import workbooks

    found: list[Finding] = []
    results: list[dict[str, Any]] = []
    paths = workbooks(files)
    check_one = functools.partial(filled.told, program=program)
    with steps.of_books(len(paths), "checking") as done:
        for path, (checked, findings) in zip(paths, pool.in_order(check_one, paths, pool.cores(), filled.lost), strict=True):
            found.extend(findings)
            results.append({"book": str(path), "counts": None if checked is None else counts(checked.counts)})
            if not as_json:
                steps.say("")
                if checked is not None:
                    click.echo(plain(f"{path}: {checked_line(checked.counts, findings)}"))
                show_findings(findings)
            done(path)
    if as_json:
        print_json({"books": results, "findings": [finding.record() for finding in found]})
    leave(ctx, found, least=Severity.LOOK)
