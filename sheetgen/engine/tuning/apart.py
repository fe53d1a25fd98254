"""Set-up and rate fitted apart, where there are enough jobs, and of such different sizes, that they can be told apart."""

from __future__ import annotations

from typing import Final

import attrs
import numpy as np

from sheetgen.engine.tuning.groups import Groups
from sheetgen.engine.tuning.holm import chance
from sheetgen.engine.tuning.huber import BEND
from sheetgen.engine.tuning.past import Flags, Floats, Past, Whole

# Trade, rates from past jobs.
LEAST_JOBS: Final = 8
# Sizes are spread where the share of set-up differs by so much between a tenth and nine tenths of the jobs; common practice.
LEAST_RANGE: Final = 0.10
# The two must differ by more than chance gives once in so many.
_LEVEL: Final = 0.05
# Equations that lie so close cannot be told apart, and no fit gives less.
_FLAT: Final = 1e-10
_LEAST: Final = 1e-9


@attrs.frozen(eq=False)
class Sides:
    """Factors on set-up and on the rest of the hours, for each group.

    Parameters
    ----------
    set_up, rest : array of float
        What the hours of each become of what the present rates give, 0 or more [-].
    """

    set_up: Floats
    rest: Floats


def spread_sizes(past: Past) -> Flags:
    """Tell for each task whether its jobs are enough and of such different sizes that set-up and rate can be told apart."""
    groups = Groups(past.task, past.tasks)
    part = past.set_up / past.reckoned
    low, high = groups.quantiles(part, 0.1, 0.9)
    with np.errstate(invalid="ignore"):
        return (high - low >= LEAST_RANGE) & (groups.sizes() >= LEAST_JOBS)


@attrs.frozen(eq=False)
class _Sums:
    """The sums that a fit follows from."""

    first: Floats
    cross: Floats
    second: Floats
    of_first: Floats
    of_second: Floats
    plain: Floats
    weight: Floats

    def less(self, other: _Sums) -> _Sums:
        return _Sums(*(getattr(self, one.name) - getattr(other, one.name) for one in attrs.fields(_Sums)))

    def at(self, rows: Whole) -> _Sums:
        return _Sums(*(getattr(self, one.name)[rows] for one in attrs.fields(_Sums)))


def _terms(part: Floats, ratio: Floats, weight: Floats) -> _Sums:
    """Return what each row adds to the sums."""
    other = 1 - part
    return _Sums(
        first=weight * part * part,
        cross=weight * part * other,
        second=weight * other * other,
        of_first=weight * part * ratio,
        of_second=weight * other * ratio,
        plain=weight * ratio,
        weight=weight,
    )


def _solved(sums: _Sums) -> Sides:
    """Solve the two equations, and where a factor comes out below 0, the one that is left."""
    with np.errstate(divide="ignore", invalid="ignore"):
        gap = sums.first * sums.second - sums.cross**2
        flat = ~(gap > _FLAT * (sums.first + sums.second) ** 2)
        set_up = (sums.of_first * sums.second - sums.of_second * sums.cross) / gap
        rest = (sums.of_second * sums.first - sums.of_first * sums.cross) / gap
        mean = sums.plain / sums.weight
        low_set_up, low_rest = set_up < 0, rest < 0
        set_up = np.where(low_set_up, 0.0, np.where(low_rest, sums.of_first / sums.first, set_up))
        rest = np.where(low_rest, 0.0, np.where(low_set_up, sums.of_second / sums.second, rest))
    return Sides(np.where(flat, mean, set_up), np.where(flat, mean, rest))


def fit(part: Floats, ratio: Floats, weight: Floats, groups: Groups) -> Sides:
    """Fit ratio = set_up · part + rest · (1 - part) by least squares, both 0 or more.

    Parameters
    ----------
    part : array of float
        Share of set-up in the hours reckoned, 0 to 1 [share].
    ratio : array of float
        Actual by reckoned hours [-].
    weight : array of float
        How much each row counts [-].
    groups : Groups
        Which rows belong together.

    Returns
    -------
    Sides
        One fit for each group; where all parts are equal, both are the mean ratio.

    References
    ----------
    Lawson & Hanson, Solving Least Squares Problems, chapter 23; with two unknowns the best corner is found outright.
    """
    terms = _terms(part, ratio, weight)
    return _solved(_Sums(*(groups.sum(getattr(terms, one.name)) for one in attrs.fields(_Sums))))


def left_out(past: Past, groups: Groups, weight: Floats) -> Floats:
    """Compute how far each row lies from a fit to the other rows of its group.

    Parameters
    ----------
    past : Past
        Past work.
    groups : Groups
        Which rows belong together.
    weight : array of float
        How much each row counts [-].

    Returns
    -------
    array of float
        Logarithm of the actual by the fitted hours [-].
    """
    part, ratio = past.set_up / past.reckoned, past.actual / past.reckoned
    terms = _terms(part, ratio, weight)
    sums = _Sums(*(groups.sum(getattr(terms, one.name)) for one in attrs.fields(_Sums)))
    others = _solved(sums.at(groups.of_row).less(terms))
    return np.log(ratio / np.maximum(others.set_up * part + others.rest * (1 - part), _LEAST))


def at_the_middle(sides: Sides, part: Floats, ratio: Floats, weight: Floats, groups: Groups) -> Sides:
    """Bring a fit, which is one of means, to the middle of its jobs on the scale of logarithms.

    Parameters
    ----------
    sides : Sides
        The fit.
    part, ratio, weight, groups
        What it was fitted to.

    Returns
    -------
    Sides
        Both factors times the same number.
    """
    with np.errstate(divide="ignore", invalid="ignore"):
        logs = np.log(ratio / hours(sides, part, groups))
        factor = np.exp(groups.sum(weight * logs) / groups.sum(weight))
    return Sides(sides.set_up * factor, sides.rest * factor)


def hours(sides: Sides, part: Floats, groups: Groups) -> Floats:
    """Compute what a fit gives for each row, by what the present rates give.

    Parameters
    ----------
    sides : Sides
        The fit.
    part : array of float
        Share of set-up in the hours reckoned [share].
    groups : Groups
        Which row belongs to which fit.

    Returns
    -------
    array of float
        set_up · part + rest · (1 - part), never quite 0 [-].
    """
    return np.maximum(sides.set_up[groups.of_row] * part + sides.rest[groups.of_row] * (1 - part), _LEAST)


def row_weight(left: Floats, spread: Floats) -> Floats:
    """Compute how much a row counts in a fit: less, the further out it lies beyond 1.5 spreads.

    Parameters
    ----------
    left : array of float
        What is left of the logarithm of its ratio when the centre is taken off [-].
    spread : array of float
        Spread at each row, above 0 [-].

    Returns
    -------
    array of float
        1 inside, else 1.5 spreads by the distance [-].
    """
    with np.errstate(divide="ignore"):
        return np.minimum(1.0, BEND * spread / np.abs(left))


def robust_fit(past: Past, groups: Groups, centre: Floats, spread: Floats) -> Sides:
    """Fit set-up and rest apart, odd rows counting less.

    Parameters
    ----------
    past : Past
        Past work.
    groups : Groups
        Which rows belong together: those of a task, or fewer.
    centre, spread : array of float
        Of ln(actual/reckoned) in each group [-].

    Returns
    -------
    Sides
        At the middle of the jobs.
    """
    part, ratio = past.set_up / past.reckoned, past.actual / past.reckoned
    left = past.log_ratio - centre[groups.of_row]
    at = spread[groups.of_row]
    weight = past.weight * row_weight(left, at)
    sides = fit(part, ratio, weight, groups)
    left = np.log(ratio / hours(sides, part, groups))
    weight = past.weight * row_weight(left, at)
    return at_the_middle(fit(part, ratio, weight, groups), part, ratio, weight, groups)


def slope_chance(past: Past, groups: Groups, centre: Floats, spread: Floats, degrees: Floats) -> tuple[Floats, Floats]:
    """Compute how often ratios follow the share of set-up so closely by chance.

    Parameters
    ----------
    past : Past
        Past work.
    groups : Groups
        Which rows belong together: those of a task, or fewer.
    centre, spread : array of float
        Of ln(actual/reckoned) in each group [-].
    degrees : array of float
        Degrees of freedom behind the spread [count].

    Returns
    -------
    chances : array of float
        On either side, for each group; 1 where all shares are equal [share].
    strength : array of float
        The slope by its standard error [-].
    """
    of_row = groups.of_row
    reach = BEND * spread[of_row]
    drawn = np.clip(past.log_ratio - centre[of_row], -reach, reach)
    part = past.set_up / past.reckoned
    with np.errstate(divide="ignore", invalid="ignore"):
        together = groups.sum(past.weight)
        away = part - (groups.sum(past.weight * part) / together)[of_row]
        across = groups.sum(past.weight * away**2)
        slope = groups.sum(past.weight * away * drawn) / across
        # What the slope leaves: the spread about the line, in the place of that about the centre.
        left = drawn - slope[of_row] * away
        size = groups.sizes()
        about = np.sqrt(groups.sum(past.weight * left**2) / together * size / (size - 2))
        error = np.maximum(about, 1e-9) / np.sqrt(across)
        tell = across > 1e-9
    strength = np.where(tell, slope / np.where(tell, error, 1.0), 0.0)
    chances = chance(np.where(tell, slope, 0.0), np.where(tell, error, 1.0), np.maximum(np.minimum(degrees, size - 2), 1.0))
    return np.where(tell, chances, 1.0), strength


def certain(chances: Floats) -> Flags:
    """Tell where set-up and rate differ by more than chance gives once in twenty [share]."""
    return chances <= _LEVEL


def drawn_together(sides: Sides, centre: Floats, move: Floats, strength: Floats) -> Sides:
    """Draw the two factors towards the common one, the more the less sure it is that they differ.

    Parameters
    ----------
    sides : Sides
        The fit of each task.
    centre : array of float
        Centre of ln(actual/reckoned) of each task [-].
    move : array of float
        How far the hours of the task change as a whole [-].
    strength : array of float
        How sure it is that they differ: a slope by its standard error [-].

    Returns
    -------
    Sides
        Factors that move the task as a whole by its move.

    Notes
    -----
    The share kept is 1 - 1/strength², 0 at least.
    """
    with np.errstate(divide="ignore"):
        kept = np.maximum(1 - 1 / strength**2, 0.0)
    common, whole = np.exp(centre), np.exp(move - centre)
    return Sides(
        set_up=whole * (common + kept * (sides.set_up - common)),
        rest=whole * (common + kept * (sides.rest - common)),
    )
