"""``sheetgen tune``."""

from __future__ import annotations

import datetime as dt
from pathlib import Path
from typing import TYPE_CHECKING

import click

from sheetgen.checked_words import made_line
from sheetgen.commands.outcome import counts, keep, refuse_source
from sheetgen.findings import Severity
from sheetgen.options import FILE, as_day, json_option, recalculate_option, strict_option
from sheetgen.terminal import leave, plain, print_json, show_findings

if TYPE_CHECKING:
    from sheetgen.check.recalculate import Program


@click.command()
@click.argument("files", type=FILE, nargs=-1)
@click.option("--ledger", type=FILE, help="Without FILES, the ledger whose jobs are read.")
@click.option("--rates", "rate_book", type=FILE, required=True, help="The rate book whose rates are looked at.")
@click.option("--out", type=FILE, help="Rate book to make, with the sheet Tuning; the one that is read stays as it is.")
@click.option(
    "--half-life", type=click.FloatRange(min=0, min_open=True), metavar="DAYS",
    help="Days in which a job comes to count half as much [default: all jobs count alike].",
)  # fmt: skip
@click.option("--date", "made_on", callback=as_day, help="Day written into the book, from which the age of jobs counts [default: today].")
@click.option("--id", "book_id", default="", help="Id of the new book [default: random].")
@click.option("--replace", is_flag=True, help="Replace OUT where it is there already.")
@recalculate_option
@strict_option
@json_option
@click.pass_context
def tune(
    ctx: click.Context, files: tuple[Path, ...], *, ledger: Path | None, rate_book: Path, out: Path | None, half_life: float | None,
    made_on: dt.date, book_id: str, replace: bool, program: Program, strict: bool, as_json: bool,
) -> None:  # fmt: skip
    """Say which rates past jobs prove wrong, and make a rate book in which the owner decides on each.

    \b
    Example: sheetgen tune jobs/ --rates rates.xlsx --out rates-new.xlsx
    """
    if bool(files) == (ledger is not None):
        raise click.UsageError("Name filled books, or the ledger to which they were posted with --ledger; not both.")
    if out is not None:
        refuse_source(out, (rate_book, "the rate book"), *((path, "a book") for path in files))
        keep(out, replace=replace)
    from sheetgen import pool, sources, steps, tuning_tables, tuning_words
    from sheetgen import tune as tuned_by
    from sheetgen.rates import build_rates, read_rates

    rates = read_rates(rate_book)
    if ledger is not None:
        learned = tuned_by.learn(tuned_by.from_ledger(ledger, rates), rates, day=made_on, half_life=half_life)
    else:
        paths = [path for path in sources.workbooks(files) if path.resolve() != rate_book.resolve()]
        with steps.of_books(len(paths), "reading") as done:
            met = tuned_by.from_books(paths, rates, each=done, processes=pool.cores())
            learned = tuned_by.learn(met, rates, day=made_on, half_life=half_life)
    tables = tuning_tables.tables_of(learned)
    findings = [*rates.findings, *learned.findings]
    built = None
    if out is not None:
        shown, cut = tuning_tables.fitting(tables)
        built = build_rates(
            tuning_tables.with_spreads(learned), out, made_on=made_on, book_id=book_id, rows=rates.rows, tables=shown, program=program
        )
        findings.extend((*cut, *built.findings))
    if as_json:
        made = {} if built is None else {"book": str(built.path), "counts": counts(built.counts)}
        print_json({"tables": tables, **made, "findings": [one.record() for one in findings]})
    else:
        for line in tuning_words.lines(learned, tables):
            click.echo(plain(line))
        if built is not None:
            click.echo(made_line(built))
        show_findings(findings)
    leave(ctx, findings, least=Severity.LOOK if strict else Severity.ERROR)
