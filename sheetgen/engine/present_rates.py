"""A past job reckoned anew: its own quantities and difficulty, with the rates of today."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

import attrs

from sheetgen.engine.names import Register, keys

if TYPE_CHECKING:
    from sheetgen.engine.inputs import Job

# How the hours of a task follow from what there is to do; the rest of a task, such as its zone, is the job's.
_RECKONED_BY: Final = ("basis", "set_up", "set_up_per", "rate", "floor", "wall", "step", "stage", "visit")


def with_present_rates(job: Job, rates: Job) -> Job:
    """Return a job whose tasks are reckoned by the rates of a rate book.

    Parameters
    ----------
    job : Job
        A past job.
    rates : Job
        The rates of today, in the same units.

    Returns
    -------
    Job
        Each of its tasks that the rate book knows by name takes basis, set-up, rate and multipliers from there, and the waste
        of toppings is that of the rate book. A task that it does not know stays as it was.
    """
    register = Register(keys([task.name for task in rates.tasks]))
    tasks = []
    for task in job.tasks:
        number = register.number(task.name)
        present = rates.tasks[int(number) - 1] if number > 0 else task
        tasks.append(attrs.evolve(task, **{name: getattr(present, name) for name in _RECKONED_BY}))
    waste = job.takeoff.waste if rates.takeoff.waste is None else rates.takeoff.waste
    return attrs.evolve(job, tasks=tuple(tasks), takeoff=attrs.evolve(job.takeoff, waste=waste))
