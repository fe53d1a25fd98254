"""Help, the README and usage: every command is there, with an example that can be given."""

from __future__ import annotations

import re
import subprocess
import sys

import pytest
from command_line import COMMANDS, README, run

from sheetgen import __version__
from sheetgen.cli import main


def test_help_names_every_command() -> None:
    result = run("--help")

    assert result.exit_code == 0
    assert tuple(main.commands) == tuple(sorted(COMMANDS, key=list(main.commands).index))
    assert [name for name in COMMANDS if f"\n  {name} " not in result.output] == []


@pytest.mark.parametrize("command", COMMANDS)
def test_help_carries_an_example_that_names_its_command(command: str) -> None:
    for flag in ("--help", "-h"):
        result = run(command, flag)

        assert result.exit_code == 0
        assert f"Example: sheetgen {command} " in result.output


@pytest.mark.parametrize("command", COMMANDS)
def test_examples_use_options_that_exist(command: str) -> None:
    example = re.search(r"Example: (.+)", run(command, "--help").output)
    assert example is not None
    known = {name for parameter in main.commands[command].params for name in parameter.opts}

    assert [word for word in example[1].split() if word.startswith("--") and word not in known] == []


def test_the_version_is_that_of_the_package() -> None:
    assert run("--version").output.strip().endswith(__version__)


def test_the_readme_shows_commands_and_options_that_exist() -> None:
    shown = re.findall(r"`sheetgen ([\w-]+)([^`\n]*)`", README)
    assert {command for command, _ in shown} >= {"add", "bid", "check", "reconcile", "fields", "post", "take-out"}

    for command, rest in shown:
        known = {name for parameter in main.commands[command].params for name in parameter.opts}
        assert [word for word in rest.split() if word.startswith("--") and word not in known] == [], command


def test_help_does_not_wait_for_the_heavy_parts() -> None:
    code = "import sys, sheetgen.cli; print([m for m in ('openpyxl', 'xlsxwriter', 'pint', 'numpy', 'ironcalc', 'pandas') if m in sys.modules])"
    result = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)

    assert result.stdout.strip() == "[]"


@pytest.mark.parametrize(
    "arguments",
    [
        ["bid"], ["carry", "x.xlsx"], ["log", "x.xlsx", "--hours", "x.csv"], ["log", "x.xlsx", "--out", "y.xlsx"], ["check"], ["reconcile"], ["fields"], ["post"], ["bids", "x.xlsx"], ["bid", "x.xlsx", "--unit", "us"],
        ["bid", "x.xlsx", "--units", "imperial"], ["bid", "x.xlsx", "--date", "31.5.2026"], ["bid", "x.xlsx", "--rows", "areas"],
        ["bid", "x.xlsx", "--rows", "areas=many"], ["bid", "x.xlsx", "--rows", "areas=-1"],
        ["check", "x.xlsx", "--recalculate", "by-hand"], ["reconcile", "x.xlsx", "--units", "imperial"], ["fields", "a", "b"],
        ["reconcile", "--since-last"], ["reconcile", "x.xlsx", "--ledger", "ledger.sqlite"], ["post", "x.xlsx", "--amend", " "],
        ["add", "x.xlsx"], ["take-out", "x.xlsx"], ["rates"], ["rates", "x.xlsx", "--compare", "a.xlsx", "b.xlsx"],
    ],
)  # fmt: skip
def test_a_wrong_command_line_is_usage(arguments: list[str]) -> None:
    result = run(*arguments)

    assert result.exit_code == 2
    assert "Usage:" in result.stderr
    assert result.stdout == ""
