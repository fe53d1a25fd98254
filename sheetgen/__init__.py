"""Workbooks for the contractor who lays thin cement-based toppings over existing concrete."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from sheetgen.version import __version__

if TYPE_CHECKING:
    from sheetgen.frames import Books, read

__all__ = ["Books", "__version__", "read"]


def __getattr__(name: str) -> Any:
    """Import the data frames, and pandas with them, only when they are asked for."""
    if name not in __all__:
        raise AttributeError(f"module 'sheetgen' has no attribute '{name}'")
    from sheetgen import frames

    return getattr(frames, name)
