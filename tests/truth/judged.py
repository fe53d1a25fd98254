"""What tuning made of a history, held against the truth: on jobs that it has not seen."""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np
from histories import TASKS, History, Truth, draw

from sheetgen.engine import risk
from sheetgen.engine.tuning import recommend, tuned
from sheetgen.engine.tuning.groups import Groups
from sheetgen.engine.tuning.past import Floats, Past

NEW_JOBS = 20


def judge(dice: np.random.Generator, truth: Truth, history: History) -> dict[str, float]:
    """Return what came out, a number each; missing where it does not apply."""
    past, packages = history.hours, history.packages
    found, waste = tuned.tune(past), tuned.tune(packages)
    codes = _codes((past, found), (packages, waste))
    new = draw(dice, truth, NEW_JOBS, odd=0.0).hours
    change = np.array([code == "change" for code in codes[:TASKS]])
    enough = found.jobs >= recommend.LEAST_JOBS
    one = np.ones(TASKS)
    plain = _plain_ratio(past)
    ways: Mapping[str, tuple[Floats, Floats]] = {
        "untuned": (one, one),
        "plain": (plain, plain),
        "tuned": (np.where(enough, found.set_up * found.expected, 1.0), np.where(enough, found.rest * found.expected, 1.0)),
        "recommended": (np.where(change, found.set_up * found.expected, 1.0), np.where(change, found.rest * found.expected, 1.0)),
        "truth": (truth.set_up * _mean_of(truth), truth.rest * _mean_of(truth)),
    }
    of_job = Groups(new.job, NEW_JOBS)
    actual = of_job.sum(new.actual)
    out: dict[str, float] = {}
    for name, (set_up, rest) in ways.items():
        total = of_job.sum(set_up[new.task] * new.set_up + rest[new.task] * (new.reckoned - new.set_up))
        out[f"error {name}"] = float(np.mean(np.abs(np.log(actual / total))))
    middle = truth.set_up * found.middle_set_up + truth.rest * found.middle_rest
    out["recovery tuned"] = _rms(np.log(found.p50 / middle)[enough])
    out["recovery plain"] = _rms((np.log(plain * (found.middle_set_up + found.middle_rest) / middle) - truth.spread**2 / 2 - 0.15**2 / 2)[enough])
    out["recovery untuned"] = _rms(np.log((found.middle_set_up + found.middle_rest) / middle)[enough])
    point = found.set_up[new.task] * new.set_up + found.rest[new.task] * (new.reckoned - new.set_up)
    inside = np.abs(np.log(new.actual / point)) <= risk.z_of(0.9) * found.used_spread[new.task]
    for name, which in (("4-7", (found.jobs >= 4) & (found.jobs < 8)), ("8+", found.jobs >= 8)):
        rows = which[new.task]
        out[f"inside {name}"] = float(inside[rows].mean()) if rows.any() else np.nan
    own = np.where(np.isfinite(found.own_spread), found.own_spread, 0.3)[new.task]
    rows = risk.lognormal(risk.mean_of_median(point, own), own)
    parts = risk.Uncertain(*(of_job.sum(moment) for moment in (rows.mean, rows.variance, rows.third)))
    low, high = (risk.quantile(0.0, parts, found.job_wide, share) for share in (0.1, 0.9))
    out["inside total"] = float(np.mean((actual >= low) & (actual <= high))) if enough.all() else np.nan
    right = np.concatenate([(truth.rest == 1) & (truth.set_up == 1), truth.waste == 1])
    is_change = np.array([code == "change" for code in codes])
    out["false"] = float((is_change & right).any())
    out["found"] = float(is_change[~right].mean()) if (~right).any() else np.nan
    out["job wide"] = found.job_wide if found.job_wide_jobs else np.nan
    out["waste recovery"] = _rms(np.log(waste.p50 / (truth.waste * (waste.middle_rest + waste.middle_set_up)))[waste.jobs >= 4])
    return out


def _codes(*books: tuple[Past, tuned.Tuned]) -> tuple[str, ...]:
    """Return what is recommended of all rates and wastes together."""
    parts = [tuned.evidence(found, tuned.tested(past, found)) for past, found in books]
    return recommend.recommend(recommend.joined(parts))[0]


def _plain_ratio(past: Past) -> Floats:
    """Mean of actual by reckoned hours, 1 where there is no job: what one would do by hand."""
    groups = Groups(past.task, past.tasks)
    sizes = groups.sizes()
    return np.where(sizes > 0, groups.sum(past.actual / past.reckoned) / np.maximum(sizes, 1), 1.0)


def _mean_of(truth: Truth) -> Floats:
    return np.exp((truth.spread**2 + 0.15**2) / 2)


def _rms(values: Floats) -> float:
    return float(np.sqrt(np.mean(values**2))) if len(values) else np.nan
