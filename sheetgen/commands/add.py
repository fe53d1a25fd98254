"""``sheetgen add``."""

from __future__ import annotations

import datetime as dt
from pathlib import Path
from typing import TYPE_CHECKING

import click

from sheetgen.checked_words import made_line
from sheetgen.commands.given import bid_options, job_given
from sheetgen.commands.outcome import counts, keep, refuse_source
from sheetgen.findings import Severity
from sheetgen.options import FILE, json_option, recalculate_option, strict_option
from sheetgen.terminal import leave, plain, print_json, show_findings

if TYPE_CHECKING:
    from collections.abc import Iterator

    from sheetgen.check.recalculate import Program
    from sheetgen.host.add import Added
    from sheetgen.units import System


@click.command()
@click.argument("host", type=FILE)
@click.option("--out", type=FILE, required=True, help="Copy of HOST to make, with the sheets of the bid.")
@click.option("--prefix", default="", help="Put before each sheet and name of the bid, as in 'Job 7 '.")
@click.option(
    "--link", "links", multiple=True, metavar="INPUT=CELL",
    help="Take an input from a cell of HOST, as in customer=Customers!B4; may be repeated.",
)  # fmt: skip
@bid_options
@click.option("--replace", is_flag=True, help="Replace the file at --out where it is there already.")
@recalculate_option
@strict_option
@json_option
@click.pass_context
def add(
    ctx: click.Context, host: Path, *, out: Path, prefix: str, links: tuple[str, ...], system: System | None, rate_book: Path | None,
    job_file: Path | None, areas_file: Path | None, picture_file: Path | None, rows: dict[str, int], made_on: dt.date, book_id: str,
    replace: bool, program: Program, strict: bool, as_json: bool,
) -> None:  # fmt: skip
    """Put the sheets of a bid into a copy of your own workbook, checked cell by cell; HOST itself stays as it is.

    \b
    Example: sheetgen add office.xlsx --out office-7.xlsx --prefix "Job 7 " --link customer=Customers!B4
    """
    from sheetgen.host.add import add as put_in
    from sheetgen.picture import read_picture

    job, rows, noted = job_given(system, rate_book, job_file, areas_file, rows)
    refuse_source(out, (host, "the workbook"), (rate_book, "the rate book"))
    keep(out, replace=replace)
    picture = None if picture_file is None else read_picture(picture_file)
    added = put_in(
        host, out, job, made_on=made_on, book_id=book_id, rows=rows, prefix=prefix, links=links, picture=picture, program=program
    )
    findings = (*noted, *added.findings)
    if as_json:
        stands = {"sheets": added.sheets, "behind": added.behind, "prefix": prefix, "links": added.links, "price": added.price}
        told = {"book": str(added.path), "counts": counts(added.counts), **stands}
        print_json({**told, "findings": [finding.record() for finding in findings]})
    else:
        click.echo(made_line(added))
        for line in _how_it_stands(added):
            click.echo(plain(line))
        show_findings(findings)
    leave(ctx, findings, least=Severity.LOOK if strict else Severity.ERROR)


def _how_it_stands(added: Added) -> Iterator[str]:
    yield f"{len(added.sheets)} sheets were added behind '{added.behind}': '{added.sheets[0]}' to '{added.sheets[-1]}'"
    for name, cell in added.links.items():
        yield f"{name} is taken from {cell}"
    yield f"in a cell of yours, {added.price} is the price"
