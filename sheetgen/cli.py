"""Commands: read arguments, call one function, print, set the exit code.

Everything heavy is imported inside the command that uses it, so that help is there at once.
"""

from __future__ import annotations

import datetime as dt
from pathlib import Path
from typing import TYPE_CHECKING, Any

import attrs
import click

from sheetgen.findings import Finding, Refused, Severity
from sheetgen.options import FILE, as_day, as_reason, as_row_counts, json_option, recalculate_option, strict_option
from sheetgen.terminal import FOUND, OURS, leave, plain, print_json, progress, show_findings
from sheetgen.version import __version__

if TYPE_CHECKING:
    from sheetgen.check.recalculate import Program
    from sheetgen.units import System


class _Commands(click.Group):
    """Turns what a user can mend into lines and exit 1, and a fault of ours into exit 3."""

    def invoke(self, ctx: click.Context) -> Any:
        try:
            return super().invoke(ctx)
        except Refused as refused:
            show_findings(refused.findings, as_json=bool(ctx.ensure_object(dict).get("json")))
            ctx.exit(FOUND)
        except (click.ClickException, click.exceptions.Exit, click.Abort, BrokenPipeError):
            raise
        except Exception as error:  # noqa: BLE001 - the last place at which a fault of ours can be named
            click.echo(f"sheetgen itself failed: {type(error).__name__}: {error}", err=True)
            click.echo(
                "This is a fault of the program, not of your file. Please report it with the command that you gave.", err=True
            )
            ctx.exit(OURS)


@click.group(cls=_Commands, context_settings={"help_option_names": ["-h", "--help"]})
@click.version_option(__version__, prog_name="sheetgen")
def main() -> None:
    """Workbooks for the contractor who lays thin cement-based toppings: made, checked, read back, compared."""


@main.command()
@click.argument("out", type=FILE)
@click.option(
    "--units", "system", type=click.Choice(["us", "metric"]), default="us", show_default=True, help="Units of the book."
)  # fmt: skip
@click.option("--job", "job_file", type=FILE, help="TOML file that fills the book.")
@click.option("--areas", "areas_file", type=FILE, help="CSV file with the areas, one a line.")
@click.option(
    "--rows", multiple=True, callback=as_row_counts, metavar="TABLE=N", help="Prepare N rows, as in areas=200; may be repeated."
)  # fmt: skip
@click.option("--date", "made_on", callback=as_day, help="Day written into the book [default: today].")
@click.option("--id", "book_id", default="", help="Id of the book [default: random].")
@click.option("--replace", is_flag=True, help="Replace OUT where it is there already.")
@recalculate_option
@strict_option
@json_option
@click.pass_context
def bid(
    ctx: click.Context, out: Path, *, system: System, job_file: Path | None, areas_file: Path | None,
    rows: dict[str, int], made_on: dt.date, book_id: str, replace: bool, program: Program, strict: bool, as_json: bool,
) -> None:  # fmt: skip
    """Make a bid book, checked cell by cell.

    \b
    Example: sheetgen bid garage.xlsx --units us --date 2026-05-31
    """
    from sheetgen import build, jobfile

    job = jobfile.starter(system)
    if job_file is not None:
        job = jobfile.read_job(job_file, job)
    if areas_file is not None:
        job = jobfile.read_areas(areas_file, job)
    if out.exists() and not replace:
        what = "is there already and may be filled; nothing was written"
        raise Refused([Finding("output-there", Severity.ERROR, str(out), what, "choose another name, or add --replace")])
    built = build.build_bid(job, out, made_on=made_on, book_id=book_id, rows=rows, program=program)
    if as_json:
        print_json({"book": str(built.path), "counts": _counts(built.counts), "findings": [f.record() for f in built.findings]})
    else:
        click.echo(f"{built.path}: {counts_line(built.counts)}")
        show_findings(built.findings)
    leave(ctx, built.findings, least=Severity.LOOK if strict else Severity.ERROR)


@main.command()
@click.argument("files", type=FILE, nargs=-1, required=True)
@recalculate_option
@json_option
@click.pass_context
def check(ctx: click.Context, files: tuple[Path, ...], *, program: Program, as_json: bool) -> None:
    """Recalculate books, compare every formula cell with the engine, and say what was touched.

    \b
    Example: sheetgen check garage.xlsx --recalculate libreoffice
    """
    from sheetgen.check import filled
    from sheetgen.sources import workbooks

    found: list[Finding] = []
    results: list[dict[str, Any]] = []
    paths = workbooks(files)
    with progress(len(paths), "checking", quiet=as_json) as done:
        for path in paths:
            try:
                checked = filled.check_filled(path, program)
            except Refused as refused:
                found.extend(refused.findings)
                results.append({"book": str(path), "counts": None})
                if not as_json:
                    show_findings(refused.findings)
                continue
            finally:
                done(path)
            found.extend(checked.findings)
            results.append({"book": str(path), "counts": _counts(checked.counts)})
            if not as_json:
                click.echo(f"{path}: {counts_line(checked.counts)}")
                show_findings(checked.findings)
    if as_json:
        print_json({"books": results, "findings": [finding.record() for finding in found]})
    leave(ctx, found, least=Severity.LOOK)


@main.command()
@click.argument("files", type=FILE, nargs=-1)
@click.option(
    "--ledger", type=FILE,
    help="Without FILES, the ledger whose jobs are read. With --since-last, where runs are remembered "
    "[default: ledger.sqlite beside --out, else beside the first of FILES].",
)
@click.option("--since-last", is_flag=True, help="Show what changed since the last run with this option.")
@click.option("--out", type=FILE, help="Cost book to make.")
@click.option("--csv", "csv_folder", type=FILE, help="Folder for the tables as CSV files.")
@click.option("--units", "system", type=click.Choice(["us", "metric"]), help="Units of the tables [default: the first book's].")
@click.option("--date", "made_on", callback=as_day, help="Day written into the cost book [default: today].")
@click.option("--id", "book_id", default="", help="Id of the cost book [default: random].")
@strict_option
@json_option
@click.pass_context
def reconcile(
    ctx: click.Context, files: tuple[Path, ...], *, ledger: Path | None, since_last: bool, out: Path | None,
    csv_folder: Path | None, system: System | None, made_on: dt.date, book_id: str, strict: bool, as_json: bool,
) -> None:  # fmt: skip
    """Set actual bags, hours and money against the estimate, over filled books or folders of them, or over a ledger.

    \b
    Example: sheetgen reconcile jobs/ --out costs.xlsx --csv tables/ --since-last
    """
    if not files and ledger is None:
        raise click.UsageError("Name filled books, or the ledger to which they were posted with --ledger.")
    if files and ledger is not None and not since_last:
        raise click.UsageError("With FILES, --ledger is where --since-last remembers runs: add that, or leave one of them out.")
    from sheetgen import cost, pool, post, show, since
    from sheetgen import reconcile as compared_by
    from sheetgen.csv_tables import write_csv
    from sheetgen.sources import ledger_beside, sources

    paths = sources(files, out)
    remembered = ledger or ledger_beside(out, files)
    if ledger is not None and not files:
        compared = compared_by.compare(post.posted(ledger), system=system)
    else:
        with progress(len(paths), "reading", quiet=as_json) as done:
            compared = compared_by.reconcile(paths, system=system, each=done, processes=pool.cores())
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
        print_json({"tables": compared.tables, **since_json, "made": made, "findings": [one.record() for one in findings]})
    else:
        if compared.books:
            show.tables(compared)
        if changed is not None:
            show.since(changed, remembered, compared.system)
        for path in made:
            click.echo(f"made {path}")
        show_findings(findings)
    leave(ctx, findings, least=Severity.LOOK if strict else Severity.ERROR)


@main.command()
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
    from sheetgen import pool, show
    from sheetgen.post import post as enter
    from sheetgen.sources import ledger_beside, workbooks

    paths = workbooks(files)
    ledger = ledger or ledger_beside(None, files)
    with progress(len(paths), "reading", quiet=as_json) as done:
        outcomes, findings = enter(paths, ledger, day=day, amend=amend, each=done, processes=pool.cores())
    if as_json:
        books = [attrs.asdict(one) for one in outcomes]
        print_json({"ledger": str(ledger), "books": books, "findings": [one.record() for one in findings]})
    else:
        show.posted(outcomes, ledger)
        show_findings(findings)
    leave(ctx, findings, least=Severity.LOOK if strict else Severity.ERROR)


@main.command()
@click.argument("file", type=FILE)
@json_option
@click.pass_context
def fields(ctx: click.Context, file: Path, *, as_json: bool) -> None:
    """List every field of a book: name, sheet, cell, kind, unit, label, value.

    \b
    Example: sheetgen fields garage.xlsx --json
    """
    from sheetgen.reader.listing import listing

    rows, findings = listing(file)
    if as_json:
        print_json({"fields": rows, "findings": [finding.record() for finding in findings]})
    else:
        for row in rows:
            shown = (row["name"], f"{row['sheet']}!{row['cell']}", row["kind"], row["unit"], row["label"], row["value"])
            click.echo("\t".join("" if one is None else plain(str(one)).replace("\n", " ") for one in shown))
        show_findings(findings)
    leave(ctx, findings)


@main.command()
@click.option("--out", "folder", type=FILE, default=Path("output"), show_default=True, help="Folder for the books.")
@click.pass_context
def demo(ctx: click.Context, folder: Path) -> None:
    """Tell the whole story on an invented job: make, fill, check, log, reconcile.

    \b
    Example: sheetgen demo --out output
    """
    from sheetgen.demo import run

    findings = run(folder, click.echo)
    show_findings(findings)
    leave(ctx, findings)


def counts_line(counts: Any) -> str:
    """Return what was found, recalculated and compared, in words."""
    return (
        f"{counts.found} formula cells found, {counts.recalculated} recalculated, {counts.compared} compared with the engine, "
        f"{counts.shows} show cells compared with the words they should show"
    )


def _counts(counts: Any) -> dict[str, int]:
    return {name: getattr(counts, name) for name in ("found", "recalculated", "compared", "shows")}


if __name__ == "__main__":
    main()
