"""``sheetgen reconcile``."""

from __future__ import annotations

import datetime as dt
from pathlib import Path
from typing import TYPE_CHECKING

import attrs
import click

from sheetgen.findings import Refused, Severity
from sheetgen.options import FILE, all_option, as_day, as_day_or_none, json_option, strict_option
from sheetgen.terminal import leave, print_json, show_findings

if TYPE_CHECKING:
    from sheetgen.units import System


@click.command()
@click.argument("files", type=FILE, nargs=-1)
@click.option(
    "--ledger", type=FILE,
    help="Without FILES, the ledger whose jobs are read. With --since-last, where runs are remembered "
    "[default: ledger.sqlite beside --out, else beside the first of FILES].",
)
@click.option("--since-last", is_flag=True, help="Show what changed since the last run with this option.")
@all_option
@click.option("--out", type=FILE, help="Cost book to make.")
@click.option("--csv", "csv_folder", type=FILE, help="Folder for the tables as CSV files.")
@click.option("--units", "system", type=click.Choice(["us", "metric"]), help="Units of the tables [default: the first book's].")
@click.option("--date", "made_on", callback=as_day, help="Day written into the cost book [default: today].")
@click.option(
    "--as-of", "as_of", callback=as_day_or_none,
    help="Day after which nothing counts: not what was logged, billed or decided later, nor a job that was bid later. "
    "Of a ledger, what was posted later [default: the day of --date].",
)
@click.option("--id", "book_id", default="", help="Id of the cost book [default: random].")
@strict_option
@json_option
@click.pass_context
def reconcile(
    ctx: click.Context, files: tuple[Path, ...], *, ledger: Path | None, since_last: bool, every: bool, out: Path | None,
    csv_folder: Path | None, system: System | None, made_on: dt.date, as_of: dt.date | None, book_id: str, strict: bool, as_json: bool,
) -> None:  # fmt: skip
    """Set actual bags, hours and money against the estimate, over filled books or folders of them, or over a ledger.

    \b
    Example: sheetgen reconcile jobs/ --as-of 2026-05-31 --out costs.xlsx --csv tables/ --since-last
    """
    if not files and ledger is None:
        raise click.UsageError("Name filled books, or the ledger to which they were posted with --ledger.")
    if files and ledger is not None and not since_last:
        raise click.UsageError("With FILES, --ledger is where --since-last remembers runs: add that, or leave one of them out.")
    from sheetgen import cost, pool, post, show, since, steps
    from sheetgen import reconcile as compared_by
    from sheetgen.csv_tables import write_csv
    from sheetgen.sources import ledger_beside, sources

    as_of = as_of or made_on
    paths = sources(files, out)
    remembered = ledger or ledger_beside(out, files)
    if ledger is not None and not files:
        compared = compared_by.compare(post.posted(ledger, as_of), system=system, as_of=as_of)
    else:
        with steps.of_books(len(paths), "reading") as done:
            compared = compared_by.reconcile(paths, system=system, as_of=as_of, each=done, processes=pool.cores())
    findings = list(compared.findings)
    made = []
    changed = None
    if compared.books:
        if csv_folder is not None:
            made += [str(path) for path in write_csv(compared, csv_folder)]
        if out is not None:
            built = cost.build_cost(compared, out, made_on=made_on, book_id=book_id)
            findings.extend(built.findings)
            made.append(str(built.path))
        if since_last:
            # Last, so that a run whose output failed is not taken for one that was seen.
            try:
                changed = since.since_last(compared, remembered, "files" if files else "ledger", made_on)
            except Refused as refused:
                findings.extend(refused.findings)
    if as_json:
        since_json = {} if changed is None else {"since": attrs.asdict(changed)}
        print_json(
            {
                "as_of": as_of, "tables": compared.tables, "unread": compared.unread, **since_json, "made": made,
                "findings": [one.record() for one in findings],
            }
        )  # fmt: skip
    else:
        show.heading(compared)
        if compared.books:
            # Where there are files to open, the long tables stand in them.
            show.tables(compared, ["jobs"] if made else list(compared.tables))
        if changed is not None:
            show.since(changed, remembered, compared.system, every=every)
        for path in made:
            click.echo(f"made {path}")
        if not compared.books and (out is not None or csv_folder is not None):
            click.echo("nothing was made, because no book could be read")
        show_findings(findings)
    leave(ctx, findings, least=Severity.LOOK if strict else Severity.ERROR)
