"""What one job that is done tells of the rates: hours by task and packages by product, against what the present rates give."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator, Mapping
from typing import Any, Final

import attrs

from sheetgen.engine.inputs import Job, convert_job
from sheetgen.engine.job import compute
from sheetgen.engine.lists import FINISHED
from sheetgen.engine.names import Register, keys
from sheetgen.engine.present_rates import with_present_rates
from sheetgen.engine.values import Values
from sheetgen.site import Site, site_of

# Waiting governs the tasks of a pour where it is more than this share of their hours; common practice, no source.
_GOVERNS: Final = 0.10
# Less done than this share of the area bid is no whole job; common practice, no source.
_WHOLE: Final = 0.5
_SCENARIO: Final = "accepted"

# Why something is left out: the words, and what to do.
RUNNING: Final = "running"
UNFINISHED: Final = "unfinished"
AREA: Final = "area"
WAITING: Final = "waiting"
UNKNOWN_TASK: Final = "unknown_task"
NO_RATES: Final = "no_rates"
NO_HOURS: Final = "no_hours"
NOT_RECKONED: Final = "not_reckoned"
LOG_FAULT: Final = "log_fault"
TWICE: Final = "twice"
UNREAD: Final = "unread"
REASONS: Final[Mapping[str, tuple[str, str]]] = {
    RUNNING: ("the job is not done", "tune again when it is"),
    UNFINISHED: ("less than half of the area bid was logged as done", "log the area done, or leave it so if that is all that was laid"),
    AREA: ("no area is laid, so that nothing can be reckoned", "complete the takeoff of the book"),
    WAITING: ("waiting governed the pour: the hours are those of being there, not of the work", ""),
    UNKNOWN_TASK: ("the rate book has no task of this name", "give the task in the rate book the same name, if it is the same"),
    NO_RATES: ("the rate book's task cannot be reckoned", "see what its row on Tasks and wages says"),
    NO_HOURS: ("no hours were logged under this task", "if they were logged under another, both are wrong"),
    NOT_RECKONED: ("hours were logged, but by the rate book there was nothing to do", "see whether they belong to another task"),
    LOG_FAULT: ("a row of its log cannot be used", "mend the row: the column beside it says what is wrong"),
    TWICE: ("the same job was met before", "leave one of the two out, or give each job its own number"),
    UNREAD: ("the book was not read", "mend it and run again"),
}  # fmt: skip


@attrs.frozen
class Hours:
    """The hours of one task.

    Parameters
    ----------
    task : str
        Its name in the job.
    actual, reckoned, set_up : float
        Hours worked; hours by the present rates for what was done, and how many of these are set-up [h].
    """

    task: str
    actual: float
    reckoned: float
    set_up: float


@attrs.frozen
class Used:
    """What was used of one product.

    Parameters
    ----------
    product : str
        Its name in the job.
    topping : bool
        Whether it is laid.
    used, needed : float
        Used; needed for what was done, with the present waste [package].
    bags, bags_needed : float
        The same where it is laid, else 0 [bag].
    """

    product: str
    topping: bool
    used: float
    needed: float
    bags: float
    bags_needed: float


@attrs.frozen
class LeftOut:
    """What does not count, and why.

    Parameters
    ----------
    code : str
        One of `REASONS`.
    task : str or None
        Its name; None where it is the whole job.
    hours : float or None
        Hours logged that do not count; None where there are none [h].
    reckoned : float or None
        Hours by the present rates; None where these give none [h].
    """

    code: str
    task: str | None = None
    hours: float | None = None
    reckoned: float | None = None


@attrs.frozen
class Worked:
    """What one job tells.

    Parameters
    ----------
    workbook, book_id : str
        File, and id of the book.
    number, name : str or None
        Of the job.
    ended : datetime.date or None
        Last day that hours were logged for.
    hours : tuple of Hours
        Tasks that count.
    used : tuple of Used
        Products that count.
    left_out : tuple of LeftOut
        What does not count.
    site : Site
        Under which conditions it was done.
    log_faults : float
        Rows of its logs that cannot be used [count].
    """

    workbook: str
    book_id: str
    number: str | None
    name: str | None
    ended: dt.date | None
    hours: tuple[Hours, ...] = ()
    used: tuple[Used, ...] = ()
    left_out: tuple[LeftOut, ...] = ()
    site: Site = attrs.field(factory=Site)
    log_faults: float = 0.0

    @property
    def counts(self) -> bool:
        """Whether anything of it counts."""
        return bool(self.hours or self.used)


def worked(job: Job, rates: Job, *, workbook: str, book_id: str, values: Values | None = None) -> Worked:
    """Reckon a job by the present rates and set what was logged beside it.

    Parameters
    ----------
    job : Job
        As its book has it.
    rates : Job
        The present rates, in US units.
    workbook, book_id : str
        Where it stands.
    values : Values, optional
        For tests: figures in the place of the engine's.

    Returns
    -------
    Worked
        What counts, and what does not. Hours of rework count: they are part of what a task takes.
    """
    head = Worked(workbook, book_id, job.job.number, job.job.name, _ended(job))
    if job.job.status not in FINISHED:
        return attrs.evolve(head, left_out=(LeftOut(RUNNING),))
    present = with_present_rates(convert_job(job, "us"), rates)
    values = values or compute(present)
    share, area = values.scalar("compare.done_share"), values.scalar("price.area", _SCENARIO)
    if not isinstance(area, float) or area <= 0:
        return attrs.evolve(head, left_out=(LeftOut(AREA),))
    if not isinstance(share, float) or share < _WHOLE:
        return attrs.evolve(head, left_out=(LeftOut(UNFINISHED),))
    known = Register(keys([task.name for task in rates.tasks]))
    told = list(_hours(present, values, known, share))
    return attrs.evolve(
        head,
        hours=tuple(one for one in told if isinstance(one, Hours)),
        used=tuple(_used(present, values)),
        left_out=tuple(one for one in told if isinstance(one, LeftOut)),
        site=site_of(present, values),
        log_faults=faults if isinstance(faults := values.scalar("compare.log_faults"), float) else 0.0,
    )


def _ended(job: Job) -> dt.date | None:
    return max((entry.date for entry in job.hours_log if entry.date is not None), default=None)


def _hours(job: Job, values: Values, known: Register, share: float) -> Iterator[Hours | LeftOut]:
    governed = _waiting_governs(values)
    set_ups = _set_up_hours(job, values)
    columns = (values.column(name) for name in ("tasks.logged", "tasks.actual", "tasks.hours_due", "tasks.fault"))
    for task, set_up, logged, actual, reckoned, fault in zip(job.tasks, set_ups, *columns, strict=True):
        if task.name is None or not (logged or _above(reckoned)):
            continue
        hours = actual if isinstance(actual, float) else None
        code = ""
        if not logged:
            code = NO_HOURS
        elif hours is None:
            code = LOG_FAULT
        elif not known.number(task.name) > 0:
            code = UNKNOWN_TASK
        elif fault:
            code = NO_RATES
        elif not _above(hours):
            code = NO_HOURS
        elif not _above(reckoned):
            code = NOT_RECKONED
        elif governed and task.stage is not None:
            code = WAITING
        given = reckoned if isinstance(reckoned, float) else 0.0
        if code:
            yield LeftOut(code, task.name, hours, given or None)
        else:
            assert hours is not None
            yield Hours(task.name, hours, given, min(set_up * share, given))


def _waiting_governs(values: Values) -> bool:
    """Tell whether the hands of the pours are there for much longer than their tasks take."""
    waiting = sum(one for one in values.column("pours.waiting") if isinstance(one, float))
    work = sum(one for one in values.column("pours.task_hours") if isinstance(one, float))
    return waiting > _GOVERNS * work


def _set_up_hours(job: Job, values: Values) -> list[float]:
    """Return how many of the hours of each task are set-up [h]."""
    people = values.scalar("paid.people_visits")
    difficulty = job.effort.difficulty or 1.0
    found = []
    set_ups, by_visit = values.column("labour.set_ups", _SCENARIO), values.column("tasks.visit_set_up")
    for task, times, each in zip(job.tasks, set_ups, by_visit, strict=True):
        own = difficulty * (task.set_up or 0.0) * times if isinstance(times, float) else 0.0
        visits = each * people if isinstance(each, float) and isinstance(people, float) else 0.0
        found.append(own + visits)
    return found


def _used(job: Job, values: Values) -> Iterator[Used]:
    names = ("products.used", "products.needed_done", "products.is_topping", "products.bags_used", "products.bags_needed")
    columns = (values.column(name) for name in names)
    for product, used, needed, topping, bags, bags_needed in zip(job.products, *columns, strict=True):
        if product.name is not None and _above(used) and _above(needed):
            yield Used(product.name, topping == 1, *(one if isinstance(one, float) else 0.0 for one in (used, needed, bags, bags_needed)))


def _above(figure: Any) -> bool:
    """Whether a figure is known and above 0."""
    return isinstance(figure, float) and figure > 0
