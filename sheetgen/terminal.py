"""What commands print: findings a line each or as JSON, the step they are at, and the exit code that follows from them."""

from __future__ import annotations

import datetime as dt
import json
import shutil
import sys
import traceback
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from sheetgen.findings import Finding, Severity

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable

OK, FOUND, USAGE, OURS = 0, 1, 2, 3


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


def status_line(quiet: Callable[[], bool]) -> Callable[[str], None] | None:
    """Return what shows a step on one line of the terminal, gone when the step is done; None where nobody looks.

    Parameters
    ----------
    quiet : callable
        Tells, when a step is said, whether nothing should be shown.
    """
    if not sys.stderr.isatty():
        return None
    length = 0

    def show(step: str) -> None:
        nonlocal length
        # A line that wraps could not be taken back.
        text = "" if quiet() else plain(step)[: shutil.get_terminal_size().columns - 1]
        if text or length:
            # Blanks instead of a code of terminals: older ones of Windows know none.
            click.echo(f"\r{' ' * length}\r{text}", nl=False, err=True)
        length = len(text)

    return show
