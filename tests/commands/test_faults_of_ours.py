"""A fault of the program says that it is one, whatever the command; a reader that stops is none."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path
from typing import Any

import pytest
from command_line import COMMANDS, run

from sheetgen import build, reconcile
from sheetgen.check import filled


@pytest.mark.parametrize("command", COMMANDS)
def test_a_fault_of_ours_says_so(command: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    from sheetgen import carry, demo, log, proposal, rates
    from sheetgen import post as posting
    from sheetgen.host import add, take_out
    from sheetgen.reader import listing

    def fault(*_: object, **__: object) -> None:
        raise KeyError("a table that is not there")

    monkeypatch.setattr(build, "build_bid", fault)
    monkeypatch.setattr(carry, "carry", fault)
    monkeypatch.setattr(log, "log", fault)
    monkeypatch.setattr(rates, "build_rates", fault)
    monkeypatch.setattr(rates, "read_rates", fault)
    monkeypatch.setattr(filled, "check_filled", fault)
    monkeypatch.setattr(reconcile, "reconcile", fault)
    monkeypatch.setattr(posting, "post", fault)
    monkeypatch.setattr(listing, "listing", fault)
    monkeypatch.setattr(demo, "run", fault)
    monkeypatch.setattr(add, "add", fault)
    monkeypatch.setattr(take_out, "take_out", fault)
    monkeypatch.setattr(proposal, "make_proposal", fault)

    out = ["--out", tmp_path / "y.xlsx"] if command in {"add", "carry", "log", "proposal", "take-out"} else []
    more = {
        "demo": [], "log": [tmp_path / "x.xlsx", "--hours", tmp_path / "x.csv"],
        "tune": [tmp_path / "x.xlsx", "--rates", tmp_path / "r.xlsx"],
    }  # fmt: skip

    result = run(command, *more.get(command, [tmp_path / "x.xlsx"]), *out)

    assert result.exit_code == 3
    assert "sheetgen itself failed: KeyError" in result.stderr
    assert "not of your file" in result.stderr
    assert "Traceback" not in result.output


def test_a_reader_that_stops_early_is_no_fault(made: tuple[Path, dict[str, Any]]) -> None:
    """``sheetgen fields book.xlsx | head`` closes the pipe before the end."""
    command = [sys.executable, "-m", "sheetgen.cli", "fields", str(made[0])]
    with subprocess.Popen(command, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True) as process:
        assert process.stdout is not None
        assert process.stderr is not None
        process.stdout.readline()
        process.stdout.close()
        said = process.stderr.read()

    assert "failed" not in said
