"""Books that tests of commands share; they are only read."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest
from command_line import SMALL, run

from sheetgen.book.load import template_folder


@pytest.fixture(scope="session")
def made(tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, dict[str, Any]]:
    """Return a bid book made by its command, and what --json said."""
    path = tmp_path_factory.mktemp("made") / "new folder" / "kitchen.xlsx"
    job = template_folder("demo") / "bid.toml"
    result = run("bid", path, "--job", job, "--date", "2026-03-02", "--id", "cli-1", *SMALL, "--json")
    assert result.exit_code == 0, result.output
    return path, json.loads(result.stdout)


@pytest.fixture
def closed(books: dict[str, Path]) -> Path:
    """Return the book of a job that is done."""
    return books["done"]
