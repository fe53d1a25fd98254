"""The cost book: every figure over all jobs. What is known is added, what is not known is not taken for zero."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING, Any, Final

import attrs

from sheetgen.engine.cost_book_sums import (
    Row,
    by_kind,
    by_product,
    by_status,
    by_task,
    column,
    compared,
    filled,
    kind_no,
    known_sum,
    number_or_none,
    other_cost,
)
from sheetgen.engine.lists import STATUSES
from sheetgen.engine.missing import MISSING, above_zero, given, ratio, value
from sheetgen.engine.work_in_progress import WorkInProgress, work_in_progress

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping, Sequence

    from sheetgen.units import System

Figure = float | None | tuple[float | None, ...]
# Statuses of a job that was won, whatever became of it since.
WON: Final = frozenset({"won", "running", "done", "closed"})
# Area by which hours are compared between jobs, in the display units of the book: 100 ft², 10 m².
PER_AREA: Final[dict[System, float]] = {"us": 100.0, "metric": 10.0}
_COSTS: Final = ("labour_cost", "materials_cost", "other_cost")
# What is added up over all jobs as it was posted.
_SUMMED: Final = (
    "hours_estimated", "hours_actual", "hours_variance", "labour_variance", "materials_variance",
    "bags_needed", "bags_used", "price",
)  # fmt: skip
_JOBS: Final = ("contract", "cost_actual", "gross_profit", "margin_bid", "margin_made", "hours_ratio", "bags_ratio", "hours_per_area")
_PROGRESS: Final = tuple(one.name for one in attrs.fields(WorkInProgress))
# How far a check may be from nothing.
_TOLERANCE_HOUR: Final = 1e-6
_TOLERANCE_MONEY: Final = 0.005


def job_figures(job: Row, per_area: float) -> dict[str, float | None]:
    """Compute what one job cost and made.

    Parameters
    ----------
    job : mapping
        Its posted figures: hours [h], bags [bag], amounts [money], area; None where not known.
    per_area : float
        Area by which hours are compared, in the unit of the area done [area].

    Returns
    -------
    dict of str to float
        By field; a job that is not finished has made nothing yet.
    """
    costs = [job.get(name) for name in _COSTS]
    contract = value(job.get("price_bid")) + value(job.get("change_price"))
    cost_actual = value(known_sum(costs))
    gross_profit = contract - cost_actual if job.get("finished") == 1 else MISSING
    hours = value(job.get("hours_actual"))
    price_bid = value(job.get("price_bid"))
    return _known(
        contract=contract,
        cost_actual=cost_actual,
        gross_profit=gross_profit,
        margin_bid=ratio(price_bid - value(job.get("direct_bid")), price_bid),
        margin_made=ratio(gross_profit, contract),
        hours_ratio=hours / above_zero(value(job.get("hours_estimated"))),
        bags_ratio=value(job.get("bags_used")) / above_zero(value(job.get("bags_needed"))),
        hours_per_area=ratio(hours, value(job.get("area_done"))) * per_area,
    )


def progress_figures(job: Row) -> dict[str, float | None]:
    """Compute the work in progress of one job; nothing of a job that was not won.

    Parameters
    ----------
    job : mapping
        Its posted figures: amounts [money]; None where not known.

    Returns
    -------
    dict of str to float
        By field [money], and the share of the cost that is spent [-].
    """
    if job.get("status") not in WON:
        return dict.fromkeys(_PROGRESS)
    own = job_figures(job, MISSING)
    found = work_in_progress(
        contract=own["contract"],
        cost_actual=own["cost_actual"],
        to_go=job.get("to_go"),
        finished=job.get("finished") == 1,
        billed=job.get("billed"),
        held=job.get("held"),
    )
    return _known(**attrs.asdict(found))


def cost_book(tables: Mapping[str, Sequence[Row]], system: System) -> dict[str, Figure]:
    """Compute every figure of the cost book.

    Parameters
    ----------
    tables : mapping of str to sequence of mapping
        Posted rows by block, in the units of the book; a row without its name is blank.
    system : {'us', 'metric'}
        Units of the book.

    Returns
    -------
    dict of str to float or tuple
        By ``block.field``; a tuple has one figure per row of its block.
    """
    jobs, hours, materials, others = (tables.get(name, ()) for name in ("jobs", "hours", "materials", "other_costs"))
    of_jobs = [job_figures(job, PER_AREA[system]) if filled(job) else dict.fromkeys(_JOBS) for job in jobs]
    progress = [progress_figures(job) for job in jobs]
    found: dict[str, Figure] = {
        **_by_row("jobs", of_jobs, _JOBS),
        "jobs.status_no": tuple(_status_no(job) for job in jobs),
        "jobs.won": tuple(None if _status_no(job) is None else float(job["status"] in WON) for job in jobs),
        **_by_row("wip", progress, _PROGRESS),
        **by_task(tables.get("by_task", ()), hours),
        **by_product(tables.get("by_product", ()), materials),
        **by_status(jobs),
        **by_kind(others),
        **compared(hours, "hours"),
        **compared(materials, "materials"),
        "other_costs.kind_no": tuple(map(kind_no, others)),
        "other_costs.cost": tuple(map(other_cost, others)),
    }
    costs = [{"amount": row.get("amount"), "tax": row.get("tax"), "cost": other_cost(row)} for row in others]
    found |= {
        "totals.jobs": float(sum(map(filled, jobs))),
        **{f"totals.{name}": known_sum(column(jobs, name)) for name in _SUMMED},
        **_sums("totals", of_jobs, ("contract", "cost_actual", "gross_profit")),
        **_sums("totals", progress, ("earned", "billed", "under", "over", "provision", "held")),
        "jobs_shown.jobs": float(sum(map(filled, jobs))),
        **_sums("jobs_shown", of_jobs, ("contract", "cost_actual", "gross_profit")),
        **_sums("jobs_shown", jobs, ("hours_actual",)),
        **_sums("hours_shown", hours, ("estimated", "actual", "variance", "efficiency_variance", "rate_variance")),
        **_sums("materials_shown", materials, ("price_variance", "quantity_variance", "paid")),
        **_sums("other_shown", costs, ("amount", "tax", "cost")),
        **_sums(
            "wip_shown", progress,
            ("contract", "earned", "cost_actual", "gross_profit", "billed", "under", "over", "provision", "held"),
        ),
    }  # fmt: skip
    return found | _checks(tables, found, progress)


def _checks(
    tables: Mapping[str, Sequence[Row]], found: Mapping[str, Figure], progress: Sequence[Mapping[str, float | None]]
) -> dict[str, Figure]:
    """Compute what is compared in two ways, and what was left out of the figures."""
    jobs = tables.get("jobs", ())

    def all_of(name: str) -> float:
        return _single(found, name) or 0.0

    by_row, by_job = known_sum(column(tables.get("hours", ()), "actual")), _single(found, "totals.hours_actual")
    gap = number_or_none(abs(value(by_row) - value(by_job)))
    hours_looks = float(gap is not None and gap > _TOLERANCE_HOUR)
    both = [row for row in progress if row["under"] is not None]
    still_open = value(known_sum(column(both, "earned"))) - value(known_sum(column(both, "billed")))
    wip = abs(given(number_or_none(all_of("totals.under") - all_of("totals.over") - still_open), 0))
    other = abs(all_of("other_shown.cost") - (known_sum(column(jobs, "other_cost")) or 0.0))
    counts = {
        "log": known_sum(column(jobs, "log_rows_wrong")) or 0.0,
        "unpriced": known_sum(column(jobs, "unpriced")) or 0.0,
        "unread": float(sum(row.get("workbook") is not None for row in tables.get("unread", ()))),
    }
    money_looks = {f"master.{name}_looks": float(amount > _TOLERANCE_MONEY) for name, amount in (("wip", wip), ("other", other))}
    rows_looks = float(sum(count > 0 for count in counts.values()))
    return {
        "hours_total.by_task": by_row,
        "checks.hours": gap,
        "checks.wip": wip,
        "checks.other": other,
        **{f"checks.{name}": count for name, count in counts.items()},
        "wip_total.open": number_or_none(still_open),
        "master.hours_looks": hours_looks,
        **money_looks,
        "master.rows_looks": rows_looks,
        "master.looks": hours_looks + math.fsum(money_looks.values()) + rows_looks,
    }


def _status_no(job: Row) -> float | None:
    status = job.get("status")
    return STATUSES.index(status) + 1.0 if status in STATUSES else None


def _single(found: Mapping[str, Figure], name: str) -> float | None:
    figure = found[name]
    assert not isinstance(figure, tuple)
    return figure


def _known(**figures: float) -> dict[str, float | None]:
    return {name: number_or_none(figure) for name, figure in figures.items()}


def _by_row(block: str, rows: Sequence[Mapping[str, float | None]], names: Iterable[str]) -> dict[str, Figure]:
    return {f"{block}.{name}": tuple(row[name] for row in rows) for name in names}


def _sums(block: str, rows: Sequence[Mapping[str, Any]], names: Iterable[str]) -> dict[str, Figure]:
    return {f"{block}.{name}": known_sum(column(rows, name)) for name in names}
