"""What commands print: findings a line each or as JSON, progress, and the exit code that follows from them."""

from __future__ import annotations

import contextlib
import datetime as dt
import json
import sys
import traceback
from pathlib import Path
from typing import TYPE_CHECKING, Any, Final

import click

from sheetgen.findings import Finding, Severity

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable, Iterator

OK, FOUND, USAGE, OURS = 0, 1, 2, 3
# Fewer books than this are read before anybody wonders.
_WORTH_SHOWING: Final = 5


def plain(text: str) -> str:
    """Return a text without control characters: what a person typed must not steer a terminal."""
    return "".join(letter if letter.isprintable() or letter == "\n" else "�" for letter in text)


def place_of(error: BaseException) -> str:
    """Return the file and line of the program in which an error arose, in this process or in a worker."""
    if notes := getattr(error, "__notes__", ()):
        return str(notes[0])
    frames = traceback.extract_tb(error.__traceback__)
    return f"{Path(frames[-1].filename).name} line {frames[-1].lineno}" if frames else "an unknown place"


def show_findings(findings: Iterable[Finding], *, as_json: bool = False) -> None:
    """Print findings, one a line, or as JSON."""
    if as_json:
        print_json({"findings": [finding.record() for finding in findings]})
        return
    for finding in findings:
        click.echo(plain(finding.line()), err=finding.severity is Severity.ERROR)


def print_json(content: Any) -> None:
    """Print JSON for programs; days as 2026-05-31."""

    def text(value: Any) -> str:
        return value.isoformat() if isinstance(value, dt.date) else str(value)

    click.echo(json.dumps(content, ensure_ascii=False, indent=1, default=text))


def leave(ctx: click.Context, findings: Iterable[Finding], *, least: Severity = Severity.ERROR) -> None:
    """Leave the command with exit code 1 where a finding weighs at least so much, else with 0."""
    worst = max((finding.severity for finding in findings), default=Severity.NOTE)
    ctx.exit(FOUND if worst >= least else OK)


@contextlib.contextmanager
def progress(total: int, word: str, *, quiet: bool) -> Iterator[Callable[[object], None]]:
    """Show how far a long step is, on a terminal only.

    Parameters
    ----------
    total : int
        Books to come [count].
    word : str
        What is being done with them.
    quiet : bool
        Show nothing.

    Yields
    ------
    callable
        To be told each book that is done.
    """
    if quiet or total < _WORTH_SHOWING or not sys.stderr.isatty():
        yield lambda _: None
        return
    from rich.console import Console
    from rich.progress import Progress

    with Progress(console=Console(stderr=True), transient=True) as bar:
        task = bar.add_task(word, total=total)
        yield lambda _: bar.advance(task)
