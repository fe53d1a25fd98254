"""Proposal: until when it is valid, and what its lists show, rank by rank."""
# ruff: noqa: RUF009 - figure() returns an attrs field, which is no default that records would share

from __future__ import annotations

from typing import TYPE_CHECKING, ClassVar, Final

import attrs

from sheetgen.engine.blocks.job_clock import serial
from sheetgen.engine.blocks.task_work import NO_STAGE
from sheetgen.engine.lists import VISIT_KINDS
from sheetgen.engine.missing import MISSING, value
from sheetgen.engine.totals import Column
from sheetgen.engine.values import figure

if TYPE_CHECKING:
    from collections.abc import Iterable

    from sheetgen.engine.blocks.task_work import TaskWork
    from sheetgen.engine.blocks.work import Labour
    from sheetgen.engine.inputs import Job

_PREPARE: Final = VISIT_KINDS.index("prepare") + 1.0


@attrs.frozen(kw_only=True)
class Validity:
    """How long the proposal is good for."""

    block: ClassVar[str] = "proposal"
    over: ClassVar[str | None] = None
    scenario: ClassVar[bool] = False

    valid_until: float = figure("date")


@attrs.frozen(kw_only=True)
class PrepRanks:
    """Where each task stands among those that prepare."""

    block: ClassVar[str] = "tasks"
    over: ClassVar[str | None] = "tasks"
    scenario: ClassVar[bool] = False

    prep_rank: Column = figure("no")


def ranked(chosen: Iterable[bool]) -> Column:
    """Give the rows that are chosen a number, from 1; the others have none [no]."""
    ranks, rank = [], 0.0
    for here in chosen:
        rank += here
        ranks.append(rank if here else MISSING)
    return tuple(ranks)


def make_validity(job: Job) -> Validity:
    """Count the days from the date of the proposal on."""
    date = job.proposal.date
    return Validity(valid_until=MISSING if date is None else serial(date) + value(job.terms.valid_days))


def make_prep_ranks(reckoned: TaskWork, labour: Labour) -> PrepRanks:
    """Give each task that prepares, and takes any time, its number."""
    every = zip(reckoned.good, reckoned.visit_no, reckoned.stage_no, labour.hours, strict=True)
    prepares = (good == 1 and visit == _PREPARE and stage == NO_STAGE and hours > 0 for good, visit, stage, hours in every)
    return PrepRanks(prep_rank=ranked(prepares))
