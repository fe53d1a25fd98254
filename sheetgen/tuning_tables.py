"""What was tuned as the tables of the sheet Tuning: a row of plain figures for each of its rows."""

from __future__ import annotations

import math
from typing import Final

import attrs
import numpy as np

from sheetgen.engine.inputs import Job
from sheetgen.engine.tuning.past import Floats
from sheetgen.engine.tuning.recommend import CHANGE, FEW
from sheetgen.figures import Row
from sheetgen.findings import Finding, Severity
from sheetgen.past_work import REASONS
from sheetgen.tune import Judged, Learned
from sheetgen.tuning_words import condition_words

# A book takes no more rows of a table.
MOST_ROWS: Final = 5000
_CUT: Final = {"tuned_jobs": "jobs", "tuned_rows": "tasks of jobs", "tuned_left_out": "things left out"}
Tables = dict[str, tuple[Row, ...]]


def tables_of(learned: Learned) -> Tables:
    """Return the tables of the sheet Tuning, in the units of the rate book.

    Parameters
    ----------
    learned : Learned
        What past jobs say.

    Returns
    -------
    dict of str to tuple of dict
        Rows by block; what is not known is None.
    """
    return {
        "tuning": tuple(_tasks(learned)),
        "tuned_products": tuple(_products(learned)),
        "tuning_of": (_whole(learned),),
        "tuned_jobs": tuple(_jobs(learned)),
        "tuned_rows": tuple(_rows(learned)),
        "tuned_left_out": tuple(_left_out(learned)),
        "tuned_conditions": tuple(_conditions(learned)),
    }


def with_spreads(learned: Learned) -> Job:
    """Return the rates in use with the spreads that past jobs tell: what the risk of a bid rests on.

    Parameters
    ----------
    learned : Learned
        What past jobs say.

    Returns
    -------
    Job
        A task with too few jobs keeps what the rate book has.
    """
    rates, tuned = learned.rates.job, learned.hours.tuned
    tasks = tuple(
        task if code == FEW else attrs.evolve(task, spread=float(tuned.own_spread[number]), spread_jobs=float(tuned.jobs[number]))
        for number, (task, code) in enumerate(zip(rates.tasks, learned.hours.codes, strict=True))
    )
    shared = rates.uncertainty
    if tuned.job_wide_jobs:
        shared = attrs.evolve(shared, job_wide=tuned.job_wide, job_wide_jobs=float(tuned.job_wide_jobs))
    return attrs.evolve(rates, tasks=tasks, uncertainty=shared)


def fitting(tables: Tables) -> tuple[Tables, tuple[Finding, ...]]:
    """Return as many rows as a book takes, and say what is not shown; tuning counts all.

    Parameters
    ----------
    tables : dict of str to tuple of dict
        All rows.

    Returns
    -------
    tables : dict of str to tuple of dict
        The last rows of long tables.
    findings : tuple of Finding
        A note on each that is cut.
    """
    cut = {name: rows for name, rows in tables.items() if name in _CUT and len(rows) > MOST_ROWS}
    findings = tuple(
        Finding(
            "tune-rows", Severity.NOTE, "Tuning",
            f"shows the last {MOST_ROWS} of {len(rows)} {_CUT[name]}; those before them count all the same",
        )
        for name, rows in cut.items()
    )  # fmt: skip
    return {name: rows[-MOST_ROWS:] if name in cut else rows for name, rows in tables.items()}, findings


def _tasks(learned: Learned) -> list[Row]:
    """One row for each row of Tasks and wages."""
    judged, tuned = learned.hours, learned.hours.tuned
    odd = _outliers(learned, judged)
    rows: list[Row] = []
    for number, task in enumerate(learned.rates.job.tasks):
        jobs = tuned.jobs[number]
        if task.name is None or not jobs:
            rows.append({})
            continue
        row: Row = {"jobs": float(jobs), "code": judged.codes[number], "outliers": odd[number], "take": None}
        if judged.codes[number] != FEW:
            row |= {
                "rate_before": task.rate,
                "set_up_before": task.set_up,
                "set_up_factor": _at(tuned.set_up, number),
                "rest_factor": _at(tuned.rest, number),
                "apart": _yes(bool(tuned.apart[number])),
                "spread": _at(tuned.used_spread, number),
                "own_spread": _at(tuned.own_spread, number),
                "middle_set_up": _at(tuned.middle_set_up, number),
                "middle_rest": _at(tuned.middle_rest, number),
                "take": _yes(judged.codes[number] == CHANGE),
                **_tested(judged, number),
            }
        rows.append(row)
    return rows


def _products(learned: Learned) -> list[Row]:
    judged, tuned = learned.packages, learned.packages.tuned
    odd = _outliers(learned, judged)
    rows: list[Row] = []
    for number, name in enumerate(learned.gathered.products):
        if not tuned.jobs[number]:
            continue
        row: Row = {
            "product": name,
            "topping": _yes(learned.gathered.toppings[number]),
            "jobs": float(tuned.jobs[number]),
            "code": judged.codes[number],
            "outliers": odd[number],
        }
        if judged.codes[number] != FEW:
            row |= {"factor": _at(tuned.rest, number), "spread": _at(tuned.used_spread, number), **_tested(judged, number)}
        rows.append(row)
    return rows


def _tested(judged: Judged, number: int) -> Row:
    test = judged.test
    return {
        "chance": judged.chances[number],
        "error_before": _grown(test.before.error, number),
        "error_after": _grown(test.after.error, number),
        "bias_before": _grown(test.before.bias, number),
        "bias_after": _grown(test.after.bias, number),
        "inside": _at(test.inside, number),
    }


def _whole(learned: Learned) -> Row:
    bags, hours = learned.bags, learned.hours.tuned
    row: Row = {
        "day": learned.day,
        "jobs": float(len(learned.gathered.jobs)),
        "jobs_left_out": float(len({id(job) for job, one in learned.gathered.left_out if one.task is None})),
        "job_wide": hours.job_wide,
        "job_wide_jobs": float(hours.job_wide_jobs),
        "half_life": learned.half_life,
        "waste_before": learned.rates.job.takeoff.waste,
        "waste_jobs": float(bags.tuned.jobs[0]),
        "waste_code": bags.codes[0],
        "waste_chance": bags.chances[0],
        "take_waste": None,
        "shown_task": None,
    }
    if bags.codes[0] != FEW:
        row |= {
            "waste_factor": _at(bags.tuned.rest, 0),
            "waste_spread": _at(bags.tuned.used_spread, 0),
            "take_waste": _yes(bags.codes[0] == CHANGE),
        }
    return row


def _jobs(learned: Learned) -> list[Row]:
    test = learned.hours.test
    return [
        {
            "job_number": job.number,
            "job_name": job.name,
            "workbook": job.workbook,
            "reckoned": float(test.job_reckoned[number]),
            "predicted": float(test.job_predicted[number]),
            "actual": float(test.job_actual[number]),
            "inside": None if math.isnan(test.job_inside[number]) else _yes(test.job_inside[number] > 0),
        }
        for number, job in enumerate(learned.gathered.jobs)
        if test.job_actual[number] > 0
    ]


def _rows(learned: Learned) -> list[Row]:
    past, test = learned.hours.past, learned.hours.test
    return [
        {
            "job_number": learned.gathered.jobs[past.job[row]].number,
            "task_no": float(past.task[row] + 1),
            "task": learned.rates.job.tasks[past.task[row]].name,
            "reckoned": float(past.reckoned[row]),
            "set_up": float(past.set_up[row]),
            "actual": float(past.actual[row]),
            "predicted": float(test.predicted[row]),
            "outlier": _yes(bool(learned.hours.tuned.outlier[row])),
        }
        for row in range(len(past))
    ]


def _left_out(learned: Learned) -> list[Row]:
    return [
        {
            "workbook": job.workbook,
            "job_number": job.number,
            "task": one.task,
            "code": one.code,
            "why": REASONS[one.code][0],
            "hours": one.hours,
        }
        for job, one in learned.gathered.left_out
    ]


def _conditions(learned: Learned) -> list[Row]:
    system = learned.rates.job.system
    return [
        {
            "condition": name,
            "jobs": float(effect.jobs),
            "code": effect.code,
            "chance": effect.chance,
            "explained": effect.explained,
            "words": condition_words(name, effect, system),
        }
        for name, effect in learned.conditions
    ]


def _outliers(learned: Learned, judged: Judged) -> list[str | None]:
    """Return for each task the numbers of the jobs that lie far off."""
    found: list[list[str]] = [[] for _ in range(judged.past.tasks)]
    for row in np.flatnonzero(judged.tuned.outlier):
        job = learned.gathered.jobs[judged.past.job[row]]
        found[judged.past.task[row]].append(job.number or job.workbook)
    return [", ".join(numbers) or None for numbers in found]


def _at(figures: Floats, number: int) -> float | None:
    figure = float(figures[number])
    return figure if math.isfinite(figure) else None


def _grown(logs: Floats, number: int) -> float | None:
    """Return a logarithm as the share by which something is more [share]."""
    figure = _at(logs, number)
    return None if figure is None else math.expm1(figure)


def _yes(holds: bool) -> str:  # noqa: FBT001 - the word that a cell holds
    return "yes" if holds else "no"
