"""Histories of jobs whose truth is known: what tuning makes of them can be held against it."""

from __future__ import annotations

from collections.abc import Callable
from typing import Final

import attrs
import numpy as np

from sheetgen.engine.tuning.past import Flags, Floats, Past

TASKS: Final = 20
PRODUCTS: Final = 2
# All of a history is drawn from these; common practice, no source.
JOB_WIDE: Final = 0.15
LEAST_SPREAD, MOST_SPREAD = 0.15, 0.40
WASTE_SPREAD: Final = 0.08
PRESENCE: Final = 0.8
ODD: Final = 0.01
ODD_BY: Final = 1.2


@attrs.frozen(eq=False)
class Truth:
    """What is true of a book of rates, by what the book holds.

    Parameters
    ----------
    rest, set_up : array of float
        Middle of the true hours by those of the present rates, apart from set-up and of set-up.
    spread : array of float
        Spread of each task, without the part that all tasks of a job share.
    waste : array of float
        Middle of what is used by what is needed with the present waste.
    present_set_up : array of float
        Set-up of the present rates [h].
    """

    rest: Floats
    set_up: Floats
    spread: Floats
    waste: Floats
    present_set_up: Floats


def all_right(dice: np.random.Generator) -> Truth:
    """Every rate and waste is right."""
    ones = np.ones(TASKS)
    return _truth(dice, ones, ones, np.ones(PRODUCTS))


def five_wrong(dice: np.random.Generator) -> Truth:
    """Five of twenty rates are wrong by a quarter to a half, in three of them the set-up otherwise; and one waste."""
    rest, set_up = np.ones(TASKS), np.ones(TASKS)
    wrong = dice.choice(TASKS, 5, replace=False)
    rest[wrong] = np.exp(dice.choice([-1, 1], 5) * dice.uniform(0.22, 0.41, 5))
    set_up[wrong] = rest[wrong]
    set_up[wrong[:3]] = np.exp(dice.choice([-1, 1], 3) * dice.uniform(0.22, 0.69, 3))
    return _truth(dice, rest, set_up, np.array([1.06, 1.0]))


def all_off(dice: np.random.Generator) -> Truth:
    """Every rate is a guess, off by a fifth as often as not."""
    rest = np.exp(0.25 * dice.normal(size=TASKS))
    return _truth(dice, rest, rest * np.exp(0.2 * dice.normal(size=TASKS)), np.exp(0.05 * dice.normal(size=PRODUCTS)))


SCENARIOS: Final[dict[str, Callable[[np.random.Generator], Truth]]] = {
    "all right": all_right, "five wrong": five_wrong, "all off": all_off,
}  # fmt: skip


def _truth(dice: np.random.Generator, rest: Floats, set_up: Floats, waste: Floats) -> Truth:
    has_set_up = dice.random(TASKS) < 0.7
    return Truth(rest, set_up, dice.uniform(LEAST_SPREAD, MOST_SPREAD, TASKS), waste, np.where(has_set_up, dice.uniform(0.25, 1.0, TASKS), 0.0))


@attrs.frozen(eq=False)
class History:
    """Jobs of a truth: hours of tasks, and packages of products."""

    hours: Past
    packages: Past
    odd: Flags


def draw(dice: np.random.Generator, truth: Truth, jobs: int, *, odd: float = ODD) -> History:
    """Draw jobs: sizes from small to large, some without some tasks, each a good or a bad one, an odd row now and then."""
    size = np.exp(0.6 * dice.normal(size=jobs))
    factor = JOB_WIDE * dice.normal(size=jobs)
    job, task = (grid.ravel() for grid in np.meshgrid(np.arange(jobs), np.arange(TASKS), indexing="ij"))
    there = dice.random(len(job)) < PRESENCE
    job, task = job[there], task[there]
    count = len(job)
    rest = 2.5 * size[job] * np.exp(0.4 * dice.normal(size=count))
    set_up = truth.present_set_up[task]
    middle = truth.rest[task] * rest + truth.set_up[task] * set_up
    is_odd = dice.random(count) < odd
    logs = factor[job] + truth.spread[task] * dice.normal(size=count) + is_odd * ODD_BY * dice.choice([-1, 1], count)
    hours = Past(job=job, task=task, actual=middle * np.exp(logs), reckoned=rest + set_up, set_up=set_up, jobs=jobs, tasks=TASKS)
    job, product = np.arange(jobs), dice.integers(0, PRODUCTS, jobs)
    need = 12.0 * size
    used = need * truth.waste[product] * np.exp(WASTE_SPREAD * dice.normal(size=jobs))
    return History(hours, Past(job=job, task=product, actual=used, reckoned=need, jobs=jobs, tasks=PRODUCTS), is_odd)
