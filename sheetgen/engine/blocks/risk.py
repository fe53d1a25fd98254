"""Price: how far hours and cost may go, and what that rests on."""
# ruff: noqa: RUF009 - figure() returns an attrs field, which is no default that records would share

from __future__ import annotations

import math
from typing import TYPE_CHECKING, ClassVar, Final

import attrs

from sheetgen.engine import risk
from sheetgen.engine.blocks.table import Row, flag, table
from sheetgen.engine.missing import MISSING, cents, given, known, sixth, value
from sheetgen.engine.ranges import OutOfRangeError
from sheetgen.engine.totals import Column, total
from sheetgen.engine.values import figure

if TYPE_CHECKING:
    from sheetgen.engine.blocks.tasks import Tasks
    from sheetgen.engine.blocks.work import Labour, Work
    from sheetgen.engine.inputs import Job

# What stands in the list of words on what the risk rests on.
_STARTERS, _SOME_STARTERS, _PAST_JOBS, _FINE, _ROUGH = 1.0, 2.0, 3.0, 5.0, 6.0
_P50, _P80, _P90 = 0.5, 0.8, 0.9
# Two thirds of the jobs within a seventh and seven times: more is no spread but a slip of the finger.
_MOST_SPREAD: Final = 2.0
_HOURS: Final = "hours_"
_COST: Final = "cost_"


@attrs.frozen(kw_only=True)
class Uncertainty:
    """The factor that all tasks of a job share, by its moments, and the quantiles that are shown."""

    block: ClassVar[str] = "uncertainty"
    over: ClassVar[str | None] = None
    scenario: ClassVar[bool] = False

    f: float = figure("number")
    f_over: float = figure("number")
    f_var: float = figure("number")
    f_third: float = figure("number")
    f_square: float = figure("number")
    f_cube: float = figure("number")
    f_cross: float = figure("number")
    z_p50: float = figure("number")
    z_p80: float = figure("number")
    z_p90: float = figure("number")
    z_kept: float = figure("number")


@attrs.frozen(kw_only=True)
class RiskTasks:
    """The uncertain part of each task."""

    block: ClassVar[str] = "risk_tasks"
    over: ClassVar[str | None] = "tasks"
    scenario: ClassVar[bool] = True

    spread_used: Column = figure("number")
    guess: Column = figure("count")
    over_: Column = figure("number")
    mean_hours: Column = figure("hour")
    var_hours: Column = figure("number")
    third_hours: Column = figure("number")
    hour_cost: Column = figure("money/hour")
    mean_cost: Column = figure("money")
    var_cost: Column = figure("number")
    third_cost: Column = figure("number")
    spread_counted: Column = figure("number")
    guess_hours: Column = figure("hour")
    jobs_inverse: Column = figure("number")


@attrs.frozen(kw_only=True)
class Risk:
    """Quantiles of hours and of cost, and the contingency that follows."""

    block: ClassVar[str] = "risk"
    over: ClassVar[str | None] = None
    scenario: ClassVar[bool] = True

    hours_mean: float = figure("hour")
    hours_uncertain: float = figure("hour")
    hours_fixed: float = figure("hour")
    hours_expected: float = figure("hour")
    hours_m: float = figure("number")
    hours_var: float = figure("number")
    hours_third: float = figure("number")
    hours_cube: float = figure("number")
    hours_cross: float = figure("number")
    hours_v: float = figure("number")
    hours_t: float = figure("number")
    hours_loose: float = figure("count")
    hours_skew: float = figure("number")
    hours_arc: float = figure("number")
    hours_root: float = figure("number")
    hours_spread: float = figure("number")
    hours_half: float = figure("number")
    hours_scale: float = figure("number")
    hours_p50: float = figure("hour")
    hours_p80: float = figure("hour")
    hours_p90: float = figure("hour")
    cost_mean: float = figure("money")
    cost_uncertain: float = figure("money")
    cost_fixed: float = figure("money")
    cost_expected: float = figure("money")
    cost_m: float = figure("number")
    cost_var: float = figure("number")
    cost_third: float = figure("number")
    cost_cube: float = figure("number")
    cost_cross: float = figure("number")
    cost_v: float = figure("number")
    cost_t: float = figure("number")
    cost_loose: float = figure("count")
    cost_skew: float = figure("number")
    cost_arc: float = figure("number")
    cost_root: float = figure("number")
    cost_spread: float = figure("number")
    cost_half: float = figure("number")
    cost_scale: float = figure("number")
    cost_p50: float = figure("money")
    cost_p80: float = figure("money")
    cost_p90: float = figure("money")
    cost_kept: float = figure("money")
    amount: float = figure("money")
    widest: float = figure("number")
    rough: float = figure("count")
    guessed_share: float = figure("share")
    guessed_percent: float = figure("share")
    most_inverse: float = figure("number")
    least_jobs: float = figure("count")
    rests_no: float = figure("no")
    width_no: float = figure("no")


def make_uncertainty(job: Job) -> Uncertainty:
    """Return the moments of the shared factor, and the normal quantiles."""
    shared = _spread(value(job.uncertainty.job_wide))
    factor = risk.shared_factor(shared)
    f, square, cube = float(factor.mean), float(factor.variance), float(factor.third)
    return Uncertainty(
        f=f,
        f_over=float(risk.over(shared)),
        f_var=square,
        f_third=cube,
        f_square=f**2 + square,
        f_cube=f**3 + 3 * f * square + cube,
        f_cross=2 * f * square + cube,
        z_p50=risk.z_of(_P50),
        z_p80=risk.z_of(_P80),
        z_p90=risk.z_of(_P90),
        z_kept=_z(value(job.uncertainty.confidence)),
    )


def _spread(spread: float) -> float:
    """Return a spread, missing beyond what a book takes [-]."""
    return spread if 0 <= spread <= _MOST_SPREAD else MISSING


def _z(confidence: float) -> float:
    """Return the normal quantile, missing where nothing is kept so surely."""
    try:
        return risk.z_of(confidence) if known(confidence) else MISSING
    except OutOfRangeError:
        return MISSING


def make_risk_tasks(job: Job, tasks: Tasks, labour: Labour, uncertainty: Uncertainty) -> RiskTasks:
    """Compute the uncertain part of each task; its hours in the bid are expected ones, the shared factor in them."""
    starter = job.uncertainty.task_spread
    rows: list[Row] = []
    for row, task in enumerate(job.tasks):
        hours, jobs = labour.hours[row], given(task.spread_jobs, 0)
        spread = _spread(value(starter if task.spread is None else task.spread))
        guess = flag(holds=jobs == 0)
        mean = hours / uncertainty.f
        hour_cost = _hour_cost(job, tasks.loaded[row])
        # Nothing is paid for no hours, whatever an hour would cost.
        cost = 0.0 if mean == 0 else mean * hour_cost
        of_hours, of_cost = risk.lognormal(mean, spread), risk.lognormal(cost, spread)
        rows.append(
            {
                "spread_used": spread,
                "guess": guess,
                "over_": float(risk.over(spread)),
                "mean_hours": mean,
                "var_hours": float(of_hours.variance),
                "third_hours": float(of_hours.third),
                "hour_cost": hour_cost,
                "mean_cost": cost,
                "var_cost": float(of_cost.variance),
                "third_cost": float(of_cost.third),
                "spread_counted": MISSING if not known(hours) else spread if hours > 0 else 0.0,
                "guess_hours": hours if guess == 1 else 0.0,
                "jobs_inverse": MISSING if not known(hours) else 1 / jobs if hours != 0 and guess == 0 else 0.0,
            }
        )
    return table(RiskTasks, rows)


def _hour_cost(job: Job, loaded: float) -> float:
    """Return what an hour of a task costs with the overhead that follows it [money/h]."""
    policy = job.policy
    if policy.overhead_way == "share":
        return loaded * (1 + value(policy.overhead))
    if policy.overhead_way == "per_hour":
        return loaded + value(policy.overhead_hour)
    return MISSING


@attrs.frozen
class AtRisk:
    """What the risk of a bid follows from."""

    tasks: Tasks
    parts: RiskTasks
    uncertainty: Uncertainty


def make_risk(job: Job, at_risk: AtRisk, work: Work, *, cost_before: float) -> Risk:
    """Compute how far hours and cost may go.

    Parameters
    ----------
    job, at_risk, work
        Where it is found.
    cost_before : float
        Cost before contingency [money].

    Returns
    -------
    Risk
        Missing where a task lacks its hours.
    """
    tasks, parts, uncertainty = at_risk.tasks, at_risk.parts, at_risk.uncertainty
    hours = _side(_HOURS, parts.mean_hours, parts.var_hours, parts.third_hours, tasks, uncertainty, work.paid_hours)
    cost = _side(_COST, parts.mean_cost, parts.var_cost, parts.third_cost, tasks, uncertainty, cost_before)
    kept = cost_before + _beyond(cost, _COST, uncertainty.z_kept)
    widest = max((_spread(value(job.uncertainty.job_wide)), *_started(parts.spread_counted, tasks)), key=_missing_first)
    guessed = total(parts.guess_hours, tasks.started)
    share = MISSING if work.hours == 0 else guessed / work.hours
    inverse = max((0.0, *_started(parts.jobs_inverse, tasks)), key=_missing_first)
    return Risk(
        **hours,
        **cost,
        hours_fixed=work.paid_hours - work.hours,
        cost_fixed=cost_before - cost["cost_uncertain"],
        cost_kept=kept,
        amount=risk.contingency(kept, cost_before),
        widest=widest,
        rough=flag(holds=widest > risk.ROUGH_SPREAD) if known(widest) else MISSING,
        guessed_share=share,
        guessed_percent=cents(share),
        most_inverse=inverse,
        least_jobs=sixth(1 / inverse) if inverse > 0 else MISSING,
        rests_no=_rests_no(inverse, share),
        width_no=MISSING if not known(widest) else _ROUGH if widest > risk.ROUGH_SPREAD else _FINE,
    )


def _side(
    side: str, means: Column, variances: Column, thirds: Column, tasks: Tasks, uncertainty: Uncertainty, expected: float
) -> dict[str, float]:
    """Return the figures of hours or of cost, by name."""
    mean, variance, third = (total(column, tasks.started) for column in (means, variances, thirds))
    factor = risk.Uncertain(uncertainty.f, uncertainty.f_var, uncertainty.f_third)
    whole = risk.together(risk.Uncertain(mean, variance, third), factor)
    shape = risk.shape_of(whole)
    sound = known(whole.variance) and known(whole.mean)
    found = {
        "mean": mean,
        "uncertain": whole.mean,
        "expected": expected,
        "m": mean,
        "var": variance,
        "third": third,
        "cube": mean**3 * uncertainty.f_third,
        "cross": 3 * mean * variance * uncertainty.f_cross,
        "v": whole.variance,
        "t": whole.third,
        "loose": flag(holds=not risk.is_certain(whole)) if sound else MISSING,
        "skew": float(shape.skewness),
        "arc": float(shape.arc),
        "root": float(shape.root),
        "spread": float(shape.spread),
        "half": float(shape.half),
        "scale": float(shape.scale),
    }
    for name in ("p50", "p80", "p90"):
        found[name] = expected + float(shape.beyond(getattr(uncertainty, f"z_{name}")))
    return {f"{side}{name}": amount for name, amount in found.items()}


def _beyond(found: dict[str, float], side: str, z: float) -> float:
    scale, spread, half = (found[f"{side}{name}"] for name in ("scale", "spread", "half"))
    return scale * (math.exp(z * spread - half) - 1)


def _started(column: Column, tasks: Tasks) -> Column:
    return tuple(one for one, begun in zip(column, tasks.started, strict=True) if known(begun))


def _missing_first(x: float) -> float:
    """Rank what is missing above all: the largest of numbers of which one is missing is missing."""
    return x if known(x) else math.inf


def _rests_no(inverse: float, share: float) -> float:
    if not known(inverse):
        return MISSING
    if inverse == 0:
        return _STARTERS
    return MISSING if not known(share) else _SOME_STARTERS if share > 0 else _PAST_JOBS
