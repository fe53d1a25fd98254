"""What tuning made of a history, held against the truth: on jobs that it has not seen."""

from __future__ import annotations

import math
from collections.abc import Mapping

import attrs
import numpy as np
from histories import JOB_WIDE, SCENARIOS, TASKS, History, Truth, draw

from sheetgen.engine import risk
from sheetgen.engine.tuning import recommend, tuned
from sheetgen.engine.tuning.groups import Groups
from sheetgen.engine.tuning.past import Floats, Past
from sheetgen.engine.tuning.recommend import CHANGE, LEAST_JOBS

NEW_JOBS = 20


@attrs.frozen
class Figure:
    """A mean over histories with its standard error."""

    mean: float
    error: float

    def __str__(self) -> str:
        return "–" if math.isnan(self.mean) else f"{100 * self.mean:.1f} ± {100 * self.error:.1f}"


def simulate(scenario: str, jobs: int, histories: int) -> dict[str, Figure]:
    """Return every figure over so many histories of so many jobs; history k is the same in every run."""
    found: list[dict[str, float]] = []
    for number in range(histories):
        dice = np.random.default_rng([number, jobs, list(SCENARIOS).index(scenario)])
        truth = SCENARIOS[scenario](dice)
        found.append(judge(dice, truth, draw(dice, truth, jobs)))
    return {name: _figure(np.array([one[name] for one in found])) for name in found[0]}


def _figure(values: Floats) -> Figure:
    known = values[np.isfinite(values)]
    if len(known) < 2:
        return Figure(math.nan, math.nan)
    return Figure(float(known.mean()), float(known.std(ddof=1) / len(known) ** 0.5))


def judge(dice: np.random.Generator, truth: Truth, history: History) -> dict[str, float]:
    """Return what came out of one history, a number each; missing where it does not apply."""
    past, packages = history.hours, history.packages
    found, waste = tuned.tune(past), tuned.tune(packages)
    is_change = np.array([code == CHANGE for code in _codes((past, found), (packages, waste))])
    right = np.concatenate([(truth.rest == 1) & (truth.set_up == 1), truth.waste == 1])
    enough = found.jobs >= LEAST_JOBS
    new = draw(dice, truth, NEW_JOBS, odd=0.0).hours
    return {
        **_totals(truth, found, past, new, is_change[:TASKS] & enough, enough),
        **_recovered(truth, found, past, enough),
        "waste recovery": _rms(np.log(waste.p50 / (truth.waste * waste.middle_rest))[waste.jobs >= LEAST_JOBS]),
        **_ranges(found, new, enough),
        "false": float((is_change & right).any()),
        "found": float(is_change[~right].mean()) if (~right).any() else math.nan,
    }


def _totals(truth: Truth, found: tuned.Tuned, past: Past, new: Past, change: Floats, enough: Floats) -> dict[str, float]:
    """Mean size of ln(actual/bid) of the hours of new jobs, by what the bid was made with; gains are differences of these."""
    plain = _plain_ratio(past)
    mean = np.exp((truth.spread**2 + JOB_WIDE**2) / 2)
    suggested = found.set_up * found.expected, found.rest * found.expected
    ways: Mapping[str, tuple[Floats, Floats]] = {
        "untuned": (np.ones(TASKS), np.ones(TASKS)),
        "plain": (plain, plain),
        "tuned": (np.where(enough, suggested[0], 1.0), np.where(enough, suggested[1], 1.0)),
        "recommended": (np.where(change, suggested[0], 1.0), np.where(change, suggested[1], 1.0)),
        "truth": (truth.set_up * mean, truth.rest * mean),
    }
    of_job = Groups(new.job, NEW_JOBS)
    actual = of_job.sum(new.actual)
    error = {}
    for name, (set_up, rest) in ways.items():
        bid = of_job.sum(set_up[new.task] * new.set_up + rest[new.task] * (new.reckoned - new.set_up))
        error[name] = float(np.mean(np.abs(np.log(actual / bid))))
    return {
        **{f"error {name}": value for name, value in error.items()},
        "gain on untuned": error["untuned"] - error["tuned"],
        "gain on plain": error["plain"] - error["tuned"],
        "recommended on untuned": error["untuned"] - error["recommended"],
    }


def _recovered(truth: Truth, found: tuned.Tuned, past: Past, enough: Floats) -> dict[str, float]:
    """Root mean square of ln(suggested/true) of the hours of the job of middle size."""
    present = found.middle_set_up + found.middle_rest
    true = truth.set_up * found.middle_set_up + truth.rest * found.middle_rest
    # A mean of ratios lies above their middle; that is not counted against it.
    plain = _plain_ratio(past) * np.exp(-(truth.spread**2 + JOB_WIDE**2) / 2)
    ways = {"untuned": present, "plain": plain * present, "tuned": found.p50}
    return {f"recovery {name}": _rms(np.log(hours / true)[enough]) for name, hours in ways.items()}


def _ranges(found: tuned.Tuned, new: Past, enough: Floats) -> dict[str, float]:
    """Share of new jobs inside the stated 80 % ranges: of tasks by how many jobs tell them, and of whole jobs."""
    point = found.set_up[new.task] * new.set_up + found.rest[new.task] * (new.reckoned - new.set_up)
    inside = np.abs(np.log(new.actual / point)) <= risk.z_of(0.9) * found.used_spread[new.task]
    out = {}
    for name, which in (("4 to 7", enough & (found.jobs < 8)), ("8 or more", found.jobs >= 8)):
        rows = which[new.task]
        out[f"inside, {name}"] = float(inside[rows].mean()) if rows.any() else math.nan
    if not enough.all():
        return out | {"inside, whole jobs": math.nan}
    own = found.own_spread[new.task]
    moments = risk.lognormal(risk.mean_of_median(point, own), own)
    of_job = Groups(new.job, NEW_JOBS)
    parts = risk.Uncertain(*(of_job.sum(moment) for moment in (moments.mean, moments.variance, moments.third)))
    low, high = (risk.quantile(0.0, parts, found.job_wide, share) for share in (0.1, 0.9))
    actual = of_job.sum(new.actual)
    return out | {"inside, whole jobs": float(np.mean((actual >= low) & (actual <= high)))}


def _codes(*books: tuple[Past, tuned.Tuned]) -> tuple[str, ...]:
    """Return what is recommended of all rates and wastes together."""
    parts = [tuned.evidence(found, tuned.tested(past, found)) for past, found in books]
    return recommend.recommend(recommend.joined(parts))[0]


def _plain_ratio(past: Past) -> Floats:
    """Mean of actual by reckoned hours, 1 where there is no job: what one would do by hand."""
    groups = Groups(past.task, past.tasks)
    sizes = groups.sizes()
    return np.where(sizes > 0, groups.sum(past.actual / past.reckoned) / np.maximum(sizes, 1), 1.0)


def _rms(values: Floats) -> float:
    return float(np.sqrt(np.mean(values**2))) if len(values) else math.nan
