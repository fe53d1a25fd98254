"""What the sheet Tuning of a rate book computes from what was tuned, and from what the owner decided."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING, Final

from sheetgen.engine.missing import MISSING, known, sixth, value
from sheetgen.engine.names import Register, keys
from sheetgen.engine.records import Task
from sheetgen.engine.risk import mean_of_median, z_of
from sheetgen.engine.totals import sum_known
from sheetgen.engine.tuned_jobs import of_all, of_job, of_rows, shown_jobs
from sheetgen.engine.tuned_tasks import ADVICE, FINE, LEAST_JOBS, NOTHING_TO_TAKE, P80, TYPED_SINCE, YES, Row, code_no, of_task
from sheetgen.engine.values import Value

if TYPE_CHECKING:
    from sheetgen.engine.inputs import Job

Tables = Mapping[str, Sequence[Row]]
Rows = Mapping[str, int]
CONDITIONS: Final = ("surface", "grade", "place", "temperature", "crew_size", "job_size")
_EXPLAINS: Final = ("few", "alike", "nothing", "explains")
LEFT_OUT: Final = (
    "running", "unfinished", "waiting", "twice", "area", "unknown_task", "no_hours", "not_reckoned", "log_fault", "no_rates", "unread",
)  # fmt: skip
# Jobs of the task that is shown.
SHOWN: Final = 24


def tuning_figures(job: Job, tables: Tables, rows: Rows | None = None) -> dict[str, Value]:
    """Compute every figure of the sheet Tuning.

    Parameters
    ----------
    job : Job
        The rates of the book.
    tables : mapping of str to sequence of mapping
        What was tuned and decided, by block; empty where nothing was.
    rows : mapping of str to int, optional
        How many rows the book has of each block, and of tasks, where that is more than there are [count].

    Returns
    -------
    dict of str to value
        By ``block.field``; a rate book that was never tuned has its present rates in use and says nothing else.
    """

    def held(block: str, at_least: int = 0) -> list[Row]:
        there = list(tables.get(block, ()))
        return [*there, *({} for _ in range(max((rows or {}).get(block, 0), at_least) - len(there)))]

    of = next(iter(tables.get("tuning_of", ())), {})
    tuned = held("tuning", len(job.tasks))
    tasks = [*job.tasks, *(Task() for _ in range(len(tuned) - len(job.tasks)))]
    by_task = [of_task(task, row, number) for number, (task, row) in enumerate(zip(tasks, tuned, strict=True), start=1)]
    shown = _shown_task(job, of, by_task)
    of_jobs, of_tasks = held("tuned_jobs"), held("tuned_rows")
    jobs, by_row = [of_job(row) for row in of_jobs], of_rows(of_tasks, shown["shown_task_no"])
    waste = _waste(job, of)
    shown_count = sum_known([float(known(row["shown"])) for row in by_row])
    single = waste | shown | of_all(jobs, of_jobs)
    single |= {"z_p80": z_of(P80), "shown_count": shown_count, "shown_skipped": max(0.0, shown_count - SHOWN)}
    found = {
        **_columns("tuning", of_task(Task(), {}, 1), by_task),
        **_columns("tuned_jobs", of_job({}), jobs),
        **_columns("tuned_rows", of_rows([{}], MISSING)[0], by_row),
        **_columns("shown_jobs", shown_jobs([], [], 1)[0], shown_jobs(of_tasks, by_row, SHOWN)),
        **_columns("tuned_products", _of_product({}, of), [_of_product(row, of) for row in held("tuned_products")]),
        **_columns("tuned_conditions", _of_condition({}), [_of_condition(row) for row in held("tuned_conditions")]),
        **_columns("tuned_left_out", _of_left_out({}), [_of_left_out(row) for row in held("tuned_left_out")]),
    }
    found |= {f"tuning_of.{name}": _blank(figure) for name, figure in single.items()}
    taken, typed = ("take_fault", "waste_fault"), ("stale", "waste_stale")
    for check, (of_tasks_too, of_waste) in {"taken": taken, "rates_typed": typed}.items():
        found[f"checks.{check}"] = sum_known([row[of_tasks_too] for row in by_task]) + waste[of_waste]
    return found


def waste_in_use(job: Job, of: Row) -> float | None:
    """Return the waste of toppings that bids take [share]."""
    return _blank(_waste(job, of)["waste_used"])


def _waste(job: Job, of: Row) -> dict[str, float]:
    before, factor, spread, jobs = (value(of.get(f"waste_{name}")) for name in ("before", "factor", "spread", "jobs"))
    lost = (1 + before) * factor * float(mean_of_median(1.0, spread)) - 1
    suggested = max(0.0, lost) if known(lost) else MISSING
    present = value(job.takeoff.waste)
    taken, few = of.get("take_waste") == YES, not jobs >= LEAST_JOBS
    gap = sixth((present if known(present) else 0.0) - (before if known(before) else 0.0))
    stale = of.get("day") is not None and gap != 0
    return {
        "first_words": 1.0 if of.get("day") is None else 2.0,
        "waste_code_no": code_no(ADVICE, of.get("waste_code")),
        "waste_suggested": suggested,
        "waste_taken": float(taken),
        "waste_used": suggested if taken and known(suggested) else present,
        "waste_fault": float(taken and few),
        "waste_stale": float(stale),
        "waste_look_no": NOTHING_TO_TAKE if taken and few else TYPED_SINCE if stale else FINE,
    }


def _shown_task(job: Job, of: Row, by_task: Sequence[Mapping[str, float]]) -> dict[str, float]:
    """Return the task that the owner chose; else the first to be changed, else the first of which a job tells [no]."""
    top = max((row["first_weight"] for row in by_task), default=0.0)
    first = MISSING if top == 0 else next(number for number, row in enumerate(by_task, start=1) if row["first_weight"] == top)
    chosen = of.get("shown_task")
    number = Register(keys([task.name for task in job.tasks])).number(chosen, blank=float(first))
    return {"first_top": top, "first_no": float(first), "shown_task_no": number}


def _of_product(row: Row, of: Row) -> dict[str, float]:
    suggested = (1 + value(of.get("waste_before"))) * value(row.get("factor")) - 1
    return {"code_no": code_no(ADVICE, row.get("code")), "suggested_waste": suggested if row.get("topping") == YES else MISSING}


def _of_condition(row: Row) -> dict[str, float]:
    return {"condition_no": code_no(CONDITIONS, row.get("condition")), "code_no": code_no(_EXPLAINS, row.get("code"))}


def _of_left_out(row: Row) -> dict[str, float]:
    return {"code_no": code_no(LEFT_OUT, row.get("code"))}


def _columns(block: str, of_blank: Mapping[str, float], rows: Sequence[Mapping[str, float]]) -> dict[str, Value]:
    """Return a column for each figure that a blank row has."""
    return {f"{block}.{name}": tuple(_blank(row[name]) for row in rows) for name in of_blank}


def _blank(figure: float) -> float | None:
    return float(figure) if known(figure) else None
