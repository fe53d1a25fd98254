"""What all benchmarks share: a table of ratios."""

from __future__ import annotations

from collections.abc import Iterator

import pytest


@pytest.fixture(scope="module")
def table() -> Iterator[list[str]]:
    """Return the lines of the table; printed when all is measured."""
    lines: list[str] = []
    yield lines
    print("\n\n" + f"{'what':<72}{'ours':>12}{'bare':>12}{'ratio':>8}{'target':>9}")
    print(*lines, sep="\n")
