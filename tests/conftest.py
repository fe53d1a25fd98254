"""What all tests share."""

from __future__ import annotations

import sys
from collections import OrderedDict
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

sys.path.insert(0, str(Path(__file__).parent))


@pytest.fixture(autouse=True)
def _no_workers(monkeypatch: pytest.MonkeyPatch) -> None:
    """Let commands that a test calls work in its own process: it is quicker, and sees what the test has put in place."""
    from sheetgen import pool

    monkeypatch.setattr(pool, "cores", lambda: 0)


@pytest.fixture(scope="module")
def read_once() -> Iterator[None]:
    """Read a file once as long as it stays the same: for tests of what becomes of books, not of how they are read."""
    from sheetgen.reader import filled

    read, most = filled.read_ours, 12
    held: OrderedDict[tuple[Path, int, int], Any] = OrderedDict()

    def kept(path: Path) -> Any:
        try:
            there = path.stat()
        except OSError:
            return read(path)
        key = (path, there.st_size, there.st_mtime_ns)
        if key not in held:
            held[key] = read(path)
            if len(held) > most:
                held.popitem(last=False)
        held.move_to_end(key)
        return held[key]

    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(filled, "read_ours", kept)
        yield
