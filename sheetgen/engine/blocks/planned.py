"""Pour plan: all pours together, and the one that the crew table and the charts are for."""


from __future__ import annotations

from typing import TYPE_CHECKING, ClassVar

import attrs

from sheetgen.engine.missing import MISSING, given, known
from sheetgen.engine.totals import sum_known
from sheetgen.engine.values import figure

if TYPE_CHECKING:
    from sheetgen.engine.blocks.pour_times import Layout, PouredBatches
    from sheetgen.engine.blocks.pour_verdicts import PourVerdicts
    from sheetgen.engine.blocks.zone_pours import ZoneCoats, ZoneUses
    from sheetgen.engine.inputs import Job


@attrs.frozen(kw_only=True)
class Planned:
    """What the pours come to."""

    block: ClassVar[str] = "planned"
    over: ClassVar[str | None] = None
    scenario: ClassVar[bool] = False

    typed: float = figure("count")
    coats: float = figure("count")
    rows: float = figure("batch")
    batches: float = figure("batch")
    rows_left: float = figure("batch")
    pours: float = figure("count")
    first_day: float = figure("count")
    longest: float = figure("no")
    chosen: float = figure("no")
    uncovered: float = figure("count")
    looks: float = figure("count")


def first_day_of_pours(prepare_visits: float) -> float:
    """Return the day of the first pour: after the visits that prepare, or day 1 [count]."""
    return prepare_visits + 1


@attrs.frozen(kw_only=True)
class Poured:
    """The pours, their verdicts, and the zones as they see them."""

    layout: Layout
    batches: PouredBatches
    verdicts: PourVerdicts
    coats: ZoneCoats
    uses: ZoneUses


def pour_numbers(layout: Layout) -> set[float]:
    """Return the numbers of the pours that there are [no]."""
    return {float(number) for number, begun in enumerate(layout.zones.started, start=1) if known(begun)}


def make_planned(job: Job, poured: Poured, first_day: float) -> Planned:
    """Add the pours up, and choose one: the typed one if it is there, else the longest."""
    layout, longest_flags = poured.layout, poured.batches.times.is_longest
    batches = sum_known(layout.sizes.batches)
    longest = longest_flags.index(1.0) + 1.0 if 1.0 in longest_flags else MISSING
    chosen = given(job.crew.chosen_pour, longest)
    there = chosen in pour_numbers(layout)
    return Planned(
        typed=sum(layout.zones.typed),
        coats=sum_known(poured.coats.coats_planned),
        rows=float(len(job.batches)),
        batches=batches,
        rows_left=len(job.batches) - batches,
        pours=sum_known(layout.zones.started),
        first_day=first_day,
        longest=longest,
        chosen=chosen if there else MISSING,
        uncovered=sum_known(poured.uses.uncovered),
        looks=sum_known(poured.verdicts.looks),
    )
