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


@pytest.fixture
def read_once(monkeypatch: pytest.MonkeyPatch) -> None:
    """Let a file be read once for all tests of what becomes of it: reading takes most of their time, and is tested elsewhere."""
    import reading_once

    from sheetgen import reconcile

    monkeypatch.setattr(reconcile, "read_each", reading_once.read_once)


@pytest.fixture(scope="session")
def books(tmp_path_factory: pytest.TempPathFactory) -> dict[str, Path]:
    """Return a job that is done, one that runs, and a metric one that is done; they are only read, by every test that needs them."""
    from filled_books import done_job, metric_job, put, running_job

    folder = tmp_path_factory.mktemp("jobs")
    return {
        "done": put(done_job(), folder / "done.xlsx", "id-done"),
        "running": put(running_job(), folder / "running.xlsx", "id-running"),
        "metric": put(metric_job(), folder / "metric.xlsx", "id-metric"),
    }
