"""Whether a condition of the jobs explains why some took longer than others; reported, never tuned on."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

import attrs
import numpy as np
from scipy.special import fdtrc, stdtr

from sheetgen.engine.tuning import holm
from sheetgen.engine.tuning.groups import Groups
from sheetgen.engine.tuning.past import Floats, Past

# Fewer jobs say nothing; trade, rates from past jobs.
LEAST_JOBS: Final = 8
LEVEL: Final = 0.05

FEW: Final = "few"
ALIKE: Final = "alike"
NOTHING: Final = "nothing"
EXPLAINS: Final = "explains"
CODES: Final = (FEW, ALIKE, NOTHING, EXPLAINS)


@attrs.frozen
class Line:
    """A straight line through points.

    Parameters
    ----------
    slope, intercept : float
        Of the line [-].
    chance : float
        How often points without a slope lie so by chance [share].
    explained : float
        Share of the scatter that the line explains [share].
    """

    slope: float
    intercept: float
    chance: float
    explained: float


@attrs.frozen
class Parted:
    """Scatter between and within kinds.

    Parameters
    ----------
    between, within : float
        Mean squares [-].
    ratio : float
        F [-].
    chance : float
        How often kinds that are alike differ so by chance [share].
    explained : float
        Share of the scatter that the kinds explain [share].
    """

    between: float
    within: float
    ratio: float
    chance: float
    explained: float


@attrs.frozen
class Effect:
    """What one condition explains.

    Parameters
    ----------
    jobs : int
        Jobs of which it is known [count].
    code : str
        ``few``: fewer than 8 jobs; ``alike``: it was the same in all of them; ``nothing``, or ``explains``.
    chance : float or None
        How often a condition without effect looks like that; None where it was not looked at [share].
    explained : float or None
        Share of the scatter between jobs that it explains; None alike [share].
    slope : float or None
        Logarithm of hours by unit of the condition, None for one of kinds [-].
    kinds : tuple of (str, int, float)
        For one of kinds: each with its jobs and the logarithm of its hours by those of all [-].
    """

    jobs: int
    code: str
    chance: float | None = None
    explained: float | None = None
    slope: float | None = None
    kinds: tuple[tuple[str, int, float], ...] = ()


def line(x: Floats, y: Floats) -> Line:
    """Fit a straight line by least squares.

    Parameters
    ----------
    x, y : array of float
        At least three points, not all at one x [-].

    Returns
    -------
    Line
        With Student's t for its slope.

    References
    ----------
    NIST/SEMATECH e-Handbook of Statistical Methods, section 4.1.
    """
    away, over = x - x.mean(), y - y.mean()
    across, total = float(away @ away), float(over @ over)
    slope = float(away @ over) / across
    left = float(np.sum((over - slope * away) ** 2))
    degrees = len(x) - 2
    with np.errstate(divide="ignore"):
        strength = np.abs(slope) / np.sqrt(left / degrees / across)
    explained = 1 - left / total if total > 0 else 0.0
    return Line(slope, float(y.mean() - slope * x.mean()), float(2 * stdtr(degrees, -strength)) if total > 0 else 1.0, explained)


def parted(kind: Groups, y: Floats) -> Parted:
    """Part the scatter between kinds from that within them.

    Parameters
    ----------
    kind : Groups
        Kind of each number; at least two kinds, and more numbers than kinds.
    y : array of float
        The numbers [-].

    Returns
    -------
    Parted
        With F for the difference of the kinds.

    References
    ----------
    NIST/SEMATECH e-Handbook of Statistical Methods, section 7.4.3.
    """
    sizes = kind.sizes()
    means = kind.sum(y) / sizes
    between = float(np.sum(sizes * (means - y.mean()) ** 2))
    within = float(np.sum((y - means[kind.of_row]) ** 2))
    above, below = kind.count - 1, len(y) - kind.count
    with np.errstate(divide="ignore", invalid="ignore"):
        ratio = float(np.divide(between / above, within / below)) if between > 0 else 0.0
        explained = between / (between + within) if between > 0 else 0.0
    return Parted(between / above, within / below, ratio, float(fdtrc(above, below, ratio)), explained)


def of_jobs(past: Past, left: Floats, spread: Floats) -> Floats:
    """Compute how much longer each job took than its tasks do on average.

    Parameters
    ----------
    past : Past
        Past work.
    left : array of float
        What is left of ln(actual/reckoned) of each row when the centre of its task is taken off [-].
    spread : array of float
        Spread of each task [-].

    Returns
    -------
    array of float
        Mean over the tasks of each job, odd rows drawn in to three spreads; missing for a job without rows [-].
    """
    jobs = Groups(past.job, past.jobs)
    reach = 3 * spread[past.task]
    with np.errstate(invalid="ignore"):
        return jobs.sum(np.clip(left, -reach, reach)) / jobs.sizes()


def of_number(job: Floats, condition: Floats) -> Effect:
    """Tell what a condition that is measured explains.

    Parameters
    ----------
    job : array of float
        How much longer each job took, from `of_jobs` [-].
    condition : array of float
        The condition of each job, missing where it is not known [-].

    Returns
    -------
    Effect
        With its slope.
    """
    known = np.isfinite(job) & np.isfinite(condition)
    jobs = int(known.sum())
    if jobs < LEAST_JOBS:
        return Effect(jobs, FEW)
    x = condition[known]
    if np.ptp(x) <= 1e-9 * (1 + np.abs(x).max()):
        return Effect(jobs, ALIKE)
    found = line(x, job[known])
    return Effect(jobs, _code(found.chance), found.chance, found.explained, found.slope)


def of_kind(job: Floats, condition: Sequence[str | None]) -> Effect:
    """Tell what a condition that is of one kind or another explains.

    Parameters
    ----------
    job : array of float
        How much longer each job took, from `of_jobs` [-].
    condition : sequence of str or None
        The condition of each job, None where it is not known.

    Returns
    -------
    Effect
        With its kinds; a kind with one job only does not count.
    """
    known = [number for number, kind in enumerate(condition) if kind is not None and np.isfinite(job[number])]
    names = sorted({str(condition[number]) for number in known})
    sizes = {name: sum(condition[number] == name for number in known) for name in names}
    kept = [name for name in names if sizes[name] > 1]
    rows = [number for number in known if condition[number] in kept]
    if len(rows) < LEAST_JOBS:
        return Effect(len(rows), FEW)
    if len(kept) < 2:
        return Effect(len(rows), ALIKE)
    kind = Groups(np.array([kept.index(str(condition[number])) for number in rows], dtype=np.intp), len(kept))
    y = job[rows]
    found = parted(kind, y)
    means = kind.sum(y) / kind.sizes()
    kinds = tuple((name, sizes[name], float(mean - y.mean())) for name, mean in zip(kept, means, strict=True))
    return Effect(len(rows), _code(found.chance), found.chance, found.explained, kinds=kinds)


def looked_at_together(effects: Sequence[Effect]) -> tuple[Effect, ...]:
    """Judge conditions anew for how many of them are looked at.

    Parameters
    ----------
    effects : sequence of Effect
        Each as if it were alone.

    Returns
    -------
    tuple of Effect
        With chances adjusted by Holm's steps.
    """
    adjusted = holm.together(np.array([effect.chance for effect in effects], dtype=np.float64))
    return tuple(
        effect if np.isnan(chance) else attrs.evolve(effect, chance=float(chance), code=_code(float(chance)))
        for effect, chance in zip(effects, adjusted, strict=True)
    )


def _code(chance: float) -> str:
    return EXPLAINS if chance <= LEVEL else NOTHING
