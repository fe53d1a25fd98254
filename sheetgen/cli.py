
"""Commands: read arguments, call one function, print, set the exit code.

Everything heavy is imported inside the command that uses it, so that help is there at once.
"""

from __future__ import annotations

import datetime as dt
import json
import sys
from pathlib import Path
from typing import TYPE_CHECKING, Any, Final

import click

from sheetgen import __version__
from sheetgen.findings import Finding, Refused, Severity

if TYPE_CHECKING:
    from collections.abc import Iterable

    from sheetgen.build import Built
    from sheetgen.check.recalculate import Program
    from sheetgen.units import System

OK, FOUND, USAGE, OURS = 0, 1, 2, 3
_FILE: Final = click.Path(path_type=Path)


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


def _plain(text: str) -> str:
    """Return a text without control characters: what a person typed must not steer a terminal."""
    return "".join(letter if letter.isprintable() or letter == "\n" else "�" for letter in text)


def show_findings(findings: Iterable[Finding], *, as_json: bool = False) -> None:
    """Print findings, one a line, or as JSON."""
    if as_json:
        click.echo(json.dumps({"findings": [finding.record() for finding in findings]}, ensure_ascii=False, indent=1))
        return
    for finding in findings:
        click.echo(_plain(finding.line()), err=finding.severity is Severity.ERROR)


def _leave(ctx: click.Context, findings: Iterable[Finding], *, least: Severity = Severity.ERROR) -> None:
    worst = max((finding.severity for finding in findings), default=Severity.NOTE)
    ctx.exit(FOUND if worst >= least else OK)


def _remember_json(ctx: click.Context, _: click.Parameter, value: bool) -> bool:  # noqa: FBT001 - click's own order
    ctx.find_root().ensure_object(dict)["json"] = value
    return value


def _day(_: click.Context, __: click.Parameter, value: str | None) -> dt.date:
    if value is None:
        return dt.datetime.now(tz=dt.UTC).astimezone().date()
    try:
        return dt.date.fromisoformat(value)
    except ValueError as error:
        raise click.BadParameter("write the date as 2026-05-31") from error


def _rows(_: click.Context, __: click.Parameter, value: tuple[str, ...]) -> dict[str, int]:
    found = {}
    for item in value:
        name, _sign, count = item.partition("=")
        if not count.isdigit():
            raise click.BadParameter(f"'{item}' is not like areas=200")
        found[name] = int(count)
    return found


_json_option = click.option("--json", "as_json", is_flag=True, callback=_remember_json, is_eager=True, help="Print JSON.")
_strict_option = click.option("--strict", is_flag=True, help="Exit 1 where there is something to look at.")
_recalculate_option = click.option(
    "--recalculate", "program", type=click.Choice(["ironcalc", "libreoffice"]), default="ironcalc", show_default=True,
    help="Which program recalculates.",
)  # fmt: skip


@click.group(cls=_Commands, context_settings={"help_option_names": ["-h", "--help"]})
@click.version_option(__version__, prog_name="sheetgen")
def main() -> None:
    """Workbooks for the contractor who lays thin cement-based toppings: made, checked, read back, compared."""


@main.command()
@click.argument("out", type=_FILE)
@click.option("--units", "system", type=click.Choice(["us", "metric"]), help="Units of the book [default: the rate book's, else us].")
@click.option("--rates", "rate_book", type=_FILE, help="Filled rate book that the book takes its copy from [default: starter values].")
@click.option("--job", "job_file", type=_FILE, help="TOML file that fills the book.")
@click.option("--areas", "areas_file", type=_FILE, help="CSV file with the areas, one a line.")
@click.option(
    "--rows", multiple=True, callback=_rows, metavar="TABLE=N", help="Prepare N rows, as in areas=200; may be repeated."
)  # fmt: skip
@click.option("--date", "made_on", callback=_day, help="Day written into the book [default: today].")
@click.option("--id", "book_id", default="", help="Id of the book [default: random].")
@click.option("--replace", is_flag=True, help="Replace OUT where it is there already.")
@_recalculate_option
@_strict_option
@_json_option
@click.pass_context
def bid(
    ctx: click.Context, out: Path, *, system: System | None, rate_book: Path | None, job_file: Path | None, areas_file: Path | None,
    rows: dict[str, int], made_on: dt.date, book_id: str, replace: bool, program: Program, strict: bool, as_json: bool,
) -> None:  # fmt: skip
    """Make a bid book, checked cell by cell.

    \b
    Example: sheetgen bid garage.xlsx --units us --date 2026-05-31
    """
    from sheetgen import build, jobfile

    job = jobfile.starter(system or "us")
    noted: tuple[Finding, ...] = ()
    if rate_book is not None:
        from sheetgen import rates

        taken = rates.read_rates(rate_book)
        taken = taken.in_system(system or taken.job.system)
        job, noted = rates.with_rates(jobfile.starter(taken.job.system), taken), taken.findings
        rows = {**taken.rows, **rows}
    if job_file is not None:
        job = jobfile.read_job(job_file, job)
    if areas_file is not None:
        job = jobfile.read_areas(areas_file, job)
    if rate_book is not None and out.resolve() == rate_book.resolve():
        raise Refused([Finding("output-input", Severity.ERROR, str(out), "is the rate book that is read", "choose another name")])
    _keep(out, replace=replace)
    built = build.build_bid(job, out, made_on=made_on, book_id=book_id, rows=rows, program=program)
    _hand_over(ctx, built, (*noted, *built.findings), strict=strict, as_json=as_json)


@main.command()
@click.argument("out", type=_FILE, required=False)
@click.option("--units", "system", type=click.Choice(["us", "metric"]), default="us", show_default=True, help="Units of the book.")
@click.option(
    "--rows", multiple=True, callback=_rows, metavar="TABLE=N", help="Prepare N rows, as in tasks=80; may be repeated."
)  # fmt: skip
@click.option("--date", "made_on", callback=_day, help="Day written into the book [default: today].")
@click.option("--id", "book_id", default="", help="Id of the book [default: random].")
@click.option("--replace", is_flag=True, help="Replace OUT where it is there already.")
@click.option("--compare", "compared", type=(_FILE, _FILE), metavar="OLD NEW", help="Say what changed from one rate book to another.")
@_recalculate_option
@_strict_option
@_json_option
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

    _keep(out, replace=replace)
    built = build_rates(jobfile.starter(system), out, made_on=made_on, book_id=book_id, rows=rows, program=program)
    _hand_over(ctx, built, built.findings, strict=strict, as_json=as_json)


@main.command()
@click.argument("files", type=_FILE, nargs=-1, required=True)
@_recalculate_option
@_json_option
@click.pass_context
def check(ctx: click.Context, files: tuple[Path, ...], *, program: Program, as_json: bool) -> None:
    """Recalculate books, compare every formula cell with the engine, and say what was touched.

    \b
    Example: sheetgen check garage.xlsx --recalculate libreoffice
    """
    from sheetgen.check import filled
    from sheetgen.reconcile import workbooks

    found: list[Finding] = []
    results: list[dict[str, Any]] = []
    for path in _with_progress(workbooks(files), "checked", quiet=as_json):
        try:
            checked = filled.check_filled(path, program)
        except Refused as refused:
            found.extend(refused.findings)
            results.append({"book": str(path), "counts": None})
            if not as_json:
                show_findings(refused.findings)
            continue
        found.extend(checked.findings)
        results.append({"book": str(path), "counts": _counts(checked.counts)})
        if not as_json:
            click.echo(f"{path}: {counts_line(checked.counts)}")
            show_findings(checked.findings)
    if as_json:
        _print_json({"books": results, "findings": [finding.record() for finding in found]})
    _leave(ctx, found, least=Severity.LOOK)


@main.command()
@click.argument("files", type=_FILE, nargs=-1, required=True)
@click.option("--out", type=_FILE, help="Cost book to make.")
@click.option("--csv", "csv_folder", type=_FILE, help="Folder for the tables as CSV files.")
@click.option("--units", "system", type=click.Choice(["us", "metric"]), help="Units of the tables [default: the first book's].")
@click.option("--date", "made_on", callback=_day, help="Day written into the cost book [default: today].")
@click.option("--id", "book_id", default="", help="Id of the cost book [default: random].")
@_strict_option
@_json_option
@click.pass_context
def reconcile(
    ctx: click.Context, files: tuple[Path, ...], *, out: Path | None, csv_folder: Path | None, system: System | None,
    made_on: dt.date, book_id: str, strict: bool, as_json: bool,
) -> None:  # fmt: skip
    """Set actual bags, hours and money against the estimate, over filled books or folders of them.

    \b
    Example: sheetgen reconcile jobs/ --out costs.xlsx --csv tables/
    """
    from sheetgen import cost, show
    from sheetgen.reconcile import reconcile as compare
    from sheetgen.reconcile import sources, write_csv

    paths = sources(files, out)
    steps = iter(_with_progress(paths, "read", quiet=as_json))
    compared = compare(paths, system=system, each=lambda _: (next(steps), None)[1])
    for _ in steps:
        pass
    findings = list(compared.findings)
    made = []
    if compared.books:
        if csv_folder is not None:
            made += [str(path) for path in write_csv(compared, csv_folder)]
        if out is not None:
            built = cost.build_cost(compared, out, made_on=made_on, book_id=book_id)
            findings.extend(built.findings)
            made.append(str(built.path))
    if as_json:
        _print_json({"tables": compared.tables, "made": made, "findings": [finding.record() for finding in findings]})
    else:
        if compared.books:
            show.tables(compared)
        for path in made:
            click.echo(f"made {path}")
        show_findings(findings)
    _leave(ctx, findings, least=Severity.LOOK if strict else Severity.ERROR)


@main.command()
@click.argument("file", type=_FILE)
@_json_option
@click.pass_context
def fields(ctx: click.Context, file: Path, *, as_json: bool) -> None:
    """List every field of a book: name, sheet, cell, kind, unit, label, value.

    \b
    Example: sheetgen fields garage.xlsx --json
    """
    from sheetgen.reader.listing import listing

    rows, findings = listing(file)
    if as_json:
        _print_json({"fields": rows, "findings": [finding.record() for finding in findings]})
    else:
        for row in rows:
            shown = (row["name"], f"{row['sheet']}!{row['cell']}", row["kind"], row["unit"], row["label"], row["value"])
            click.echo("\t".join("" if one is None else _plain(str(one)).replace("\n", " ") for one in shown))
        show_findings(findings)
    _leave(ctx, findings)


@main.command()
@click.option("--out", "folder", type=_FILE, default=Path("output"), show_default=True, help="Folder for the books.")
@click.pass_context
def demo(ctx: click.Context, folder: Path) -> None:
    """Tell the whole story on an invented job: make, fill, check, log, reconcile.

    \b
    Example: sheetgen demo --out output
    """
    from sheetgen.demo import run

    findings = run(folder, click.echo)
    show_findings(findings)
    _leave(ctx, findings)


def _keep(out: Path, *, replace: bool) -> None:
    """Refuse to write over a file unless that is asked for."""
    if out.exists() and not replace:
        what = "is there already and may be filled; nothing was written"
        raise Refused([Finding("output-there", Severity.ERROR, str(out), what, "choose another name, or add --replace")])


def _hand_over(ctx: click.Context, built: Built, findings: tuple[Finding, ...], *, strict: bool, as_json: bool) -> None:
    """Say what was built, and leave."""
    if as_json:
        _print_json({"book": str(built.path), "counts": _counts(built.counts), "findings": [f.record() for f in findings]})
    else:
        click.echo(f"{built.path}: {counts_line(built.counts)}")
        show_findings(findings)
    _leave(ctx, findings, least=Severity.LOOK if strict else Severity.ERROR)


def _compare_rates(ctx: click.Context, old_path: Path, new_path: Path, *, strict: bool, as_json: bool) -> None:
    """Print what changed from one rate book to another, and leave."""
    from sheetgen.rate_changes import changes
    from sheetgen.rates import read_rates

    new = read_rates(new_path)
    old = read_rates(old_path).in_system(new.job.system)
    found = changes(old, new)
    findings = (*old.findings, *new.findings)
    if as_json:
        _print_json({"changes": [change.as_record() for change in found], "findings": [f.record() for f in findings]})
    else:
        for change in found:
            click.echo(_plain(change.line()))
        click.echo(f"{len(found)} changes from {old_path} to {new_path}")
        show_findings(findings)
    _leave(ctx, findings, least=Severity.LOOK if strict else Severity.ERROR)


def counts_line(counts: Any) -> str:
    """Return what was found, recalculated and compared, in words."""
    return (
        f"{counts.found} formula cells found, {counts.recalculated} recalculated, {counts.compared} compared with the engine, "
        f"{counts.shows} show cells compared with the words they should show"
    )


def _counts(counts: Any) -> dict[str, int]:
    return {name: getattr(counts, name) for name in ("found", "recalculated", "compared", "shows")}


def _print_json(content: Any) -> None:
    def plain(value: Any) -> Any:
        return value.isoformat() if isinstance(value, dt.date) else str(value)

    click.echo(json.dumps(content, ensure_ascii=False, indent=1, default=plain))


def _with_progress(paths: list[Path], word: str, *, quiet: bool) -> Iterable[Path]:
    if quiet or len(paths) < 5 or not sys.stderr.isatty():
        yield from paths
        return
    from rich.progress import track

    yield from track(paths, description=word, transient=True)


if __name__ == "__main__":
    main()
