"""What the engine found: one value per formula of the book, by name, with its unit."""

from __future__ import annotations

import functools
from collections.abc import Iterable, Iterator, Mapping
from math import isnan
from typing import Any, ClassVar, Final, Protocol

import attrs

from sheetgen.engine.missing import known
from sheetgen.units import PLAIN, System, linear

Scalar = float | str | None
Cells = Scalar | tuple[Scalar, ...]
Value = Cells | dict[str, Cells]

SCENARIOS: Final = (
    "as_bid", "accepted", "option_1", "option_2", "option_3", "option_4", "option_5", "option_6",
    "waste_low", "waste_high", "difficulty_low", "difficulty_high", "thickness_low", "thickness_high",
)  # fmt: skip
# Unit words for which each row has a unit of its own, by its basis or its test.
ROW_WORDS: Final = ("basis", "reading")


def with_row_unit(expression: str, unit: str) -> str:
    """Return a unit expression with the row's own unit in it."""
    for word in ROW_WORDS:
        expression = expression.replace(word, unit)
    return expression


def figure(unit: str, measured: str | None = None, kind: str = "formula") -> Any:
    """Declare a figure: the unit word expression that a sheet shows.

    Parameters
    ----------
    unit : str
        Unit expression.
    measured : str, optional
        What ``basis`` or ``reading`` is in it, where that is the same in every row.
    kind : str
        ``formula``, or ``show`` where the sheet only repeats it.
    """
    return attrs.field(metadata={"unit": unit, "measured": measured, "kind": kind})


class Figures(Protocol):
    """A class of figures.

    Parameters
    ----------
    block : str
        Name of the block.
    over : str or None
        Block of `Job` with a record for each row; None for single figures.
    scenario : bool
        Whether there is a column for each scenario.
    """

    block: ClassVar[str]
    over: ClassVar[str | None]
    scenario: ClassVar[bool]


def field_name(attribute: Any) -> str:
    """Return the name of an attribute as books know it (`yield` cannot be one in Python)."""
    return str(attribute.name).rstrip("_")


@attrs.frozen
class Unit:
    """How one name's values are measured.

    Parameters
    ----------
    expression : str
        Unit expression as a sheet shows it.
    of_row : str, tuple of str or None
        What the word ``basis`` or ``reading`` in it is, for all records or for each; None where it has none.
    """

    expression: str
    of_row: str | tuple[str, ...] | None = None

    def linear(self, record: int | None, source: System, target: System) -> tuple[float, float]:
        """Return factor and offset between two systems of units for one record.

        Parameters
        ----------
        record : int or None
            Which record, from 0; None for a single figure [count].
        source, target : {'us', 'metric'}
            From which display unit to which.

        Returns
        -------
        factor, offset : float
            Factor and offset [unit of the expression].
        """
        if self.expression in PLAIN or source == target:
            return 1.0, 0.0
        own = self.of_row
        if isinstance(own, tuple):
            own = own[record] if record is not None else None
        return linear(self.expression if own is None else with_row_unit(self.expression, own), source, target)


@attrs.frozen(kw_only=True)
class Name:
    """What stands behind a name of the book.

    Parameters
    ----------
    unit : str
        Unit expression.
    kind : str
        ``input``, ``choice`` or ``formula``.
    block : str
        ``fields`` for single values, ``rows`` for one per record, ``scenario`` for either in each scenario.
    over : str or None
        Block of `Job` with a record for each row; None for single values.
    """

    unit: str
    kind: str
    block: str
    over: str | None


def names_of(classes: Iterable[type[Figures]]) -> dict[str, Name]:
    """Return every figure of some classes by name."""
    found: dict[str, Name] = {}
    for figures in classes:
        over, scenario = figures.over, figures.scenario
        block = "scenario" if scenario else "rows" if over else "fields"
        for attribute in attrs.fields(figures):  # type: ignore[arg-type]
            found[f"{figures.block}.{field_name(attribute)}"] = Name(
                unit=attribute.metadata["unit"], kind=attribute.metadata["kind"], block=block, over=over
            )
    return found


def _blank(x: Any) -> Scalar:
    if x is None or isinstance(x, str):
        return x
    return float(x) if known(x) else None


def _cells(x: Any) -> Cells:
    if not isinstance(x, tuple):
        return _blank(x)
    # Nearly all are floats, and a job has tens of thousands.
    return tuple([(None if isnan(cell) else cell) if type(cell) is float else _blank(cell) for cell in x])


@attrs.frozen(eq=False)
class Values(Mapping[str, Value]):
    """The values of a job, keyed by ``block.field``.

    A value is a scalar, a tuple over the block's records, or, where the block has a column per
    scenario, a dict of either by scenario. What is missing is None.

    Parameters
    ----------
    system : {'us', 'metric'}
        Whose display units the numbers stand in.
    job_system : {'us', 'metric'}
        System of the job that they were computed from.
    units : dict of str to Unit
        How each name is measured.
    """

    system: System
    job_system: System
    units: dict[str, Unit]
    _values: dict[str, Value]

    def __getitem__(self, name: str) -> Value:
        return self._values[name]

    def __iter__(self) -> Iterator[str]:
        return iter(self._values)

    def __len__(self) -> int:
        return len(self._values)

    def scalar(self, name: str, scenario: str | None = None) -> Scalar:
        """Return a single figure, of one scenario where there are several."""
        cells = self.cells(name, scenario)
        if isinstance(cells, tuple):
            raise TypeError(f"{name} has a value for each record")
        return cells

    def column(self, name: str, scenario: str | None = None) -> tuple[Scalar, ...]:
        """Return the figures of all records, of one scenario where there are several."""
        cells = self.cells(name, scenario)
        if not isinstance(cells, tuple):
            raise TypeError(f"{name} is a single value")
        return cells

    def cells(self, name: str, scenario: str | None = None) -> Cells:
        """Return a scalar or a tuple, of one scenario where there are several."""
        value = self._values[name]
        if isinstance(value, dict):
            if scenario is None:
                raise TypeError(f"{name} has a value for each scenario")
            return value[scenario]
        return value

    def in_job_system(self) -> Values:
        """Return the values in the display units of the job."""
        return self.in_system(self.job_system)

    def in_system(self, system: System) -> Values:
        """Return the values in the display units of a system; what is missing stays missing."""
        if system == self.system:
            return self
        converted = {name: self._converted(self.units[name], value, system) for name, value in self._values.items()}
        return attrs.evolve(self, system=system, values=converted)

    def _converted(self, unit: Unit, value: Value, system: System) -> Value:
        if isinstance(value, dict):
            return {one: self._cells_converted(unit, cells, system) for one, cells in value.items()}
        return self._cells_converted(unit, value, system)

    def _cells_converted(self, unit: Unit, cells: Cells, system: System) -> Cells:
        if not isinstance(cells, tuple):
            return _scaled(cells, *unit.linear(None, self.system, system))
        if not isinstance(unit.of_row, tuple):
            factor, offset = unit.linear(None, self.system, system)
            if (factor, offset) == (1.0, 0.0):
                return cells
            return tuple(_scaled(cell, factor, offset) for cell in cells)
        return tuple(_scaled(cell, *unit.linear(record, self.system, system)) for record, cell in enumerate(cells))


def _scaled(x: Scalar, factor: float, offset: float) -> Scalar:
    return x * factor + offset if isinstance(x, float) else x


@functools.cache
def _told(figures: type[Figures]) -> tuple[tuple[str, str, str, Any], ...]:
    """Return attribute, name, unit and what else is known of the unit, for each figure of a class."""
    return tuple(
        (one.name, f"{figures.block}.{field_name(one)}", one.metadata["unit"], one.metadata["measured"])
        for one in attrs.fields(figures)  # type: ignore[arg-type]
    )


class Collector:
    """Gathers figures into `Values`.

    Parameters
    ----------
    job_system : {'us', 'metric'}
        System of the job.
    row_units : dict of str to tuple of str
        For a block of `Job`, the unit that each record measures in by its own choice.
    """

    def __init__(self, job_system: System, row_units: dict[str, tuple[str, ...]]) -> None:
        self._job_system = job_system
        self._row_units = row_units
        self._values: dict[str, Value] = {}
        self._units: dict[str, Unit] = {}

    def add(self, figures: Figures, scenario: str | None = None) -> None:
        """Add the figures of one class, for one scenario where it has several."""
        records = self._row_units.get(figures.over or "")
        for attribute, name, unit, measured in _told(type(figures)):
            cells = _cells(getattr(figures, attribute))
            if name not in self._units:
                self._units[name] = Unit(unit, measured or records)
            if scenario is None:
                self._values[name] = cells
            else:
                by_scenario = self._values.setdefault(name, {})
                assert isinstance(by_scenario, dict)
                by_scenario[scenario] = cells

    def all(self, *blocks: Figures, scenario: str | None = None) -> None:
        """Add the figures of several classes, for one scenario where they have several."""
        for figures in blocks:
            self.add(figures, scenario)

    def values(self) -> Values:
        """Return what was gathered, in US display units, in which the engine computes."""
        return Values("us", self._job_system, self._units, self._values)
