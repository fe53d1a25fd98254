"""Formulas against engine on the sheet Tuning: random things tuned and decided, typed into one book per unit system."""

from __future__ import annotations

import datetime as dt
import random
from pathlib import Path
from typing import Any

import attrs
import pytest

from sheetgen.book.compile import compiled
from sheetgen.check.calculator import Calculator
from sheetgen.check.meet import contents_of, expected
from sheetgen.check.values import agree
from sheetgen.engine.job import Job
from sheetgen.engine.tuned_tasks import ADVICE
from sheetgen.engine.tuning_figures import CONDITIONS, LEFT_OUT
from sheetgen.jobfile import starter
from sheetgen.rates import build_rates, only_rates
from sheetgen.units import SYSTEMS, System

DAY = dt.date(2026, 3, 2)
BOOKS = 12
ROWS = {"tuned_products": 4, "tuned_jobs": 5, "tuned_rows": 40, "tuned_left_out": 3, "tuned_conditions": 6}
Tables = dict[str, tuple[dict[str, Any], ...]]


def random_tables(seed: int, job: Job) -> Tables:
    """Return things tuned and decided, about one figure in eight not known and some of them odd."""
    dice = random.Random(f"tuning {seed}")

    def figure(least: float, most: float) -> float | None:
        return None if dice.random() < 0.12 else 0.0 if dice.random() < 0.04 else round(dice.uniform(least, most), 4)

    def code(codes: tuple[str, ...]) -> str | None:
        return None if dice.random() < 0.1 else dice.choice(codes)

    def hours() -> dict[str, Any]:
        return {"reckoned": figure(1, 40), "predicted": figure(1, 40), "actual": figure(1, 40)}

    def tuned() -> dict[str, Any]:
        return {"jobs": figure(1, 30), "code": code(ADVICE), "chance": figure(0, 1), "error_before": figure(0, 1), "error_after": figure(0, 1),
                "bias_before": figure(-0.5, 1), "bias_after": figure(-0.5, 1), "inside": figure(0, 1), "spread": figure(0.02, 0.6)}  # fmt: skip

    def of_task(number: int) -> dict[str, Any]:
        if dice.random() < 0.3:
            return {}
        task = job.tasks[number]
        before = {"rate_before": task.rate, "set_up_before": task.set_up} if dice.random() < 0.7 else {"rate_before": figure(10, 200)}
        return {
            **tuned(), **before, "set_up_factor": figure(0.5, 2), "rest_factor": figure(0.5, 2) or None, "own_spread": figure(0.02, 0.6),
            "apart": code(("yes", "no")), "middle_set_up": figure(0.1, 3), "middle_rest": figure(0.5, 20), "outliers": code(("104, 117",)),
            "take": code(("yes", "no")),
        }  # fmt: skip

    names = [task.name for task in job.tasks]
    numbers = [float(dice.randint(1, len(names))) for _ in range(dice.randint(0, ROWS["tuned_rows"]))]
    return {
        "tuning": tuple(of_task(number) for number in range(len(names))),
        "tuning_of": ({
            "day": DAY if dice.random() < 0.8 else None, "jobs": figure(1, 30), "jobs_left_out": figure(0, 9), "job_wide": figure(0, 0.4),
            "job_wide_jobs": figure(0, 30), "half_life": figure(30, 900), "waste_before": dice.choice((job.takeoff.waste, 0.08, None)),
            "waste_jobs": figure(1, 12), "waste_factor": figure(0.5, 1.4), "waste_spread": figure(0.02, 0.3), "waste_chance": figure(0, 1),
            "waste_code": code(ADVICE), "take_waste": code(("yes", "no")), "shown_task": dice.choice((None, names[0], names[3], "Nothing")),
        },),
        "tuned_products": tuple(
            {**tuned(), "product": f"Product {number}", "topping": code(("yes", "no")), "factor": figure(0.5, 1.5)}
            for number in range(dice.randint(0, 4))
        ),
        "tuned_jobs": tuple(
            {**hours(), "job_number": str(number), "job_name": "=Job", "workbook": "a.xlsx", "inside": code(("yes", "no"))}
            for number in range(dice.randint(0, 5))
        ),
        "tuned_rows": tuple(
            {**hours(), "job_number": str(place), "task_no": number, "task": names[int(number) - 1], "set_up": figure(0, 1),
             "outlier": code(("yes", "no"))}
            for place, number in enumerate(numbers)
        ),
        "tuned_left_out": tuple(
            {"workbook": "b.xlsx", "job_number": "7", "task": code((names[0] or "",)), "code": code(LEFT_OUT), "why": "so", "hours": figure(1, 9)}
            for _ in range(dice.randint(0, 3))
        ),
        "tuned_conditions": tuple(
            {"condition": name, "jobs": figure(0, 30), "code": code(("few", "alike", "nothing", "explains")), "chance": figure(0, 1),
             "explained": figure(0, 1), "words": "words"}
            for name in CONDITIONS
        ),
    }  # fmt: skip


@pytest.mark.parametrize("system", SYSTEMS)
def test_random_tunings_agree(system: System, tmp_path: Path) -> None:
    """Both witnesses say the same of every formula cell, whatever was tuned and whatever the owner decided."""
    job = starter(system)
    blank: Tables = {name: ({},) * count for name, count in ROWS.items()}
    path = tmp_path / "rates.xlsx"
    build_rates(job, path, made_on=DAY, book_id="bench", tables=blank)
    made, calculator = compiled("rates", system, ROWS), Calculator(path)
    found = []
    for seed in range(BOOKS):
        tables = random_tables(seed, job)
        contents = contents_of(made, only_rates(_typed_since(job, seed), made), tables)
        cells = {
            (cell.sheet, cell.row + 1, cell.column + 1): contents.entered(field, place)
            for block, field in (*made.plan.entered(), *made.plan.posted())
            for place, cell in made.plan.places(block, field)
        }
        calculator.set_all(cells)
        calculator.evaluate()
        for sheet, wanted in expected(contents).items():
            for (row, column), one in wanted.items():
                got = calculator.get((sheet, row, column))
                if not agree(one.value, got):
                    found.append(f"seed {seed}: {one.name} {sheet} {row},{column}: engine {one.value!r}, formula {got!r}")

    assert found[:20] == []


def _typed_since(job: Job, seed: int) -> Job:
    """Return the rates with one that was typed since they were tuned, or blanked."""
    dice = random.Random(f"since {seed}")
    place = dice.randrange(len(job.tasks))
    changed = attrs.evolve(job.tasks[place], rate=dice.choice((None, 77.0)), set_up=dice.choice((None, 0.6)))
    return attrs.evolve(job, tasks=(*job.tasks[:place], changed, *job.tasks[place + 1 :]))
