"""Files that are read once for many tests: reading takes most of their time, and is tested elsewhere."""

from __future__ import annotations

import functools
import hashlib
from pathlib import Path
from typing import TYPE_CHECKING, Any

import attrs

if TYPE_CHECKING:
    from sheetgen.reader.filled import Filled


def read_once(path: Path) -> tuple[Filled, ...]:
    """Return the books of a file as `read_each` does, which reads it again only when its bytes have changed."""
    try:
        digest = hashlib.sha256(path.read_bytes()).hexdigest()
    except OSError:
        digest = ""
    return _read(path, digest)


@functools.lru_cache(maxsize=40)
def _read(path: Path, _: str) -> tuple[Filled, ...]:
    from sheetgen.reader.filled import read_each

    # The cells themselves are eighty megabytes a book, and nobody asks for them again.
    gone: Any = None
    return tuple(attrs.evolve(one, raw=gone, located=gone) for one in read_each(path))
