"""Figures of a rate book that are not those of a bid: no zone uses anything, yet all of it should be complete."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from sheetgen.engine.tuning_figures import tuning_figures

if TYPE_CHECKING:
    from sheetgen.engine.inputs import Job
    from sheetgen.engine.tuning_figures import Rows, Tables
    from sheetgen.engine.values import Scalar, Value, Values

# Faults of a product, as the list of faults numbers them.
_NO_NAME: Final = 1.0
_SAME_NAME: Final = 2.0
_SYSTEMS: Final = ("systems", "layers", "data_sheets")
# Where each table says that a row still waits for the owner's own figures, and by which words.
_STARTER: Final = "starter value"
_SOURCES: Final = {
    "systems": "data_sheet", "products": "supplier", "lines": "source", "roles": "source", "tasks": "source", "equipment": "source",
}  # fmt: skip
_TUNING: Final = ("taken", "rates_typed")
_RATES: Final = ("roles", "products", "lines", "tasks", "texts")


def rate_figures(job: Job, values: Values, tables: Tables | None = None, rows: Rows | None = None) -> dict[str, Value]:
    """Compute what a rate book says otherwise than a bid with the same rates.

    Parameters
    ----------
    job : Job
        A job that holds only the rates.
    values : Values
        Its figures.
    tables : mapping of str to sequence of mapping, optional
        What was tuned, rows by block.
    rows : mapping of str to int, optional
        How many rows the book has of each block [count].

    Returns
    -------
    dict of str to value
        By ``block.field``: what was tuned; products count as needed, so that each needs size and price [no]; a data sheet in doubt counts
        though no zone rests on it; the checks of the rate book, and how many rows are starter values [count].
    """
    columns = (values.column(f"products.{name}") for name in ("started", "key", "twin", "price_fault"))
    products = [_product(*row) for row in zip(*columns, strict=True)]
    faults = [fault for _, fault in products]
    found: dict[str, Value] = {
        "products.needed_fault": values.column("products.price_fault"),
        "products.later_fault": tuple(later for later, _ in products),
        "products.fault": tuple(faults),
        "products.faulty": tuple(None if fault is None else float(fault > 0) for fault in faults),
    }
    counts = {name: values.scalar(f"checks.{name}") for name in (*_SYSTEMS, *_RATES)}
    counts["products"] = _counted(faults)
    counts["data_sheets"] = _counted(values.column("systems.doubt"))
    tuned = tuning_figures(job, tables or {}, rows)
    counts |= {name: _count(tuned[f"checks.{name}"]) for name in _TUNING}
    found |= tuned
    for name, count in counts.items():
        found[f"checks.{name}"] = count
    found["master.systems_looks"] = _counted([counts[name] for name in _SYSTEMS])
    found["master.rates_looks"] = _counted([counts[name] for name in _RATES])
    found["master.looks"] = _counted(list(counts.values()))
    for block, field in _SOURCES.items():
        said = (getattr(record, field) or "" for record in getattr(job, block))
        found[f"starters.{block}"] = float(sum(text.casefold() == _STARTER for text in said))
    return found


def _product(started: Scalar, key: Scalar, twin: Scalar, price_fault: Scalar) -> tuple[float | None, float | None]:
    """Return the fault after the name, and the first fault of all, of one product."""
    later = None if twin is None else _SAME_NAME if float(twin) > 1 else price_fault
    if started is None:
        return None, None
    return (None, _NO_NAME) if key is None else (_number(later), _number(later))


def _number(value: Scalar) -> float | None:
    return None if value is None else float(value)


def _count(figure: Value) -> float:
    assert isinstance(figure, float)
    return figure


def _counted(values: tuple[Scalar, ...] | list[Scalar] | list[float | None]) -> float:
    """Return how many are known and above 0 [count]."""
    return float(sum(1 for value in values if value is not None and float(value) > 0))
