"""What tests of commands share: the commands, and how they are given as a person gives them."""

from __future__ import annotations

import re
from pathlib import Path
from typing import TYPE_CHECKING

from click.testing import CliRunner
from jobs import SMALL as OF_JOBS

from sheetgen.cli import main
from sheetgen.findings import Finding, Severity

if TYPE_CHECKING:
    from click.testing import Result

README = (Path(__file__).parents[2] / "README.md").read_text(encoding="utf-8")
COMMANDS = ("add", "bid", "carry", "check", "demo", "fields", "log", "post", "proposal", "rates", "reconcile", "take-out", "tune")
SMALL = [f"--rows={name}={count}" for name, count in OF_JOBS.items()]
LOOK = Finding("for-a-test", Severity.LOOK, "Sheet!A1", "is odd", "see to it")
ERROR = Finding("for-a-test", Severity.ERROR, "Sheet!A1", "is wrong", "mend it")


def run(*arguments: object) -> Result:
    return CliRunner().invoke(main, [str(one) for one in arguments])


def codes(text: str) -> list[str]:
    """Return the codes of the findings that were printed as lines; each has a place and says what to do."""
    lines = [line for line in text.splitlines() if re.match(r"(error|look|note) ", line)]
    for line in lines:
        assert re.match(r"(error|look|note) [a-z0-9-]+ [^:]+: .+; .+", line), line
    return [line.split()[1] for line in lines]
