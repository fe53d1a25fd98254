"""Past work for tests of tuning, drawn from a seed."""

from __future__ import annotations

import numpy as np

from sheetgen.engine.tuning.past import Past


def drawn(seed, jobs=12, tasks=6, *, move=0.0, spread=0.2, shared=0.0, set_up=0.4):
    """Return jobs with every task: hours lognormal about the present rates times exp(move)."""
    dice = np.random.default_rng(seed)
    job, task = np.repeat(np.arange(jobs), tasks), np.tile(np.arange(tasks), jobs)
    rest = dice.uniform(0.5, 8.0, len(job))
    logs = np.broadcast_to(move, tasks)[task] + spread * dice.normal(size=len(job)) + shared * dice.normal(size=jobs)[job]
    reckoned = rest + set_up
    return Past(job=job, task=task, actual=reckoned * np.exp(logs), reckoned=reckoned, set_up=np.full(len(job), set_up), jobs=jobs, tasks=tasks)


def of_ratios(*ratios):
    """Return one task with these ratios of actual to reckoned hours, a job each."""
    count = len(ratios)
    return Past(job=np.arange(count), task=np.zeros(count), actual=np.array(ratios) * 5, reckoned=np.full(count, 5.0), jobs=count, tasks=1)
