"""Proposal: until when it is valid, and what its lists show, rank by rank."""
# ruff: noqa: RUF009 - figure() returns an attrs field, which is no default that records would share

from __future__ import annotations

from typing import TYPE_CHECKING, ClassVar, Final

import attrs

from sheetgen.engine.blocks.job_clock import serial
from sheetgen.engine.blocks.plan_work import PER_VISIT
from sheetgen.engine.blocks.scope import VISITS
from sheetgen.engine.blocks.table import Row, flag, table
from sheetgen.engine.blocks.task_work import NO_STAGE
from sheetgen.engine.blocks.texts import NOT_INCLUDED, PREPARATION, Texts, at_place, make_text_lists, make_texts, texts_left
from sheetgen.engine.lists import VISIT_KINDS
from sheetgen.engine.missing import MISSING, known, value
from sheetgen.engine.totals import Column, sum_known
from sheetgen.engine.values import figure

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator

    from sheetgen.engine.blocks.slab import Slab, Verdicts
    from sheetgen.engine.blocks.task_work import TaskWork
    from sheetgen.engine.blocks.tasks import Tasks
    from sheetgen.engine.blocks.work import Labour
    from sheetgen.engine.inputs import Job
    from sheetgen.engine.values import Figures

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

    preparing: Column = figure("count")
    prep_rank: Column = figure("no")


@attrs.frozen(kw_only=True)
class SlabRanks:
    """Where each pair of a zone and a criterion stands among the repairs, and among what is left as it is."""

    block: ClassVar[str] = "slab"
    over: ClassVar[str | None] = "slab"
    scenario: ClassVar[bool] = False

    order: Column = figure("no")
    repair_rank: Column = figure("no")
    refused: Column = figure("count")
    refused_rank: Column = figure("no")


@attrs.frozen(kw_only=True)
class OpenRanks:
    """Where each zone stands among those with tests to be made."""

    block: ClassVar[str] = "verdicts"
    over: ClassVar[str | None] = "zones"
    scenario: ClassVar[bool] = False

    open: Column = figure("count")
    open_rank: Column = figure("no")


@attrs.frozen(kw_only=True)
class ProposalPrep:
    """What is done before anything is laid: tasks that prepare, repairs that are in the price, and standing texts."""

    block: ClassVar[str] = "proposal_prep"
    over: ClassVar[str | None] = "proposal_prep"
    scenario: ClassVar[bool] = False

    task_no: Column = figure("no")
    second: Column = figure("no")
    pair_no: Column = figure("no")
    third: Column = figure("no")
    text_no: Column = figure("no")


@attrs.frozen(kw_only=True)
class NotIncluded:
    """What is not in the price: what fails and stays, what nobody has tested, and what is never in it."""

    block: ClassVar[str] = "not_included"
    over: ClassVar[str | None] = "not_included"
    scenario: ClassVar[bool] = False

    pair_no: Column = figure("no")
    second: Column = figure("no")
    zone_no: Column = figure("no")
    third: Column = figure("no")
    text_no: Column = figure("no")


@attrs.frozen(kw_only=True)
class Page:
    """How much the lists of the proposal have no rows for."""

    block: ClassVar[str] = "page"
    over: ClassVar[str | None] = None
    scenario: ClassVar[bool] = False

    steps: float = figure("count")
    repairs: float = figure("count")
    prep_texts: float = figure("count")
    prep_left: float = figure("count")
    refused: float = figure("count")
    open: float = figure("count")
    out_texts: float = figure("count")
    left_over: float = figure("count")
    opening_left: float = figure("count")
    terms_left: float = figure("count")
    texts_left: float = figure("count")


@attrs.frozen(kw_only=True)
class Lists:
    """All lists of the proposal."""

    page: Page
    texts: Texts
    ranks: tuple[Figures, ...]
    lists: tuple[Figures, ...]

    def blocks(self) -> tuple[Figures, ...]:
        """Return all blocks of figures."""
        return (self.page, self.texts, *self.ranks, *self.lists)


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


def make_prep_ranks(tasks: Tasks, reckoned: TaskWork, labour: Labour) -> PrepRanks:
    """Give each task that prepares, and takes any time, its number; what comes again at each visit is no step."""
    every = zip(reckoned.good, reckoned.visit_no, reckoned.stage_no, _again(tasks), labour.hours, strict=True)
    preparing = []
    for good, visit, stage, again, hours in every:
        takes = flag(holds=hours > 0) if known(hours) else MISSING
        prepares = good == 1 and visit == _PREPARE and stage == NO_STAGE and not again
        preparing.append(takes if prepares else good * 0)
    return PrepRanks(preparing=tuple(preparing), prep_rank=ranked(one == 1 for one in preparing))


def _again(tasks: Tasks) -> Iterator[bool]:
    """Tell of each task whether it comes again at each visit, as cleaning up does."""
    for bare, set_up_no, basis_no in zip(tasks.bare, tasks.set_up_no, tasks.basis_no, strict=True):
        yield set_up_no == PER_VISIT if bare == 1 else basis_no == VISITS


def _slab_ranks(slab: Slab) -> SlabRanks:
    refused = tuple(fails - repairs for fails, repairs in zip(slab.failing, slab.repairing, strict=True))
    return SlabRanks(
        order=tuple(float(number) if known(fails) else MISSING for number, fails in enumerate(slab.failing, start=1)),
        repair_rank=ranked(one == 1 for one in slab.repairing),
        refused=refused,
        refused_rank=ranked(one == 1 for one in refused),
    )


def _open_ranks(verdicts: Verdicts) -> OpenRanks:
    return OpenRanks(
        open=tuple(flag(holds=one > 0) if known(one) else MISSING for one in verdicts.untested),
        open_rank=ranked(one > 0 for one in verdicts.untested),
    )


def _in_turn(rows: int, counts: tuple[float, float], **ranks: Column) -> list[Row]:
    """List three kinds of rows after each other.

    Parameters
    ----------
    rows : int
        Rows of the list.
    counts : tuple of float
        How many there are of the first kind, and of the second [count].
    **ranks : tuple of float
        By the name of its column, where each kind's records stand among themselves [no].
    """
    (first_name, first), (second_name, second), (third_name, third) = ranks.items()
    found: list[Row] = []
    for number in range(1, rows + 1):
        after_first = number - counts[0]
        after_second = after_first - counts[1]
        row: Row = {"second": after_first, "third": after_second}
        if after_first <= 0:
            row[first_name] = at_place(first, float(number))
        elif after_second <= 0:
            row[second_name] = at_place(second, after_first)
        else:
            row[third_name] = at_place(third, after_second)
        found.append(row)
    return found


def make_lists(job: Job, slab: Slab, verdicts: Verdicts, prepares: PrepRanks) -> Lists:
    """Fill the lists of the proposal, and count what they have no rows for: nothing is cut off in silence."""
    pairs, zones, texts = _slab_ranks(slab), _open_ranks(verdicts), make_texts(job)
    refused, untested, out = sum_known(pairs.refused), sum_known(zones.open), texts.count(NOT_INCLUDED)
    steps, repairs, words = sum_known(prepares.preparing), sum_known(slab.repairing), texts.count(PREPARATION)
    page = Page(
        steps=steps,
        repairs=repairs,
        prep_texts=words,
        prep_left=max(0.0, steps + repairs + words - len(job.proposal_prep)),
        refused=refused,
        open=untested,
        out_texts=out,
        left_over=max(0.0, refused + untested + out - len(job.not_included)),
        **texts_left(job, texts),
    )
    done = _in_turn(
        len(job.proposal_prep),
        (steps, repairs),
        task_no=prepares.prep_rank,
        pair_no=pairs.repair_rank,
        text_no=texts.preparation_place,
    )
    # What fails and is not repaired, then each zone that is not tested, then the standing texts.
    left = _in_turn(
        len(job.not_included),
        (refused, untested),
        pair_no=pairs.refused_rank,
        zone_no=zones.open_rank,
        text_no=texts.not_included_place,
    )
    lists = (table(ProposalPrep, done), table(NotIncluded, left), *make_text_lists(job, texts))
    return Lists(page=page, texts=texts, ranks=(pairs, zones), lists=lists)
