"""Where the ledger of a test stands."""

from __future__ import annotations

from pathlib import Path

import pytest
from filled_books import fill_in
from posted_books import CHANGES


@pytest.fixture
def path(tmp_path: Path) -> Path:
    return tmp_path / "ledger.sqlite"


@pytest.fixture
def ledger(tmp_path: Path) -> Path:
    return tmp_path / "ledger.sqlite"


@pytest.fixture(scope="session")
def changed(books: dict[str, Path], tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Return the book of the job that is done, changed since."""
    return fill_in(books["done"], tmp_path_factory.mktemp("changed") / "done.xlsx", CHANGES)
