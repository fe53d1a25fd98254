"""What a value of a formula measures: its unit, or text, date, clock, temperature; and the sums that fit."""

from __future__ import annotations

import functools
from collections.abc import Mapping
from typing import Any

import attrs

from sheetgen import units
from sheetgen.book.template import Block
from sheetgen.units import System


@attrs.frozen
class Measure:
    """What a value is.

    Parameters
    ----------
    kind : str
        ``unit`` (a quantity), ``any`` (0 and "" fit everywhere), ``text``, ``truth``, ``date``, ``clock``.
    unit : object
        pint unit of a quantity, else None.
    """

    kind: str
    unit: Any = None

    def __str__(self) -> str:
        return f"{self.unit:~P}" if self.kind == "unit" and not self.plain else self.kind_in_words

    @property
    def kind_in_words(self) -> str:
        """Return the kind as a message names it."""
        return "a plain number" if self.kind == "unit" else self.kind

    @property
    def plain(self) -> bool:
        """Whether this is a number without a unit."""
        return self.kind == "unit" and bool(self.unit.dimensionless)

    @property
    def temperature(self) -> bool:
        """Whether this is a temperature on a scale (not a difference)."""
        return self.kind == "unit" and not _multiplicative(self.unit)


@functools.cache
def _multiplicative(unit: Any) -> bool:
    return bool(units.registry().Quantity(1, unit)._is_multiplicative)  # noqa: SLF001 - pint has no public name for it


ANY = Measure("any")
TEXT = Measure("text")
TRUTH = Measure("truth")
DATE = Measure("date")
CLOCK = Measure("clock")


@functools.cache
def of_unit(expression: str, system: System) -> Measure:
    """Return the measure of a template's unit expression."""
    if expression in {"text", "code"}:
        return TEXT
    if expression == "date":
        return DATE
    if expression == "clock":
        return CLOCK
    return Measure("unit", units.unit("number" if expression == "no" else expression, system))


@functools.cache
def plain_number() -> Measure:
    """Return the measure of a number without a unit."""
    return Measure("unit", units.registry().Unit("dimensionless"))


@functools.cache
def span_of(measure: Measure) -> Measure:
    """Return the measure of a difference of two values of this measure (degrees become steps, dates days)."""
    if measure.kind in {"date", "clock"}:
        return Measure("unit", units.registry().Unit("day"))
    step = {"degree_Fahrenheit": "delta_degF", "degree_Celsius": "delta_degC"}
    return Measure("unit", units.registry().Unit(step[str(measure.unit)]))


def same_dimension(left: Measure, right: Measure) -> bool:
    """Return whether two quantities have the same dimension and kind."""
    return (
        left.kind == right.kind == "unit"
        and left.unit.dimensionality == right.unit.dimensionality
        and left.temperature == right.temperature
    )


@functools.cache
def ratio(source: Measure, target: Measure) -> float:
    """Return how many target units make one source unit [target unit per source unit]."""
    return float(units.registry().Quantity(1.0, source.unit).to(target.unit).magnitude)


@attrs.frozen
class Factor:
    """A named conversion factor of the list ``factors``: record, and whether to divide, and how often."""

    code: str
    divide: bool
    power: int


def _powers(unit: Any) -> dict[str, float]:
    """Return the power of each unit in a product; a litre is a millimetre over a square metre."""
    powers: dict[str, float] = {}
    for name, power in units.registry().Quantity(1, unit).unit_items():
        litre = {"meter": 2.0, "millimeter": 1.0}
        for part, times in (litre if name == "liter" else {name: 1.0}).items():
            powers[part] = powers.get(part, 0.0) + power * times
    return {name: power for name, power in powers.items() if power}


class Factors:
    """The list ``factors`` of a book: what one unit is in another, each with its source.

    Parameters
    ----------
    block : Block or None
        The list; each record has ``code``, ``value``, ``top`` and ``bottom`` (pint units): value = top per bottom.
    """

    def __init__(self, block: Block | None) -> None:
        self.records: dict[str, Mapping[str, Any]] = {}
        self.powers: dict[str, dict[str, float]] = {}
        self._wrong: list[tuple[str, str]] = []
        for record in block.records if block else ():
            self._read(str(record["code"]), record)

    def _read(self, code: str, record: Mapping[str, Any]) -> None:
        registry = units.registry()
        try:
            top, bottom = registry.Unit(record["top"]), registry.Unit(record["bottom"])
            right, value = float(registry.Quantity(1.0, bottom).to(top).magnitude), float(record["value"])
        except KeyError as missing:
            self._wrong.append((code, f"has no {missing}"))
        except Exception as error:  # noqa: BLE001 - pint raises many kinds for a unit that it cannot read
            self._wrong.append((code, f"has a unit or value that cannot be read: {error}"))
        else:
            if abs(value - right) > 1e-9 * abs(right):
                self._wrong.append((code, f"is {value}, but the units make it {right!r}"))
            self.records[code] = record
            self.powers[code] = _powers(bottom / top)

    def wrong(self) -> list[tuple[str, str]]:
        """Return code and what is wrong of each factor that is not what it says."""
        return self._wrong

    def between(self, source: Measure, target: Measure) -> Factor | None:
        """Return the factor that turns a number in the source unit into one in the target unit.

        Raises
        ------
        LookupError
            No single factor of the list does it.
        """
        wanted = ratio(source, target)
        if abs(wanted - 1.0) <= 1e-12:
            return None
        # The units must be those of the factor, not only the number: seconds to minutes is not "minutes in an hour".
        change = _powers(source.unit / target.unit)
        for code, powers in self.powers.items():
            for power in (1, 2, 3):
                for sign in (1, -1):
                    if change == {name: sign * power * times for name, times in powers.items()}:
                        return Factor(code, divide=sign < 0, power=power)
        raise LookupError(f"{source} to {target}")
