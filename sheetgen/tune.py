"""Filled books and a rate book become suggested rates, how sure they are, and whether they would have bid better."""

from __future__ import annotations

import datetime as dt
import functools
from collections import Counter
from collections.abc import Callable, Iterable, Iterator, Sequence
from pathlib import Path
from typing import Final

import attrs
import numpy as np

from sheetgen.book.compile import planned
from sheetgen.book_figures import Read
from sheetgen.check.meet import job_of
from sheetgen.content import entries_of
from sheetgen.engine.inputs import Job, convert_job
from sheetgen.engine.tuning import conditions, recommend
from sheetgen.engine.tuning.backtest import Backtest
from sheetgen.engine.tuning.conditions import Effect
from sheetgen.engine.tuning.past import Past
from sheetgen.engine.tuning.tuned import Tuned, evidence, tested, tune
from sheetgen.findings import Finding, Refused, Report, Severity
from sheetgen.gathered import Gathered, gather
from sheetgen.ledger import reading
from sheetgen.past_work import LOG_FAULT, NO_RATES, NOT_RECKONED, REASONS, RUNNING, UNKNOWN_TASK, UNREAD, WAITING, LeftOut, Worked, worked
from sheetgen.pool import in_order
from sheetgen.rates import Rates
from sheetgen.reconcile import LEFT_OUT, Taken, take
from sheetgen.reconcile import left_out as not_read
from sheetgen.units import SYSTEMS

# What the owner can mend, or must know, though the job counts; the rest of what is left out only stands in the table.
_LOOKS: Final = (UNKNOWN_TASK, NO_RATES, NOT_RECKONED, LOG_FAULT)
_NOTES: Final = (WAITING,)
# Hours reckoned but not logged beyond this share: they were perhaps logged under other tasks. Common practice, no source.
_MUCH: Final = 0.25
_COUNTS: Final = (
    "a job counts when its status is done or closed, at least half of its area is logged as done, and hours are logged under tasks that"
    " the rate book has"
)
# A job, None where its book was not read; and what was found in it.
Met = tuple[Worked | None, tuple[Finding, ...]]
_LEFT_OUT: Final = "was not read: its job does not count"


@attrs.frozen(eq=False)
class Judged:
    """What was tuned of one kind of thing, and how it stands the test.

    Parameters
    ----------
    past : Past
        What it rests on.
    tuned : Tuned
        What it says.
    test : Backtest
        How well it predicts.
    codes : tuple of str
        What to do about each.
    chances : tuple of float or None
        Adjusted for all that was looked at [share].
    """

    past: Past = attrs.field(repr=False)
    tuned: Tuned = attrs.field(repr=False)
    test: Backtest = attrs.field(repr=False)
    codes: tuple[str, ...] = ()
    chances: tuple[float | None, ...] = ()


@attrs.frozen(eq=False)
class Learned:
    """What past jobs say of a rate book.

    Parameters
    ----------
    rates : Rates
        The rate book.
    day : datetime.date
        When.
    half_life : float or None
        Days in which a job comes to count half as much; None where all count alike [day].
    gathered : Gathered
        The jobs.
    hours, packages, bags : Judged
        Tasks, products, and all toppings together.
    conditions : tuple of (str, Effect)
        What conditions of the jobs explain.
    findings : tuple of Finding
        What was found in books and logs.
    """

    rates: Rates
    day: dt.date
    half_life: float | None
    gathered: Gathered
    hours: Judged
    packages: Judged
    bags: Judged
    conditions: tuple[tuple[str, Effect], ...]
    findings: tuple[Finding, ...]


def from_books(
    paths: Sequence[Path], rates: Rates, *, each: Callable[[Path], None] | None = None, processes: int = 0
) -> Iterator[Met]:
    """Yield what the jobs of filled bid books tell of the rates in use; a book that cannot be read is named and left out.

    Parameters
    ----------
    paths : sequence of Path
        Filled bid books.
    rates : Rates
        The present rates.
    each : callable, optional
        Told each path once its book is read.
    processes : int
        How many workers may read at once; with 0 this process reads by itself [count].
    """
    told = functools.partial(_told, convert_job(rates.in_use().job, "us"))
    for path, answers in zip(paths, in_order(told, paths, processes, _lost), strict=True):
        yield from answers
        if each is not None:
            each(path)


def from_ledger(ledger: Path, rates: Rates) -> Iterator[Met]:
    """Yield what the jobs of a ledger tell of the rates in use, as they were posted last; their figures are reckoned anew.

    Raises
    ------
    Refused
        There is no such ledger.
    """
    present = convert_job(rates.in_use().job, "us")
    with reading(ledger) as held:
        for revision in held.jobs():
            posting = revision.posting
            # Amended while it was not closed: it is taken out until it is closed again.
            if posting.tables:
                (system,) = [one for one in SYSTEMS if one == posting.units]
                job = job_of(entries_of(posting.content, planned("bid", system)), system)
                yield worked(job, present, workbook=posting.workbook, book_id=posting.book_id), ()


def _told(rates: Job, path: Path) -> Taken[Worked]:
    def use(book: Read) -> Worked:
        return worked(book.job, rates, workbook=book.filled.name, book_id=book.filled.stamp.book_id)

    return take(path, use, _LEFT_OUT)


def _lost(path: Path, finding: Finding) -> Taken[Worked]:
    return [(None, (finding, not_read(path.name, _LEFT_OUT)))]


def learn(met: Iterable[Met], rates: Rates, *, day: dt.date, half_life: float | None = None) -> Learned:
    """Tune a rate book on what jobs tell.

    Parameters
    ----------
    met : iterable of (Worked or None, tuple of Finding)
        Each job, and what was found in its book; no job where it was not read: of `from_books` or `from_ledger`.
    rates : Rates
        The present rates.
    day : datetime.date
        From which the age of jobs is counted.
    half_life : float, optional
        Days in which a job comes to count half as much [day].

    Returns
    -------
    Learned
        What they say.

    Raises
    ------
    Refused
        No job counts.
    """
    rates = rates.in_use()
    report = Report()
    jobs = []
    for job, findings in met:
        report.extend(findings)
        if job is not None:
            jobs.append(job)
    names = [task.name for task in rates.job.tasks], [product.name for product in rates.job.products]
    gathered = gather(jobs, *names, today=day, half_life_days=half_life)
    for job, left_out in _by_job(gathered):
        _report(job, left_out, report)
    if not gathered.jobs:
        report.error("tune-none", rates.path.name, f"no job counts: {_why_none(gathered, report)}", _COUNTS)
        raise Refused(report)
    hours, packages, bags = _judged([gathered.hours, gathered.packages, gathered.bags])
    _report_odd(gathered, hours, report)
    if all(code == recommend.FEW for one in (hours, packages, bags) for code in one.codes):
        few = f"{len(gathered.jobs)} {'job counts' if len(gathered.jobs) == 1 else 'jobs count'}"
        what = f"{few}, and a task needs {recommend.LEAST_JOBS}: nothing is suggested yet, and every rate stays as it is"
        report.look("tune-few", rates.path.name, what, f"tune again with more jobs; {_COUNTS}")
    return Learned(rates, day, half_life, gathered, hours, packages, bags, _conditions(gathered, hours), tuple(report))


def _judged(parts: Sequence[Past]) -> list[Judged]:
    """Tune each kind of thing, and decide on all of them together."""
    found = [(past, result := tune(past), tested(past, result)) for past in parts]
    codes, chances = recommend.recommend(recommend.joined([evidence(result, test) for _, result, test in found]))
    judged, first = [], 0
    for past, result, test in found:
        mine = slice(first, first + past.tasks)
        adjusted = tuple(None if np.isnan(one) else float(one) for one in chances[mine])
        judged.append(Judged(past, result, test, codes[mine], adjusted))
        first += past.tasks
    return judged


def _conditions(gathered: Gathered, hours: Judged) -> tuple[tuple[str, Effect], ...]:
    past, result = hours.past, hours.tuned
    left = past.log_ratio - result.centre[past.task]
    job = conditions.of_jobs(past, left, result.fitted.spreads.used[0])
    sites = [one.site for one in gathered.jobs]
    effects = {name: conditions.of_kind(job, [getattr(site, name) for site in sites]) for name in ("surface", "grade", "place")}
    for name in ("temperature", "crew_size", "job_size"):
        known = np.array([np.nan if getattr(site, name) is None else getattr(site, name) for site in sites], dtype=np.float64)
        # Twice the size is as far as half of it.
        effects[name] = conditions.of_number(job, np.log(known) if name == "job_size" else known)
    return tuple(zip(effects, conditions.looked_at_together(list(effects.values())), strict=True))


def _why_none(gathered: Gathered, report: Report) -> str:
    """Return in words why no job counts, with how many books each reason has."""
    met = {id(job): (job, [one.code for other, one in gathered.left_out if other is job]) for job, _ in gathered.left_out}
    # Of the whole job where something is said of that; else of its first task.
    codes = [next((one.code for one in job.left_out if one.task is None), found[0]) for job, found in met.values()]
    codes += [UNREAD for one in report if one.code == LEFT_OUT]
    told = [f"{count} {'book' if count == 1 else 'books'}, {REASONS[code][0]}" for code, count in Counter(codes).items()]
    return "; ".join(told) or "none is there"


def _by_job(gathered: Gathered) -> Iterator[tuple[Worked, list[LeftOut]]]:
    """Yield each job with all that does not count of it."""
    found: dict[int, tuple[Worked, list[LeftOut]]] = {}
    for job, left_out in gathered.left_out:
        found.setdefault(id(job), (job, []))[1].append(left_out)
    for job in gathered.jobs:
        found.setdefault(id(job), (job, []))
    yield from found.values()


def _report(job: Worked, left_out: Sequence[LeftOut], report: Report) -> None:
    """Say what does not count of a job."""
    for one in left_out:
        if one.task is None:
            why, mend = REASONS[one.code]
            severity = Severity.NOTE if one.code == RUNNING else Severity.LOOK
            report.extend([Finding(f"tune-{_dashed(one.code)}", severity, job.workbook, f"does not count: {why}", mend)])
    for code in (*_LOOKS, *_NOTES):
        tasks = [one.task for one in left_out if one.code == code and one.task is not None]
        if tasks:
            why, mend = REASONS[code]
            severity = Severity.LOOK if code in _LOOKS else Severity.NOTE
            what = f"{', '.join(tasks)}: left out, for {why}"
            report.extend([Finding(f"tune-{_dashed(code)}", severity, f"{job.workbook} Log", what, mend)])
    if job.log_faults:
        what = f"{job.log_faults:.0f} rows of the log cannot be used, so that hours or packages may be missing from what counts"
        report.look("log-rows", f"{job.workbook} Log", what, "see the column beside them that says what is wrong")
    _report_unlogged(job, left_out, report)


def _report_unlogged(job: Worked, left_out: Sequence[LeftOut], report: Report) -> None:
    """Say where much of the work has no hours: these were perhaps logged under other tasks."""
    unlogged = [one for one in left_out if one.code == "no_hours" and one.reckoned]
    missing, counted = sum(one.reckoned or 0.0 for one in unlogged), sum(one.reckoned for one in job.hours)
    if counted and missing > _MUCH * (missing + counted):
        tasks = ", ".join(one.task for one in unlogged if one.task is not None)
        what = f"no hours were logged under {tasks}, for which the rates give {missing:.1f} h"
        report.look("tune-unlogged", f"{job.workbook} Log", what, "if they were logged under other tasks, those seem slower than they are")


def _report_odd(gathered: Gathered, hours: Judged, report: Report) -> None:
    """Say which hours lie far off: they count for little, and were perhaps logged under the wrong task."""
    past = hours.past
    for row in np.flatnonzero(hours.tuned.outlier):
        job, one = gathered.jobs[past.job[row]], _task_of(gathered, past, int(row))
        what = f"{one}: {past.actual[row]:.1f} h were logged and the rate gives {past.reckoned[row]:.1f} h, far from other jobs"
        report.look("tune-odd", f"{job.workbook} Log", what, "see whether they belong to another task; they count for little")


def _task_of(gathered: Gathered, past: Past, row: int) -> str:
    """Return the name of the task of a row, as its job has it."""
    job = int(past.job[row])
    mine = np.flatnonzero(past.job == job)
    return gathered.jobs[job].hours[int(np.searchsorted(mine, row))].task


def _dashed(code: str) -> str:
    return code.replace("_", "-")
