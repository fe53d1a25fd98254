"""``sheetgen bid``."""

from __future__ import annotations

import datetime as dt
from pathlib import Path
from typing import TYPE_CHECKING

import click

from sheetgen.checked_words import made_line
from sheetgen.commands.given import bid_options, job_given
from sheetgen.commands.outcome import counts, hand_over, keep, refuse_source
from sheetgen.findings import Severity
from sheetgen.options import FILE, json_option, recalculate_option, strict_option
from sheetgen.terminal import leave, plain, print_json, show_findings

if TYPE_CHECKING:
    from sheetgen.check.recalculate import Program
    from sheetgen.units import System


@click.command()
@click.argument("out", type=FILE)
@click.option("--reprice", "open_bid", type=FILE, help="Filled bid book that is built anew with the rates of --rates.")
@bid_options
@click.option("--replace", is_flag=True, help="Replace OUT where it is there already.")
@recalculate_option
@strict_option
@json_option
@click.pass_context
def bid(
    ctx: click.Context, out: Path, *, system: System | None, rate_book: Path | None, open_bid: Path | None, job_file: Path | None,
    areas_file: Path | None, picture_file: Path | None, rows: dict[str, int], made_on: dt.date, book_id: str, replace: bool,
    program: Program, strict: bool, as_json: bool,
) -> None:  # fmt: skip
    """Make a bid book, checked cell by cell.

    \b
    Example: sheetgen bid garage.xlsx --units us --date 2026-05-31

    \b
    An open bid with new rates, old and new figures side by side:
    sheetgen bid garage-2.xlsx --reprice garage.xlsx --rates rates.xlsx
    """
    if open_bid is not None:
        if rate_book is None or job_file or areas_file or system or picture_file:
            raise click.UsageError("--reprice takes the bid as it is: name --rates, and no --units, --job, --areas or --picture.")
        refuse_source(out, (rate_book, "the rate book"), (open_bid, "the bid"))
        keep(out, replace=replace)
        _reprice(ctx, open_bid, rate_book, out, made_on=made_on, rows=rows, program=program, strict=strict, as_json=as_json)
        return
    from sheetgen import build
    from sheetgen.picture import read_picture

    job, rows, noted = job_given(system, rate_book, job_file, areas_file, rows)
    refuse_source(out, (rate_book, "the rate book"))
    keep(out, replace=replace)
    picture = None if picture_file is None else read_picture(picture_file)
    built = build.build_bid(job, out, made_on=made_on, book_id=book_id, rows=rows, picture=picture, program=program)
    hand_over(ctx, built, (*noted, *built.findings), strict=strict, as_json=as_json)


def _reprice(
    ctx: click.Context, open_bid: Path, rate_book: Path, out: Path, *, made_on: dt.date, rows: dict[str, int], program: Program,
    strict: bool, as_json: bool,
) -> None:  # fmt: skip
    """Build an open bid anew with the rates of a rate book, print what changed, and leave."""
    from sheetgen.rates import read_rates
    from sheetgen.reprice import reprice

    done = reprice(open_bid, read_rates(rate_book), out, made_on=made_on, rows=rows, program=program)
    if as_json:
        told = {"book": str(done.built.path), "counts": counts(done.built.counts), "figures": [one.as_record() for one in done.moved]}
        print_json({**told, "findings": [one.record() for one in done.findings]})
    else:
        for moved in done.moved:
            click.echo(plain(moved.line()))
        click.echo(f"{len(done.moved)} figures changed by the rates")
        click.echo(made_line(done.built))
        show_findings(done.findings)
    leave(ctx, done.findings, least=Severity.LOOK if strict else Severity.ERROR)
