"""Jobs of one person and one week, as the Code of Federal Regulations works overtime out: 29 CFR 778."""

from __future__ import annotations

import attrs
from worked_job import worked_job

from sheetgen.engine.job import Job
from sheetgen.engine.records import Burdens, Crew, Effort, Role, Task, Visit


def week_job(days: tuple[float, ...], work: tuple[tuple[float, float], ...]) -> Job:
    """Return a job that is nothing but work in one week.

    Parameters
    ----------
    days : tuple of float
        Paid hours of each day [h].
    work : tuple of tuple of float
        Hours and wage of each kind of work [h, money/h].
    """
    return attrs.evolve(
        worked_job(),
        burdens=Burdens(payroll_taxes=0, compensation=0, liability=0, benefits=0),
        effort=Effort(difficulty=1),
        roles=tuple(Role(name=f"Work {number}", wage=wage) for number, (_, wage) in enumerate(work)),
        tasks=tuple(Task(name=f"Work {number}", role=f"Work {number}", set_up=hours, set_up_per="job") for number, (hours, _) in enumerate(work)),
        crew=Crew(mix=0, place=0, trowel=0, second=0, least_paid=0, week_limit=40, overtime_rate=1.5, first_weekday=1),
        pours=(),
        visits=tuple(Visit(kind="prepare", day=day, people=1, hours=hours) for day, hours in enumerate(days, start=1)),
        hours_log=(),
        materials_log=(),
    )


SIX_DAYS = (8, 8, 8, 8, 8, 6)
# Paragraph, the job, and what the week pays.
WEEKS = {
    "778.110(a): 46 h at $12": (week_job(SIX_DAYS, ((46, 12),)), 588.00),
    "778.110(a): six of the hours without a task": (week_job(SIX_DAYS, ((40, 12),)), 588.00),
    "778.110(b): a bonus of $46 makes $13 an hour": (week_job(SIX_DAYS, ((46, (46 * 12 + 46) / 46),)), 637.00),
    "778.111(a): $491 of piece work in 46 h, 4 h of waiting at $8": (week_job((10,) * 5, ((46, 491 / 46), (4, 8))), 575.30),
    # The salary of $200 is 15 cents more than its 35 hours at the rounded rate: the book pays by the hour.
    "778.322: $200 for 35 h is $5.71 an hour, 41 h worked": (week_job((8, 8, 8, 8, 8, 1), ((41, 5.71),)), 237.12 - 0.15),
    "778.115: 30 h at $20 and 15 h at $26 (rule from memory)": (week_job((9,) * 5, ((30, 20), (15, 26))), 1045.00),
}
