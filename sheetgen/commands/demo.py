"""``sheetgen demo``."""

from __future__ import annotations

from pathlib import Path

import click

from sheetgen.options import FILE
from sheetgen.terminal import leave, show_findings


@click.command()
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
