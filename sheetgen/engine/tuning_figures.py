"""What the sheet Tuning of a rate book computes from what was tuned, and from what the owner decided."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING, Any, Final

from sheetgen.engine.missing import MISSING, known, ratio, sixth, value
from sheetgen.engine.names import Register, keys
from sheetgen.engine.records import Task
from sheetgen.engine.risk import mean_of_median, z_of
from sheetgen.engine.values import Value

if TYPE_CHECKING:
    from sheetgen.engine.inputs import Job

Row = Mapping[str, Any]
Tables = Mapping[str, Sequence[Row]]
_YES: Final = "yes"
_CHANGE: Final = "change"
_SHARE: Final = 0.8


def tuning_figures(job: Job, tables: Tables) -> dict[str, Value]:
    """Compute every figure of the sheet Tuning.

    Parameters
    ----------
    job : Job
        The rates of the book.
    tables : mapping of str to sequence of mapping
        What was tuned and decided, by block; empty where nothing was.

    Returns
    -------
    dict of str to value
        By ``block.field``; a rate book that was never tuned has its present rates in use and nothing else.
    """
    rows = _padded(tables.get("tuning", ()), len(job.tasks))
    of = next(iter(tables.get("tuning_of", ())), {})
    shown, before, jobs = _shown_task(job, of, rows), value(of.get("waste_before")), tables.get("tuned_jobs", ())
    found = {
        **_columns("tuning", _of_task(Task(), {}), [_of_task(task, row) for task, row in zip(job.tasks, rows, strict=True)]),
        **_columns("tuned_rows", _of_row({}, shown), [_of_row(row, shown) for row in tables.get("tuned_rows", ())]),
        **_columns("tuned_jobs", _of_job({}), [_of_job(row) for row in jobs]),
        **_columns("tuned_products", _of_product({}, before), [_of_product(row, before) for row in tables.get("tuned_products", ())]),
    }
    single = _of_waste(job, of) | _of_jobs(jobs) | {"shown_task_no": shown, "z80": z_of(_SHARE)}
    return found | {f"tuning_of.{name}": _blank(figure) for name, figure in single.items()}


def rate_in_use(task: Task, row: Row) -> tuple[float | None, float | None]:
    """Return rate and set-up of a task that bids take.

    Parameters
    ----------
    task : Task
        With its present rate.
    row : mapping
        What was tuned of it, and what the owner decided.

    Returns
    -------
    rate : float or None
        The expected one where the owner takes it, else the present one [basis/h].
    set_up : float or None
        Alike [h].
    """
    figures = _of_task(task, row)
    return _blank(figures["rate_used"]), _blank(figures["set_up_used"])


def waste_in_use(job: Job, of: Row) -> float | None:
    """Return the waste of toppings that bids take [share]."""
    return _blank(_of_waste(job, of)["waste_used"])


def _of_task(task: Task, row: Row) -> dict[str, float]:
    got = {name: value(row.get(name)) for name in _POSTED}
    takes = row.get("take") == _YES
    expected = float(mean_of_median(1.0, got["spread"]))
    median_rate = ratio(got["rate_before"], got["rest_factor"])
    median_set_up = got["set_up_before"] * got["set_up_factor"]
    p50 = got["middle_set_up"] * got["set_up_factor"] + got["middle_rest"] * got["rest_factor"]
    expected_rate, expected_set_up = median_rate / expected, median_set_up * expected
    gaps = ((task.rate, got["rate_before"]), (task.set_up, got["set_up_before"]))
    stale = any(known(before) and sixth(value(now) - before) != 0 for now, before in gaps)
    return {
        "expected_factor": expected,
        "median_rate": median_rate,
        "expected_rate": expected_rate,
        "median_set_up": median_set_up,
        "expected_set_up": expected_set_up,
        "p50": p50,
        "p80": p50 * math.exp(z_of(_SHARE) * got["spread"]),
        "change": ratio(p50 * expected, got["middle_set_up"] + got["middle_rest"]) - 1,
        "rate_used": expected_rate if takes else value(task.rate),
        "set_up_used": expected_set_up if takes else value(task.set_up),
        "take_fault": float(takes and not known(expected)),
        "stale": float(stale),
    }


_POSTED: Final = (
    "rate_before", "set_up_before", "set_up_factor", "rest_factor", "spread", "middle_set_up", "middle_rest",
)  # fmt: skip


def _of_waste(job: Job, of: Row) -> dict[str, float]:
    before, factor, spread = (value(of.get(name)) for name in ("waste_before", "waste_factor", "waste_spread"))
    lost = (1 + before) * factor * float(mean_of_median(1.0, spread)) - 1
    suggested = max(0.0, lost) if known(lost) else MISSING
    takes = of.get("take_waste") == _YES
    return {"waste_suggested": suggested, "waste_used": suggested if takes else value(job.takeoff.waste)}


def _of_jobs(jobs: Sequence[Row]) -> dict[str, float]:
    """Return error and bias of the hours of whole jobs, before and after, and how many lie in their range [share]."""
    names = ("actual", "reckoned", "predicted")
    rows = [row for row in jobs if all(row.get(name) is not None for name in names)]
    found = {}
    for ending, name in (("before", "reckoned"), ("after", "predicted")):
        logs = [math.log(row["actual"] / row[name]) for row in rows]
        found[f"error_{ending}"] = _grown([abs(one) for one in logs])
        found[f"bias_{ending}"] = _grown(logs)
    inside = [row["inside"] == _YES for row in jobs if row.get("inside") is not None]
    return found | {"inside": sum(inside) / len(inside) if inside else MISSING}


def _grown(logs: list[float]) -> float:
    return math.expm1(math.fsum(logs) / len(logs)) if logs else MISSING


def _of_product(row: Row, before: float) -> dict[str, float]:
    return {"suggested_waste": (1 + before) * value(row.get("factor")) - 1 if row.get("topping") == _YES else MISSING}


def _of_job(row: Row) -> dict[str, float]:
    return {"ratio": ratio(value(row.get("actual")), value(row.get("reckoned")))}


def _of_row(row: Row, shown: float) -> dict[str, float]:
    found = _of_job(row)
    return found | {"shown": found["ratio"] if row.get("task_no") == shown else MISSING}


def _shown_task(job: Job, of: Row, rows: Sequence[Row]) -> float:
    """Return the task that the owner chose; else the first to be changed, else the first that was tuned [no]."""
    chosen = Register(keys([task.name for task in job.tasks])).number(of.get("shown_task"))
    if known(chosen):
        return chosen
    for holds in (lambda row: row.get("code") == _CHANGE, lambda row: row.get("rest_factor") is not None):
        for number, row in enumerate(rows, start=1):
            if holds(row):
                return float(number)
    return MISSING


def _padded(rows: Sequence[Row], count: int) -> list[Row]:
    return [*rows[:count], *({} for _ in range(count - len(rows)))]


def _columns(block: str, of_blank: Mapping[str, float], rows: Sequence[Mapping[str, float]]) -> dict[str, Value]:
    """Return a column for each figure that a blank row has."""
    return {f"{block}.{name}": tuple(_blank(row[name]) for row in rows) for name in of_blank}


def _blank(figure: float) -> float | None:
    return float(figure) if known(figure) else None
