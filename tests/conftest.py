"""What all tests share."""

from __future__ import annotations

import sys
from pathlib import Path

import pytest

sys.path.insert(0, str(Path(__file__).parent))


@pytest.fixture(autouse=True)
def _no_workers(monkeypatch: pytest.MonkeyPatch) -> None:
    """Let commands that a test calls work in its own process: it is quicker, and sees what the test has put in place."""
    from sheetgen import pool

    monkeypatch.setattr(pool, "cores", lambda: 0)
