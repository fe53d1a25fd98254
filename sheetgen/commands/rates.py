"""``sheetgen rates``."""

from __future__ import annotations

import datetime as dt
from pathlib import Path
from typing import TYPE_CHECKING

import click

from sheetgen.commands.outcome import hand_over, keep
from sheetgen.findings import Severity
from sheetgen.options import FILE, as_day, as_row_counts, json_option, recalculate_option, strict_option
from sheetgen.terminal import leave, plain, print_json, show_findings

if TYPE_CHECKING:
    from sheetgen.check.recalculate import Program
    from sheetgen.units import System


@click.command()
@click.argument("out", type=FILE, required=False)
@click.option("--units", "system", type=click.Choice(["us", "metric"]), default="us", show_default=True, help="Units of the book.")
@click.option(
    "--rows", multiple=True, callback=as_row_counts, metavar="TABLE=N", help="Prepare N rows, as in tasks=80; may be repeated."
)  # fmt: skip
@click.option("--date", "made_on", callback=as_day, help="Day written into the book [default: today].")
@click.option("--id", "book_id", default="", help="Id of the book [default: random].")
@click.option("--replace", is_flag=True, help="Replace OUT where it is there already.")
@click.option("--compare", "compared", type=(FILE, FILE), metavar="OLD NEW", help="Say what changed from one rate book to another.")
@recalculate_option
@strict_option
@json_option
@click.pass_context
def rates(
    ctx: click.Context, out: Path | None, *, system: System, rows: dict[str, int], made_on: dt.date, book_id: str, replace: bool,
    compared: tuple[Path, Path] | None, program: Program, strict: bool, as_json: bool,
) -> None:  # fmt: skip
    """Make a rate book, from which every bid takes its copy; or compare two.

    \b
    Example: sheetgen rates rates.xlsx --units us
    """
    if (out is None) == (compared is None):
        raise click.UsageError("Name the rate book to make, or two to --compare.")
    if compared is not None:
        _compare_rates(ctx, *compared, strict=strict, as_json=as_json)
        return
    assert out is not None
    from sheetgen import jobfile
    from sheetgen.rates import build_rates

    keep(out, replace=replace)
    built = build_rates(jobfile.starter(system), out, made_on=made_on, book_id=book_id, rows=rows, program=program)
    hand_over(ctx, built, built.findings, strict=strict, as_json=as_json)


def _compare_rates(ctx: click.Context, old_path: Path, new_path: Path, *, strict: bool, as_json: bool) -> None:
    """Print what changed from one rate book to another, and leave."""
    from sheetgen.rate_changes import changes
    from sheetgen.rates import read_rates

    new = read_rates(new_path)
    old = read_rates(old_path).in_system(new.job.system)
    found = changes(old, new)
    findings = (*old.findings, *new.findings)
    if as_json:
        print_json({"changes": [change.as_record() for change in found], "findings": [f.record() for f in findings]})
    else:
        for change in found:
            click.echo(plain(change.line()))
        click.echo(f"{len(found)} changes from {old_path} to {new_path}")
        show_findings(findings)
    leave(ctx, findings, least=Severity.LOOK if strict else Severity.ERROR)
