"""``sheetgen check``."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from sheetgen.commands.outcome import counts, counts_line
from sheetgen.findings import Finding, Refused, Severity
from sheetgen.options import FILE, json_option, recalculate_option
from sheetgen.terminal import leave, print_json, progress, show_findings

if TYPE_CHECKING:
    from sheetgen.check.recalculate import Program


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
    from sheetgen.check import filled
    from sheetgen.sources import workbooks

    found: list[Finding] = []
    results: list[dict[str, Any]] = []
    paths = workbooks(files)
    with progress(len(paths), "checking", quiet=as_json) as done:
        for path in paths:
            try:
                checked = filled.check_filled(path, program)
            except Refused as refused:
                found.extend(refused.findings)
                results.append({"book": str(path), "counts": None})
                if not as_json:
                    show_findings(refused.findings)
                continue
            finally:
                done(path)
            found.extend(checked.findings)
            results.append({"book": str(path), "counts": counts(checked.counts)})
            if not as_json:
                click.echo(f"{path}: {counts_line(checked.counts)}")
                show_findings(checked.findings)
    if as_json:
        print_json({"books": results, "findings": [finding.record() for finding in found]})
    leave(ctx, found, least=Severity.LOOK)
