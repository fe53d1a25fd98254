"""Sums of the cost book over all jobs: by task, by product, by kind of other cost, by status."""

from __future__ import annotations

import math
from collections.abc import Mapping
from typing import TYPE_CHECKING, Any, Final

import attrs

from sheetgen.engine.lists import OTHER_KINDS, STATUSES
from sheetgen.engine.missing import MISSING, given, known, ratio, value
from sheetgen.engine.names import key

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

# A row of a posted table, by column; what is not known is None.
Row = Mapping[str, Any]


def filled(row: Row) -> bool:
    """Tell whether a row of a posted table is one: a table without rows has a blank one."""
    return row.get("workbook") is not None


def number_or_none(x: float) -> float | None:
    """Return a number, None where it is missing: what stands at the edge of the engine."""
    return x if known(x) else None


def column(rows: Iterable[Row], name: str) -> list[float | None]:
    """Return the figures of one column."""
    return [row.get(name) for row in rows]


def known_sum(figures: Iterable[float | None]) -> float | None:
    """Add what is known; the sum of nothing known is not known.

    Parameters
    ----------
    figures : iterable of float or None
        Amounts of one unit [-].

    Returns
    -------
    float or None
        Their sum, exact before it is rounded once; None where none is known [-].
    """
    there = [figure for figure in figures if figure is not None]
    return math.fsum(there) if there else None


def compared(rows: Sequence[Row], block: str) -> dict[str, tuple[float | None, ...]]:
    """Tell which rows of finished jobs can be compared, and what they cost beyond the estimate.

    Parameters
    ----------
    rows : sequence of mapping
        A row for each job and task, or for each job and product.
    block : {'hours', 'materials'}
        Which of them.

    Returns
    -------
    dict of str to tuple
        ``both`` is 1 where estimate and actual are known [count], ``money`` what is known of its two variances [money].
    """
    of = _COMPARED[block]
    told = [filled(row) and row.get("finished") is not None for row in rows]
    both = tuple(float(_finished(row) and _known_both(row, of)) if one else None for row, one in zip(rows, told, strict=True))
    money = tuple(known_sum(row.get(name) for name in of.money) if _finished(row) else None for row in rows)
    return {f"{block}.both": both, f"{block}.money": money}


def by_task(tasks: Sequence[Row], hours: Sequence[Row]) -> dict[str, tuple[float | None, ...]]:
    """Add up the hours of each task over the jobs that are finished.

    Parameters
    ----------
    tasks : sequence of mapping
        A row for each task.
    hours : sequence of mapping
        A row for each job and task, with the number of the task: hours [h], variances [money].

    Returns
    -------
    dict of str to tuple
        By ``block.field``, a figure per task; None where no finished job has both.
    """
    return _by_number("by_task", tasks, hours, _COMPARED["hours"])


def by_product(products: Sequence[Row], materials: Sequence[Row]) -> dict[str, tuple[float | None, ...]]:
    """Add up the packages of each product over the jobs that are finished.

    Parameters
    ----------
    products : sequence of mapping
        A row for each product.
    materials : sequence of mapping
        A row for each job and product, with the number of the product: packages [package], variances [money].

    Returns
    -------
    dict of str to tuple
        By ``block.field``, a figure per product; None where no finished job has both.
    """
    return _by_number("by_product", products, materials, _COMPARED["materials"])


@attrs.frozen(kw_only=True)
class _Compared:
    """Columns of a table that are compared: by what its rows are named, what was due, what was used, what it cost beyond."""

    named: str
    due: str
    actual: str
    money: tuple[str, str]


_COMPARED: Final = {
    "hours": _Compared(named="task", due="estimated", actual="actual", money=("efficiency_variance", "rate_variance")),
    "materials": _Compared(named="product", due="needed", actual="used", money=("price_variance", "quantity_variance")),
}


def _count(figures: Sequence[float | None]) -> float:
    return float(sum(figure is not None for figure in figures))


def _finished(row: Row) -> bool:
    return row.get("finished") == 1


def _known_both(row: Row, of: _Compared) -> bool:
    return row.get(of.due) is not None and row.get(of.actual) is not None


def _by_number(block: str, over: Sequence[Row], rows: Sequence[Row], of: _Compared) -> dict[str, tuple[float | None, ...]]:
    """Add up what was used and what was due, record by record of what the rows are about."""
    finished: dict[float, list[Row]] = {}
    for row in rows:
        number = row.get(f"{of.named}_no")
        if number is not None and _finished(row):
            finished.setdefault(float(number), []).append(row)
    names = ("jobs", "both", "money_rows", of.due, of.actual, "variance", "money", "ratio")
    found: dict[str, list[float | None]] = {name: [] for name in names}
    for number, record in enumerate(over, start=1):
        mine = finished.get(float(number), [])
        both = [row for row in mine if _known_both(row, of)]
        due, actual = (value(known_sum(column(both, name))) for name in (of.due, of.actual))
        money = [known_sum(row.get(name) for name in of.money) for row in mine]
        figures = (
            _count(column(mine, of.actual)),
            float(len(both)),
            _count(money),
            number_or_none(due),
            number_or_none(actual),
            number_or_none(actual - due),
            known_sum(money),
            number_or_none(ratio(actual, due)),
        )
        for name, figure in zip(names, figures, strict=True):
            found[name].append(figure if record.get(of.named) is not None else None)
    return {f"{block}.{name}": tuple(figures) for name, figures in found.items()}


def kind_no(row: Row) -> float | None:
    """Return the place of the kind of another cost in its list, None where it is not in it [no]."""
    kind = (key(row.get("kind")) or "").replace(" ", "_").lower()
    return OTHER_KINDS.index(kind) + 1.0 if kind in OTHER_KINDS else None


def other_cost(row: Row) -> float | None:
    """Compute what a row of the other costs cost, its tax included.

    Parameters
    ----------
    row : mapping
        Amount without tax, and tax [money].

    Returns
    -------
    float or None
        Cost; None where there is no amount [money].
    """
    return number_or_none(value(row.get("amount")) + given(row.get("tax"), 0))


def by_kind(others: Sequence[Row]) -> dict[str, tuple[float | None, ...]]:
    """Add up the other costs of each kind, tax included.

    Parameters
    ----------
    others : sequence of mapping
        A row for each other cost: kind in words, amount and tax [money].

    Returns
    -------
    dict of str to tuple
        ``by_kind.cost``, in the order of the list; None where a kind has none [money]; and how many rows it is of [count].
    """
    numbers = [kind_no(row) for row in others]
    costs = [
        [other_cost(row) for row, number in zip(others, numbers, strict=True) if number == one] for one in range(1, len(OTHER_KINDS) + 1)
    ]
    return {"by_kind.cost": tuple(map(known_sum, costs)), "by_kind.money_rows": tuple(map(_count, costs))}


def by_status(jobs: Sequence[Row]) -> dict[str, tuple[float | None, ...]]:
    """Add up prices and direct costs as they were bid, by what became of the bids.

    Parameters
    ----------
    jobs : sequence of mapping
        A row for each job: price before tax and direct cost as bid [money].

    Returns
    -------
    dict of str to tuple
        By ``by_status.field``, in the order of the statuses: jobs [count], price and direct cost [money], margin [-].
    """
    found: dict[str, list[float | None]] = {"jobs": [], "price": [], "direct": [], "margin": []}
    for status in STATUSES:
        mine = [job for job in jobs if job.get("status") == status and filled(job)]
        priced = [job for job in mine if job.get("price_bid") is not None]
        price = known_sum(column(priced, "price_bid")) or 0.0
        direct = known_sum(column(priced, "direct_bid")) or 0.0
        found["jobs"].append(float(len(mine)))
        found["price"].append(price)
        found["direct"].append(direct)
        found["margin"].append(number_or_none(ratio(price - direct, price) if priced else MISSING))
    return {f"by_status.{name}": tuple(figures) for name, figures in found.items()}
