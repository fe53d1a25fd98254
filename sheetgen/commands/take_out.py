"""``sheetgen take-out``."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import click

from sheetgen.commands.outcome import keep, refuse_source
from sheetgen.findings import Severity
from sheetgen.options import FILE, json_option, recalculate_option, strict_option
from sheetgen.terminal import leave, print_json, show_findings

if TYPE_CHECKING:
    from sheetgen.check.recalculate import Program


@click.command("take-out")
@click.argument("file", type=FILE)
@click.option("--out", type=FILE, required=True, help="Copy of FILE to make, without the sheets of the bid.")
@click.option("--prefix", help="What stands before the sheets of the bid, where FILE holds several.")
@click.option("--values", is_flag=True, help="Where your own formulas use the bid, leave the figures that they show.")
@click.option("--replace", is_flag=True, help="Replace the file at --out where it is there already.")
@recalculate_option
@strict_option
@json_option
@click.pass_context
def take_out(
    ctx: click.Context, file: Path, *, out: Path, prefix: str | None, values: bool, replace: bool, program: Program, strict: bool,
    as_json: bool,
) -> None:  # fmt: skip
    """Take the sheets of a bid out of a copy of your own workbook, which is then what it was; FILE itself stays as it is.

    \b
    Example: sheetgen take-out office-7.xlsx --out office.xlsx --prefix "Job 7 "
    """
    from sheetgen.host.take_out import take_out as take

    refuse_source(out, (file, "the workbook"))
    keep(out, replace=replace)
    built = take(file, out, prefix=prefix, leave=values, program=program)
    if as_json:
        print_json({"book": str(built.path), "findings": [finding.record() for finding in built.findings]})
    else:
        click.echo(f"{built.path}: the bid was taken out")
        show_findings(built.findings)
    leave(ctx, built.findings, least=Severity.LOOK if strict else Severity.ERROR)
