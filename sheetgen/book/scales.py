"""Scales of temperature: a reading on one becomes a reading on another by references to named constants."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any, Final

from sheetgen import units
from sheetgen.book.measure import Measure
from sheetgen.book.template import Block

# pint's unit: the record of the list ``scales`` with the reading where water freezes, and the unit of a step.
_SCALES: Final[dict[str, tuple[str, str]]] = {
    "degree_Celsius": ("", "delta_degC"),
    "degree_Fahrenheit": ("fahrenheit", "delta_degF"),
    "kelvin": ("kelvin", "delta_degC"),
}
_PINT: Final = {"fahrenheit": "degF", "kelvin": "kelvin"}


def is_scale(measure: Measure) -> bool:
    """Return whether a value is a reading on a scale of temperature."""
    return measure.kind == "unit" and str(measure.unit) in _SCALES


def zero_of(measure: Measure) -> str:
    """Return the code of the record that holds a scale's reading at 0 °C; nothing where that is 0."""
    return _SCALES[str(measure.unit)][0]


def step_of(measure: Measure) -> Measure:
    """Return the measure of a difference on a scale."""
    return Measure("unit", units.registry().Unit(_SCALES[str(measure.unit)][1]))


def wrong(block: Block | None) -> list[tuple[str, str]]:
    """Return code and what is wrong of each record of the list ``scales`` that is not the reading at 0 °C."""
    return [(str(record["code"]), said) for record in (block.records if block else ()) if (said := _wrong(record))]


def _wrong(record: Mapping[str, Any]) -> str:
    code = str(record["code"])
    if code not in _PINT:
        return f"is no scale; use {' or '.join(_PINT)}"
    right = float(units.registry().Quantity(0.0, "degC").to(_PINT[code]).magnitude)
    value = record.get("value")
    return "" if isinstance(value, int | float) and abs(value - right) < 1e-9 else f"is {value}, not {right:.6g}"
