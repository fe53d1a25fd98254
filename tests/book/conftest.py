"""What the tests of the template compiler share."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest
from minibook import Mini

if TYPE_CHECKING:
    from pathlib import Path


@pytest.fixture
def mini(tmp_path: Path) -> Mini:
    """Return an empty template folder with its book.toml."""
    return Mini(tmp_path)
