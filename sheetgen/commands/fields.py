"""``sheetgen fields``."""

from __future__ import annotations

from pathlib import Path

import click

from sheetgen.options import FILE, json_option
from sheetgen.terminal import leave, plain, print_json, show_findings


@click.command()
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
