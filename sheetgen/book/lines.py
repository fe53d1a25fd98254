"""Where each key of a template file stands: TOML's reader gives no positions."""

from __future__ import annotations

import re
from pathlib import Path

_BLOCK = re.compile(r"^\s*\[\[\s*block\s*\]\]")
_FIELD = re.compile(r"^\s*\[\[\s*block\.field\s*\]\]")
_OTHER = re.compile(r"^\s*\[")
_KEY = re.compile(r"^\s*([A-Za-z0-9_]+)\s*=\s*(\"|')?")


class Lines:
    """Lines of the blocks, fields and keys of one template file.

    Parameters
    ----------
    path : Path
        The template file; values stand on the line of their key.
    """

    def __init__(self, path: Path) -> None:
        self._starts: dict[tuple[int, int], int] = {}
        self._values: dict[tuple[int, int, str], tuple[int, int, str]] = {}
        block, field, inside = -1, -1, False
        for number, text in enumerate(path.read_text(encoding="utf-8").splitlines(), start=1):
            if _BLOCK.match(text):
                block, field, inside = block + 1, -1, True
                self._starts[block, field] = number
            elif _FIELD.match(text):
                field, inside = field + 1, True
                self._starts[block, field] = number
            elif _OTHER.match(text):
                inside = False
            elif inside and (key := _KEY.match(text)):
                raw = text[key.end() :] if key[2] == '"' else ""
                self._values[block, field, key[1]] = (number, key.end() + 1, raw)

    def line(self, block: int, field: int = -1) -> int:
        """Return the 1-based line at which a block or field begins."""
        return self._starts.get((block, field), 1)

    def value(self, block: int, field: int, key: str) -> tuple[int, int, str]:
        """Return the 1-based line and column at which the text of a value begins, and the text where it may hold ``\\``."""
        return self._values.get((block, field, key), (self.line(block, field), 1, ""))
