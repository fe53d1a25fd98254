"""Day sheet: one visit, and the pours of its day."""
# ruff: noqa: RUF009 - figure() returns an attrs field, which is no default that records would share

from __future__ import annotations

from typing import TYPE_CHECKING, ClassVar, Final

import attrs

from sheetgen.engine.blocks.job_clock import clock_of, serial
from sheetgen.engine.blocks.table import Row, table
from sheetgen.engine.blocks.zones import system_of
from sheetgen.engine.missing import MISSING, given, known, ratio, sixth, value
from sheetgen.engine.totals import Column, at, total
from sheetgen.engine.values import figure

if TYPE_CHECKING:
    from sheetgen.engine.blocks.plan import Plan
    from sheetgen.engine.blocks.systems import Layers
    from sheetgen.engine.inputs import Job

POURS_SHOWN: Final = 3
_NONE: Final = 0.0


@attrs.frozen(kw_only=True)
class DayRanks:
    """Which pour of its day each pour is."""

    block: ClassVar[str] = "pours"
    over: ClassVar[str | None] = "pours"
    scenario: ClassVar[bool] = False

    day_rank: Column = figure("count")


@attrs.frozen(kw_only=True)
class Day:
    """The visit that the day sheet is for."""

    block: ClassVar[str] = "day"
    over: ClassVar[str | None] = None
    scenario: ClassVar[bool] = False

    visit_no: float = figure("no")
    kind_no: float = figure("no")
    day_no: float = figure("count")
    date: float = figure("date")
    people: float = figure("count")
    hours_each: float = figure("hour")
    batches: float = figure("batch")
    bags: float = figure("bag")
    weight: float = figure("mass")


@attrs.frozen(kw_only=True)
class DayPours:
    """The pours of the day."""

    block: ClassVar[str] = "day_pours"
    over: ClassVar[str | None] = "day_pours"
    scenario: ClassVar[bool] = False

    pour_found: Column = figure("no")
    pour_no: Column = figure("no")
    coat: Column = figure("no")
    system_no: Column = figure("no")
    opens: Column = figure("clock")
    ends: Column = figure("clock")
    batches: Column = figure("batch")
    bags_each: Column = figure("bag/batch")
    bags: Column = figure("bag")
    water_least: Column = figure("water/batch")
    water_most: Column = figure("water/batch")
    colour_row: Column = figure("no")
    coats: Column = figure("count")
    pigment: Column = figure("pack/batch")
    width: Column = figure("length")
    ribbon: Column = figure("length")
    ribbons: Column = figure("count")
    strips: Column = figure("count")
    keep_under: Column = figure("length")
    trowel_within: Column = figure("minute")
    batch_row: Column = figure("no")
    second_begins: Column = figure("minute")
    second_closes: Column = figure("minute")
    second_from: Column = figure("clock")
    second_to: Column = figure("clock")
    hands: Column = figure("count")


def make_day_ranks(plan: Plan) -> DayRanks:
    """Count, for each pour, the pours of its day up to it."""
    days = plan.poured.batches.times.day_no
    return DayRanks(day_rank=tuple(float(days[: row + 1].count(day)) if known(day) else MISSING for row, day in enumerate(days)))


def make_day(job: Job, plan: Plan) -> Day:
    """Look the visit up, and add up what is carried to its pours."""
    visit, visits, layout = value(job.day.visit), plan.visits, plan.poured.layout
    visit_no = visit if visit in visits.order else MISSING
    day_no = at(visits.day_no, visit_no)
    days = plan.poured.batches.times.day_no

    def of_day(column: Column) -> float:
        """Add a column up over the pours of the day, missing where any pour lacks its figure."""
        if not known(day_no):
            return MISSING
        return total(
            tuple(figure if day == day_no or not known(figure) else 0.0 for figure, day in zip(column, days, strict=True)),
            layout.zones.started,
        )

    return Day(
        visit_no=visit_no,
        kind_no=at(visits.kind_no, visit_no),
        day_no=day_no,
        date=MISSING if job.crew.start_date is None else serial(job.crew.start_date) + day_no - 1,
        people=at(visits.people_used, visit_no),
        hours_each=at(visits.each, visit_no),
        batches=of_day(layout.sizes.batches),
        bags=of_day(layout.sizes.bags_all),
        weight=of_day(layout.sizes.weight),
    )


def make_day_pours(job: Job, plan: Plan, ranks: DayRanks, day: Day, layers: Layers) -> DayPours:
    """Write out the pours of the day, as far as there is room for them."""
    days = plan.poured.batches.times.day_no
    rows: list[Row] = []
    for rank in range(1, POURS_SHOWN + 1):
        pairs = enumerate(zip(days, ranks.day_rank, strict=True))
        row = next((row for row, pair in pairs if pair == (day.day_no, rank)), None)
        found: Row = {"pour_found": (_NONE if row is None else row + 1.0) if known(day.day_no) else MISSING}
        rows.append(found | ({} if row is None else _written(job, plan, row, layers)))
    return table(DayPours, rows)


def _written(job: Job, plan: Plan, row: int, layers: Layers) -> Row:
    layout, times, line = plan.poured.layout, plan.poured.batches.times, plan.poured.batches.lines[row]
    sizes, limits, system_no = layout.sizes, layout.limits, layout.zones.system_no[row]
    system = system_of(job, system_no)
    colour_row = at(plan.system_rows.colour_row, system_no)
    colour_row = colour_row if colour_row != _NONE else MISSING
    coats = given(system.coats, 1) if known(system_no) else MISSING
    begins = float(line.second_start[0]) if line is not None and line.second_start.size else MISSING
    first_trowelled = float(line.trowel_end[0]) if line is not None and line.trowel_end.size else MISSING
    closes = MISSING if layout.hands.second_used[row] == 0 else sixth(first_trowelled + limits.latest[row])
    return {
        "pour_no": row + 1.0,
        "coat": layout.zones.coat_no[row],
        "system_no": system_no,
        "opens": times.opens_clock[row],
        "ends": times.ends_clock[row],
        "batches": sizes.batches[row],
        "bags_each": sizes.bags_each[row],
        "bags": sizes.bags_all[row],
        "water_least": value(system.water_least) * sizes.bags_each[row],
        "water_most": value(system.water_most) * sizes.bags_each[row],
        "colour_row": colour_row,
        "coats": coats,
        # Every batch of every coat gets the same, for every batch must match.
        "pigment": at(layers.rate, colour_row) * sizes.batch_area[row] * ratio(at(layers.coats_used, colour_row), coats),
        "width": sizes.width[row],
        "ribbon": sizes.ribbon[row],
        "ribbons": sizes.ribbons[row],
        "strips": sizes.strips[row],
        "keep_under": limits.widest_bay[row],
        "trowel_within": limits.trowel_limit[row],
        "batch_row": sizes.first_row[row],
        "second_begins": begins,
        "second_closes": closes,
        "second_from": clock_of(begins),
        "second_to": clock_of(closes),
        "hands": layout.hands.crew_size[row],
    }


def make_day_sheet(job: Job, plan: Plan, layers: Layers) -> tuple[DayRanks, Day, DayPours]:
    """Write the day sheet of the visit that it is for."""
    ranks, day = make_day_ranks(plan), make_day(job, plan)
    return ranks, day, make_day_pours(job, plan, ranks, day, layers)
