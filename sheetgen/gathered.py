"""What many jobs tell, put into one flat table; a job that is met twice counts once."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Sequence

import attrs
import numpy as np

from sheetgen.engine.names import Register, key, keys
from sheetgen.engine.tuning.ages import weights
from sheetgen.engine.tuning.past import Past
from sheetgen.past_work import TWICE, LeftOut, Worked


@attrs.frozen(eq=False)
class Gathered:
    """Past work of all jobs that count.

    Parameters
    ----------
    jobs : tuple of Worked
        Those that count, in the order in which they were met.
    left_out : tuple of (Worked, LeftOut)
        What does not count, of these and of others.
    hours : Past
        Tasks, numbered as in the rate book.
    products : tuple of str
        Names, those of the rate book first.
    toppings : tuple of bool
        Which of them are laid.
    packages : Past
        Products, numbered so.
    bags : Past
        All toppings of a job together, as one product.
    """

    jobs: tuple[Worked, ...]
    left_out: tuple[tuple[Worked, LeftOut], ...]
    hours: Past = attrs.field(repr=False)
    products: tuple[str, ...] = attrs.field(repr=False)
    toppings: tuple[bool, ...] = attrs.field(repr=False)
    packages: Past = attrs.field(repr=False)
    bags: Past = attrs.field(repr=False)


def gather(
    met: Iterable[Worked], tasks: Sequence[str | None], products: Sequence[str | None], *,
    today: dt.date | None = None, half_life_days: float | None = None,
) -> Gathered:  # fmt: skip
    """Put what jobs tell into one table.

    Parameters
    ----------
    met : iterable of Worked
        All jobs.
    tasks, products : sequence of str or None
        Names of the rate book.
    today : datetime.date, optional
        From which the age of a job is counted.
    half_life_days : float, optional
        Days in which a job comes to count half as much; all count alike unless given [day].

    Returns
    -------
    Gathered
        A job without a date counts in full.
    """
    jobs, left_out = _once(met)
    count = len(jobs)
    weight = _weights(jobs, today, half_life_days)
    register = Register(keys(tasks))
    rows = [(number, int(register.number(one.task)) - 1, one) for number, job in enumerate(jobs) for one in job.hours]
    hours = Past(
        job=[job for job, _, _ in rows], task=[task for _, task, _ in rows], actual=[one.actual for *_, one in rows],
        reckoned=[one.reckoned for *_, one in rows], set_up=[one.set_up for *_, one in rows],
        weight=[weight[job] for job, _, _ in rows], jobs=count, tasks=len(tasks),
    )  # fmt: skip
    names = _names(products, jobs)
    known = Register(names)
    used = [(number, int(known.number(one.product)) - 1, one) for number, job in enumerate(jobs) for one in job.used]
    packages = Past(
        job=[job for job, _, _ in used], task=[product for _, product, _ in used], actual=[one.used for *_, one in used],
        reckoned=[one.needed for *_, one in used], weight=[weight[job] for job, _, _ in used], jobs=count, tasks=len(names),
    )  # fmt: skip
    laid = {product for _, product, one in used if one.topping}
    return Gathered(
        jobs, left_out, hours, names, tuple(number in laid for number in range(len(names))), packages, _bags(jobs, weight)
    )


def _once(met: Iterable[Worked]) -> tuple[tuple[Worked, ...], tuple[tuple[Worked, LeftOut], ...]]:
    """Part the jobs that count from what does not; of one job that is met twice the first counts."""
    jobs: list[Worked] = []
    left_out: list[tuple[Worked, LeftOut]] = []
    seen: set[tuple[str, str | None]] = set()
    for job in met:
        if (job.book_id, job.number) in seen:
            left_out.append((job, LeftOut(TWICE)))
            continue
        seen.add((job.book_id, job.number))
        left_out.extend((job, one) for one in job.left_out)
        if job.counts:
            jobs.append(job)
    return tuple(jobs), tuple(left_out)


def _weights(jobs: Sequence[Worked], today: dt.date | None, half_life_days: float | None) -> list[float]:
    if half_life_days is None or today is None:
        return [1.0] * len(jobs)
    ages = np.array([float((today - job.ended).days) if job.ended is not None else 0.0 for job in jobs])
    return [float(weight) for weight in weights(ages, half_life_days)]


def _names(products: Sequence[str | None], jobs: Sequence[Worked]) -> tuple[str, ...]:
    """Return the names of the rate book's products, then those that only jobs have."""
    names = [name for name in keys(products) if name is not None]
    known = {name.lower() for name in names}
    for job in jobs:
        for one in job.used:
            name = key(one.product)
            if name is not None and name.lower() not in known:
                known.add(name.lower())
                names.append(name)
    return tuple(names)


def _bags(jobs: Sequence[Worked], weight: Sequence[float]) -> Past:
    rows = []
    for number, job in enumerate(jobs):
        used, needed = sum(one.bags for one in job.used), sum(one.bags_needed for one in job.used)
        if used > 0 and needed > 0:
            rows.append((number, used, needed))
    return Past(
        job=[number for number, *_ in rows], task=[0] * len(rows), actual=[used for _, used, _ in rows],
        reckoned=[needed for *_, needed in rows], weight=[weight[number] for number, *_ in rows], jobs=len(jobs), tasks=1,
    )  # fmt: skip
