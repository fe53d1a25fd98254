"""``sheetgen carry``."""

from __future__ import annotations

import datetime as dt
from collections import Counter
from pathlib import Path
from typing import TYPE_CHECKING

import attrs
import click

from sheetgen.checked_words import made_line
from sheetgen.commands.outcome import counts, keep, refuse_source
from sheetgen.findings import Severity
from sheetgen.options import FILE, all_option, as_day, as_row_counts, json_option, recalculate_option, strict_option
from sheetgen.terminal import leave, plain, print_json, show_findings

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping

    from sheetgen.carry import Carried
    from sheetgen.check.recalculate import Program
    from sheetgen.findings import Finding
    from sheetgen.units import System


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
@all_option
@recalculate_option
@strict_option
@json_option
@click.pass_context
def carry(
    ctx: click.Context, old: Path, *, out: Path, system: System | None, rows: dict[str, int], new_job: bool, made_on: dt.date,
    book_id: str, replace: bool, every: bool, program: Program, strict: bool, as_json: bool,
) -> None:  # fmt: skip
    """Carry a filled book into a new one: of the present version, with more rows, or in other units.

    \b
    Example: sheetgen carry garage.xlsx --out larger.xlsx --rows areas=200
    """
    from sheetgen.carry import carry as carry_over

    refuse_source(out, (old, "the book"))
    keep(out, replace=replace)
    carried = carry_over(old, out, made_on=made_on, system=system, rows=rows, book_id=book_id, new_job=new_job, program=program)
    tell(ctx, old, carried, every=every, strict=strict, as_json=as_json)


def tell(
    ctx: click.Context, old: Path, carried: Carried, *, added: Mapping[str, int] | None = None, findings: tuple[Finding, ...] = (),
    every: bool, strict: bool, as_json: bool,
) -> None:  # fmt: skip
    """Say what was carried, how many rows were added to which table, and leave."""
    built, entries, findings = carried.built, carried.entries, (*findings, *carried.findings)
    rows = {} if added is None else {"added": dict(added)}
    if as_json:
        print_json(
            {
                "book": str(built.path), "counts": counts(built.counts), **rows, "moved": entries.moved, "kept": entries.kept,
                "changed": [attrs.asdict(one) for one in entries.changed], "new": entries.added, "ended": entries.ended,
                "left_over": [attrs.asdict(one) for one in carried.left_over],
                "findings": [one.record() for one in findings],
            }
        )  # fmt: skip
    else:
        click.echo(made_line(built))
        for table, count in (added or {}).items():
            click.echo(f"{count:,} {'row' if count == 1 else 'rows'} of {table.removesuffix('_log')} added to the log")
        for line in lines(old.name, carried, in_logs=added is not None, every=every):
            click.echo(plain(line))
        show_findings(findings)
    leave(ctx, findings, least=Severity.LOOK if strict else Severity.ERROR)


def lines(old: str, carried: Carried, *, in_logs: bool, every: bool) -> Iterator[str]:
    """Yield what became of what was typed: in one sentence, then what should be seen, or every entry."""
    entries, left_over = carried.entries, len(carried.left_over)
    total = sum(entries.moved.values())
    told = Counter[str](one.kind for one in entries.changed if one.before != "blank")
    words = {
        "converted": f"converted to {'US' if entries.system == 'us' else 'metric'} units", "joined": "of inches joined with their feet",
        "reworded": "said otherwise",
    }  # fmt: skip
    parts = ["all as they were"] if entries.kept == total else [f"{entries.kept:,} as they were"]
    parts += [f"{told[kind]:,} {word}" for kind, word in words.items() if told[kind]]
    yield f"{total:,} entries of {old} came over: {', '.join(parts)}; {left_over:,} left over"
    if entries.ended:
        yield f"{sum(entries.ended.values()):,} entries belong to the old job alone and did not come along: {_blocks(entries.ended)}"
    if fresh := [name for name in entries.added if not (in_logs and name.partition(".")[0].endswith("_log"))]:
        yield f"{len(fresh):,} fields are new in this version and hold starter values: {', '.join(fresh)}"
    if every:
        yield from (f"  {line}" for line in _by_block(entries.moved))
    shown = [one for one in entries.changed if every or one.worth_seeing]
    if any(one.seen for one in shown):
        yield "Where a cell shows less than it holds, the book reckons with what it holds."
    yield from (f"  {one.line()}" for one in shown)
    if not every:
        yield "Every field and every entry: add --all, or --json."


def _by_block(fields: Mapping[str, int]) -> Iterator[str]:
    """Yield the count of every field, a line for each table."""
    blocks: dict[str, list[str]] = {}
    for name, count in fields.items():
        block, _, field = name.partition(".")
        blocks.setdefault(block, []).append(f"{field} {count}")
    yield from (f"{block}: {', '.join(held)}" for block, held in blocks.items())


def _blocks(fields: Mapping[str, int]) -> str:
    """Return the tables of which fields are."""
    return ", ".join(dict.fromkeys(name.partition(".")[0] for name in fields))
