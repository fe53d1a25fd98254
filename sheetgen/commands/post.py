"""``sheetgen post``."""

from __future__ import annotations

import datetime as dt
from pathlib import Path

import attrs
import click

from sheetgen.findings import Severity
from sheetgen.options import FILE, as_day, as_reason, json_option, strict_option
from sheetgen.terminal import leave, print_json, show_findings


@click.command()
@click.argument("files", type=FILE, nargs=-1, required=True)
@click.option("--ledger", type=FILE, help="The ledger [default: ledger.sqlite beside the first of FILES].")
@click.option(
    "--amend", metavar="WHY", callback=as_reason, help="Post anew what was changed after it was posted; the old figures stay."
)  # fmt: skip
@click.option("--date", "day", callback=as_day, help="Day of the posting [default: today].")
@strict_option
@json_option
@click.pass_context
def post(
    ctx: click.Context, files: tuple[Path, ...], *, ledger: Path | None, amend: str, day: dt.date, strict: bool, as_json: bool
) -> None:
    """Record jobs that are done or closed in the ledger; a job that is there already stays as it was posted.

    \b
    Example: sheetgen post jobs/ --ledger ledger.sqlite
    """
    from sheetgen import pool, show, steps
    from sheetgen.post import post as enter
    from sheetgen.sources import ledger_beside, workbooks

    paths = workbooks(files)
    ledger = ledger or ledger_beside(None, files)
    with steps.of_books(len(paths), "reading") as done:
        outcomes, findings = enter(paths, ledger, day=day, amend=amend, each=done, processes=pool.cores())
    if as_json:
        books = [attrs.asdict(one) for one in outcomes]
        print_json({"ledger": str(ledger), "books": books, "findings": [one.record() for one in findings]})
    else:
        show.posted(outcomes, ledger)
        show_findings(findings)
    leave(ctx, findings, least=Severity.LOOK if strict else Severity.ERROR)
