"""Past work becomes suggestions: for each task how its rate should move, how sure that is, and how well it predicts."""

from __future__ import annotations

from typing import Final

import attrs
import numpy as np

from sheetgen.engine import risk
from sheetgen.engine.tuning import apart, holm, recommend
from sheetgen.engine.tuning.backtest import Backtest, backtest
from sheetgen.engine.tuning.fitted import Fitted, factors, fit
from sheetgen.engine.tuning.groups import Groups
from sheetgen.engine.tuning.job_wide import job_wide, with_starter
from sheetgen.engine.tuning.past import Flags, Floats, Past
from sheetgen.engine.tuning.ranges import next_spread, own_part

# A row so many spreads from the centre of its task is shown as an outlier; common practice, no source.
OUTLIER: Final = 3.0


@attrs.frozen(eq=False, kw_only=True)
class Tuned:
    """What past jobs say of each task; one figure for each, missing where there are no jobs.

    Parameters
    ----------
    jobs : array of float
        How many [count].
    centre, spread : array of float
        Of ln(actual/reckoned), by Huber's proposal 2 [-].
    used_spread : array of float
        Spread of the next job about the middle that is suggested, doubt of that middle and of the spread included [-].
    own_spread : array of float
        What is left of it without the part that all tasks of a job share: what a bid needs [-].
    set_up, rest : array of float
        Factor on set-up and on the rest of the hours, for the middle of the jobs [-].
    expected : array of float
        Factor from the middle to what is expected, by the spread [-].
    apart : array of bool
        Whether set-up and rate move differently.
    chances : array of float
        How often the jobs would say so by chance [share].
    middle_set_up, middle_rest : array of float
        Hours that the present rates give for the job of middle size: its set-up, and the rest [h].
    p50, p80 : array of float
        Hours of that job by the suggestion [h].
    outlier : array of bool
        For each row of the table.
    job_wide : float
        Spread of the factor that all tasks of a job share, of the next job [-].
    job_wide_jobs : int
        Jobs that it rests on beside the starter value [count].
    between : float
        Spread of the true moves over the tasks [-].
    fitted : Fitted
        How all that came about.
    """

    jobs: Floats
    centre: Floats
    spread: Floats
    used_spread: Floats
    own_spread: Floats
    set_up: Floats
    rest: Floats
    expected: Floats
    apart: Flags
    chances: Floats
    middle_set_up: Floats
    middle_rest: Floats
    p50: Floats
    p80: Floats
    outlier: Flags
    job_wide: float
    job_wide_jobs: int
    between: float
    fitted: Fitted = attrs.field(repr=False)


def tune(past: Past) -> Tuned:
    """Tune every rate on past work, in one pass.

    Parameters
    ----------
    past : Past
        Past work.

    Returns
    -------
    Tuned
        For each task.

    Notes
    -----
    Trade, rates from past jobs, and risk.
    """
    groups = Groups(past.task, past.tasks)
    everything = Groups(np.zeros(len(past), dtype=np.intp), 1)
    fitted = fit(past, everything)
    centres, used, degrees = fitted.centres, fitted.spreads.used[0], fitted.spreads.degrees[0]
    moves = fitted.moves
    alone = holm.chance(centres.centre, moves.error[0], degrees)
    looked = apart.spread_sizes(past)
    taken_apart, chances = looked, alone
    if looked.any():
        sloped, _ = apart.slope_chance(past, groups, centres.centre, used, degrees)
        # Two questions are asked of such a task; the surer answer counts, and asking twice is paid for.
        chances = np.where(looked, np.minimum(2 * np.minimum(alone, sloped), 1.0), alone)
        taken_apart = looked & apart.certain(sloped)
        if taken_apart.any():
            taken_apart &= predicts_better(past, groups, fitted)
    sides = factors(past, fitted, taken_apart)
    left = past.log_ratio - centres.centre[past.task]
    measured, rests_on = job_wide(past, left, used)
    shared = with_starter(measured, rests_on)
    wide = next_spread(used, moves.doubt[0], degrees)
    middle_set_up, middle_rest = _middle_size(past, groups)
    p50 = sides.set_up[0] * middle_set_up + sides.rest[0] * middle_rest
    return Tuned(
        jobs=groups.sizes(),
        centre=centres.centre,
        spread=fitted.spreads.own[0],
        used_spread=wide,
        own_spread=own_part(wide, shared),
        set_up=sides.set_up[0],
        rest=sides.rest[0],
        expected=risk.mean_of_median(np.ones_like(wide), wide),
        apart=taken_apart & (sides.set_up[0] != sides.rest[0]),
        chances=chances,
        middle_set_up=middle_set_up,
        middle_rest=middle_rest,
        p50=p50,
        p80=p50 * np.exp(risk.z_of(0.8) * wide),
        outlier=np.abs(left) > OUTLIER * used[past.task],
        job_wide=shared,
        job_wide_jobs=rests_on,
        between=float(moves.between[0]),
        fitted=fitted,
    )


def tested(past: Past, tuned: Tuned) -> Backtest:
    """Back-test what was tuned.

    Parameters
    ----------
    past : Past
        The past work that it was tuned on.
    tuned : Tuned
        What came of it.

    Returns
    -------
    Backtest
        Each job predicted by the others.
    """
    return backtest(past, tuned.apart, tuned.job_wide, recommend.LEAST_JOBS)


def evidence(tuned: Tuned, test: Backtest) -> recommend.Evidence:
    """Put together what speaks for a change of each rate.

    Parameters
    ----------
    tuned : Tuned
        What the jobs say.
    test : Backtest
        How well it predicts.

    Returns
    -------
    recommend.Evidence
        For each task.
    """
    with np.errstate(divide="ignore", invalid="ignore"):
        logs = np.log(tuned.set_up), np.log(tuned.rest)
    change = np.where(np.abs(logs[0]) > np.abs(logs[1]), *logs)
    return recommend.Evidence(tuned.jobs, tuned.chances, change, test.before.error, test.after.error)


def predicts_better(past: Past, groups: Groups, fitted: Fitted) -> Flags:
    """Tell for each task whether set-up and rate fitted apart predict a job that is left out better than one factor does.

    Parameters
    ----------
    past : Past
        Past work.
    groups : Groups
        Its rows by task.
    fitted : Fitted
        One factor for each task.

    Returns
    -------
    array of bool
        For each task.

    Notes
    -----
    Both are least squares with the row left out, which is done by taking it off the sums: the mean of the logarithms loses
    1/n of its distance, and the two factors follow from the equations without the row. Odd rows count less in both.
    """
    used = fitted.spreads.used[0][past.task]
    left = past.log_ratio - fitted.centres.centre[past.task]
    weight = past.weight * apart.row_weight(left, used)
    one = _about_the_others(left, weight, groups)
    # The fit is one of means; what is wanted is the middle of the other rows.
    two = _about_the_others(apart.left_out(past, groups, weight), weight, groups)
    return groups.sum(weight * two**2) < groups.sum(weight * one**2)


def _about_the_others(rows: Floats, weight: Floats, groups: Groups) -> Floats:
    """Return how far each row lies from the weighted mean of the other rows of its group [-]."""
    together, sums = groups.sum(weight)[groups.of_row], groups.sum(weight * rows)[groups.of_row]
    with np.errstate(divide="ignore", invalid="ignore"):
        return rows - (sums - weight * rows) / (together - weight)


def _middle_size(past: Past, groups: Groups) -> tuple[Floats, Floats]:
    """Return the hours of the job of middle size by the present rates, in the parts of all jobs together: set-up, rest [h]."""
    hours = groups.median(past.reckoned)
    with np.errstate(invalid="ignore"):
        part = groups.sum(past.set_up) / groups.sum(past.reckoned)
    return hours * part, hours * (1 - part)
