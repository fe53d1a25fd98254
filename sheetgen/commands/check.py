"""``sheetgen check``."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from sheetgen.commands.outcome import counts, counts_line
from sheetgen.findings import Severity
from sheetgen.options import FILE, json_option, recalculate_option
from sheetgen.terminal import leave, print_json, progress, show_findings

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

    from sheetgen import pool
    from sheetgen.check import filled
    from sheetgen.sources import workbooks

    found: list[Finding] = []
    results: list[dict[str, Any]] = []
    paths = workbooks(files)
    check_one = functools.partial(filled.told, program=program)
    with progress(len(paths), "checking", quiet=as_json) as done:
        for path, (checked, findings) in zip(paths, pool.in_order(check_one, paths, pool.cores(), filled.lost), strict=True):
            done(path)
            found.extend(findings)
            results.append({"book": str(path), "counts": None if checked is None else counts(checked.counts)})
            if not as_json:
                if checked is not None:
                    click.echo(f"{path}: {counts_line(checked.counts)}")
                show_findings(findings)
    if as_json:
        print_json({"books": results, "findings": [finding.record() for finding in found]})
    leave(ctx, found, least=Severity.LOOK)
