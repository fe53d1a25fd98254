"""``sheetgen carry``."""

from __future__ import annotations

import datetime as dt
from pathlib import Path
from typing import TYPE_CHECKING

import attrs
import click

from sheetgen.commands.outcome import counts, counts_line, keep, refuse_source
from sheetgen.findings import Severity
from sheetgen.options import FILE, as_day, as_row_counts, json_option, recalculate_option, strict_option
from sheetgen.terminal import leave, plain, print_json, show_findings

if TYPE_CHECKING:
    from collections.abc import Mapping

    from sheetgen.carry import Carried
    from sheetgen.check.recalculate import Program
    from sheetgen.findings import Finding
    from sheetgen.units import System

# So many changed entries are printed; all of them as JSON.
_SHOWN = 20


@click.command()
@click.argument("old", type=FILE)
@click.option("--out", type=FILE, required=True, help="The new book.")
@click.option("--units", "system", type=click.Choice(["us", "metric"]), help="Units of the new book [default: those of OLD].")
@click.option(
    "--rows", multiple=True, callback=as_row_counts, metavar="TABLE=N", help="Prepare N rows, as in areas=200; may be repeated."
)  # fmt: skip
@click.option("--new-job", is_flag=True, help="For another job: an id of its own, no job number, no logs.")
@click.option("--date", "made_on", callback=as_day, help="Day written into the book [default: today].")
@click.option("--id", "book_id", default="", help="Id of the new book [default: that of OLD, for it is the same job].")
@click.option("--replace", is_flag=True, help="Replace OUT where it is there already.")
@recalculate_option
@strict_option
@json_option
@click.pass_context
def carry(
    ctx: click.Context, old: Path, *, out: Path, system: System | None, rows: dict[str, int], new_job: bool, made_on: dt.date,
    book_id: str, replace: bool, program: Program, strict: bool, as_json: bool,
) -> None:  # fmt: skip
    """Carry a filled book into a new one: of the present version, with more rows, or in other units.

    \b
    Example: sheetgen carry garage.xlsx --out larger.xlsx --rows areas=200
    """
    from sheetgen.carry import carry as carry_over

    refuse_source(out, (old, "the book"))
    keep(out, replace=replace)
    carried = carry_over(old, out, made_on=made_on, system=system, rows=rows, book_id=book_id, new_job=new_job, program=program)
    tell(ctx, old, carried, strict=strict, as_json=as_json)


def tell(
    ctx: click.Context, old: Path, carried: Carried, *, added: Mapping[str, int] | None = None, findings: tuple[Finding, ...] = (),
    strict: bool, as_json: bool,
) -> None:  # fmt: skip
    """Say what was carried, how many rows were added to which table, and leave."""
    built, findings = carried.built, (*findings, *carried.findings)
    rows = {} if added is None else {"added": dict(added)}
    if as_json:
        print_json(
            {
                "book": str(built.path), "counts": counts(built.counts), **rows, "moved": carried.moved,
                "changed": [attrs.asdict(one) for one in carried.changed],
                "left_over": [attrs.asdict(one) for one in carried.left_over],
                "findings": [one.record() for one in findings],
            }
        )  # fmt: skip
    else:
        click.echo(f"{built.path}: {counts_line(built.counts)}")
        for name, count in (added or {}).items():
            click.echo(f"{count} rows added to {name}")
        click.echo(f"{sum(carried.moved.values())} entries {'are in it' if added else f'of {old} moved'}:")
        blocks: dict[str, list[str]] = {}
        for name, count in carried.moved.items():
            block, _, field = name.partition(".")
            blocks.setdefault(block, []).append(f"{field} {count}")
        for block, fields in blocks.items():
            click.echo(f"  {block}: {', '.join(fields)}")
        for one in carried.changed[:_SHOWN]:
            click.echo(plain(f"changed {one.field} ({one.label}): {one.before} → {one.after}"))
        if len(carried.changed) > _SHOWN:
            more = len(carried.changed) - _SHOWN
            click.echo(f"changed {more} more in the same way; --json lists all. All were rounded to twelve digits.")
        show_findings(findings)
    leave(ctx, findings, least=Severity.LOOK if strict else Severity.ERROR)
