"""Jobs that are done, their hours drawn from known rates: what tuning must find in their books."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping

import attrs
import numpy as np

from sheetgen.engine.job import Job, compute
from sheetgen.engine.records import Area, HoursEntry, MaterialsEntry
from sheetgen.jobfile import starter

FIRST_DAY = dt.date(2025, 3, 3)


def past_job(number: int, factors: Mapping[str, float], *, spread: float = 0.12, waste: float = 1.0, seed: int = 0) -> Job:
    """Return a job that is done, one person on it; each task took `factors` times what the starter rates give, more or less."""
    dice = np.random.default_rng([number, seed])
    base = starter("us")
    side = float(np.round(8 + 24 * dice.random(), 2))
    day = FIRST_DAY + dt.timedelta(days=7 * number)
    job = attrs.evolve(
        base,
        job=attrs.evolve(base.job, status="done", number=str(100 + number), name=f"Job {100 + number}"),
        areas=(Area(label="Floor", first=side, second=side),),
        crew=attrs.evolve(base.crew, grouping="all", placers=1.0, mix=1.0, place=1.0, trowel=1.0, second=1.0),
    )
    values = compute(job)
    hours = values.column("labour.hours", "accepted")
    covered = False
    log = []
    for task, reckoned in zip(job.tasks, hours, strict=True):
        if task.name is None or not isinstance(reckoned, float) or reckoned <= 0:
            continue
        took = reckoned * factors.get(task.name, 1.0) * float(np.exp(spread * dice.normal()))
        area = side * side if task.covers_area == "yes" and not covered else None
        covered = covered or area is not None
        log.append(HoursEntry(date=day, task=task.name, zone="Zone 1", people=1.0, hours_each=round(took, 2), area_done=area))
    used = [
        MaterialsEntry(date=day, product=product.name, opened=round(needed * waste * float(np.exp(0.03 * dice.normal())), 2))
        for product, needed in zip(job.products, values.column("products.needed_done"), strict=True)
        if product.name is not None and isinstance(needed, float) and needed > 0
    ]
    return attrs.evolve(job, hours_log=tuple(log), materials_log=tuple(used))
