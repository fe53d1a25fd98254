"""``sheetgen proposal``."""

from __future__ import annotations

import datetime as dt
from pathlib import Path

import click

from sheetgen.commands.outcome import keep, refuse_source
from sheetgen.findings import Severity
from sheetgen.options import FILE, as_day, json_option, strict_option
from sheetgen.terminal import leave, print_json, show_findings


@click.command()
@click.argument("book", type=FILE)
@click.option("--out", type=FILE, required=True, help="The page to make, a workbook that holds nothing but the page.")
@click.option("--pdf", is_flag=True, help="Make a PDF beside it, by LibreOffice.")
@click.option("--picture", "picture_file", type=FILE, help="PNG or JPEG of the firm [default: the picture in the book].")
@click.option("--date", "made_on", callback=as_day, help="Day written into the properties [default: today].")
@click.option("--replace", is_flag=True, help="Replace what is there already.")
@strict_option
@json_option
@click.pass_context
def proposal(
    ctx: click.Context, book: Path, *, out: Path, pdf: bool, picture_file: Path | None, made_on: dt.date, replace: bool, strict: bool,
    as_json: bool,
) -> None:  # fmt: skip
    """Make the page for the customer from a filled bid: what Proposal says, and nothing of the bid behind it.

    \b
    Example: sheetgen proposal garage.xlsx --out for-the-customer.xlsx --pdf
    """
    from sheetgen.picture import read_picture
    from sheetgen.proposal import make_proposal

    refuse_source(out, (book, "the bid"))
    for goal in (out, *([out.with_suffix(".pdf")] if pdf else [])):
        keep(goal, replace=replace)
    picture = None if picture_file is None else read_picture(picture_file)
    made = make_proposal(book, out, made_on=made_on, picture=picture, pdf=pdf)
    if as_json:
        told = {"page": str(made.path), "pdf": None if made.pdf is None else str(made.pdf), "values": made.values}
        print_json({**told, "findings": [one.record() for one in made.findings]})
    else:
        click.echo(f"made {made.path}: {made.values} values of the book, read back and compared; no formula, name or hidden part")
        if made.pdf is not None:
            click.echo(f"made {made.pdf}")
        show_findings(made.findings)
    leave(ctx, made.findings, least=Severity.LOOK if strict else Severity.ERROR)
