"""Workbooks for the contractor who lays thin cement-based toppings over existing concrete."""

from sheetgen.version import __version__

__all__ = ["__version__"]
