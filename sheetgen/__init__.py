"""Workbooks for the contractor who lays thin cement-based toppings over existing concrete."""

__version__ = "0.1.0"
