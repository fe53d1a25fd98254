"""Pour plan: the day and clock of each pour, and its batches by the clock."""
# ruff: noqa: RUF009 - figure() returns an attrs field, which is no default that records would share

from __future__ import annotations

from typing import TYPE_CHECKING, ClassVar

import attrs

from sheetgen.engine.batch_line import BatchLine, plan_batches
from sheetgen.engine.blocks.job_clock import clock_of, day_of, job_minute
from sheetgen.engine.blocks.pour_sizes import NO_CLOCK
from sheetgen.engine.blocks.table import Row, flag, table
from sheetgen.engine.missing import MISSING, given, known, larger, sixth, value
from sheetgen.engine.totals import Column
from sheetgen.engine.values import figure

if TYPE_CHECKING:
    from sheetgen.engine.blocks.pour_hands import PourHands
    from sheetgen.engine.blocks.pour_limits import PourLimits
    from sheetgen.engine.blocks.pour_sizes import PourAsked, PourSizes
    from sheetgen.engine.blocks.pour_zones import PourZones
    from sheetgen.engine.inputs import Job


@attrs.frozen(kw_only=True)
class PourTimes:
    """When each pour opens and ends."""

    block: ClassVar[str] = "pours"
    over: ClassVar[str | None] = "pours"
    scenario: ClassVar[bool] = False

    before_day: Column = figure("count")
    before_coat: Column = figure("no")
    before_zone: Column = figure("no")
    rests: Column = figure("count")
    day_no: Column = figure("count")
    opens_used: Column = figure("clock")
    opens_asked: Column = figure("minute")
    light_ends: Column = figure("minute")
    fault: Column = figure("no")
    faulty: Column = figure("count")
    hands_free: Column = figure("minute")
    opening: Column = figure("minute")
    trowel_run: Column = figure("minute")
    trowel_free: Column = figure("minute")
    last_placed: Column = figure("minute")
    last_trowelled: Column = figure("minute")
    second_done: Column = figure("minute")
    end: Column = figure("minute")
    length: Column = figure("minute")
    is_longest: Column = figure("count")
    opens_clock: Column = figure("clock")
    ends_clock: Column = figure("clock")
    end_day: Column = figure("count")


@attrs.frozen(kw_only=True)
class Layout:
    """What is known of pours before their clock."""

    zones: PourZones
    hands: PourHands
    asked: PourAsked
    sizes: PourSizes
    limits: PourLimits


@attrs.frozen(kw_only=True)
class PouredBatches:
    """The times of pours and their batches.

    Parameters
    ----------
    times : PourTimes
        Of each pour.
    runs : tuple of BatchLine or None
        The batches of each pour, counted from its opening; none where it has no batches.
    lines : tuple of BatchLine or None
        The same by the clock of the job; none where its opening is not known either.
    """

    times: PourTimes
    runs: tuple[BatchLine | None, ...]
    lines: tuple[BatchLine | None, ...]


def make_pour_times(job: Job, layout: Layout, first_day: float) -> PouredBatches:
    """Give each pour its day, and open it when it is asked for and the trowel hands of those before are free."""
    rows: list[Row] = []
    runs: list[BatchLine | None] = []
    lines: list[BatchLine | None] = []
    begun = [known(started) for started in layout.zones.started]
    for row, is_begun in enumerate(begun):
        run = _run(layout, row, 0.0) if is_begun and known(layout.sizes.batches[row]) else None
        runs.append(run)
        if not is_begun:
            rows.append({})
            lines.append(None)
            continue
        above = [at for at in range(row) if begun[at]]
        figures = _day(job, layout, rows, row, above, first_day)
        frees = [rows[at].get("trowel_free", MISSING) for at in above]
        figures |= {"hands_free": max((free for free in frees if known(free)), default=0.0)}
        if run is not None:
            figures["trowel_run"] = run.last_trowelled
        opening = larger(figures["opens_asked"], figures["hands_free"]) if all(map(known, frees)) else MISSING
        line = None
        if figures["fault"] == 0:
            figures |= {"opening": opening, "opens_clock": clock_of(opening)}
            line = _run(layout, row, opening) if known(opening) else None
            figures |= _times(line) if line else {}
        rows.append(figures)
        lines.append(line)
    _mark_longest(rows)
    return PouredBatches(times=table(PourTimes, rows), runs=tuple(runs), lines=tuple(lines))


def _day(job: Job, layout: Layout, rows: list[Row], row: int, above: list[int], first_day: float) -> Row:
    """Return the day of a pour, the clock that it is asked for, and what is wrong with it."""
    pour, zones = job.pours[row], layout.zones
    found: Row = {}
    follows = first_day
    if above:
        before = above[-1]
        coat, coat_before = zones.coat_no[row], zones.coat_no[before]
        # The next coat of a zone waits for the next day.
        pair = (zones.zone_no[before], zones.zone_no[row])
        rests = flag(holds=pair[0] == pair[1] and coat > 1 and coat_before < coat) if known(sum(pair)) else MISSING
        found = {
            "before_day": rows[before]["day_no"],
            "before_coat": coat_before,
            "before_zone": zones.zone_no[before],
            "rests": rests,
        }
        follows = rows[before]["day_no"] + (rests if known(rests) else 0.0)
    day_no, opens = given(pour.day, follows), given(pour.opens, value(job.crew.opens))
    asked = job_minute(day_no, opens)
    early = layout.asked.early_fault[row]
    fault = early if early != 0 else 0.0 if known(asked) else NO_CLOCK
    return found | {
        "day_no": day_no,
        "opens_used": opens,
        "opens_asked": asked,
        "light_ends": job_minute(day_no, value(job.crew.latest)),
        "fault": fault,
        "faulty": flag(holds=fault > 0) if known(fault) else MISSING,
    }


def _run(layout: Layout, row: int, opening: float) -> BatchLine | None:
    """Plan the batches of a pour from an opening on; none where no clock reaches that far, or there are less than none."""
    hands, pace = layout.hands.hands_at(row), layout.hands.pace_at(row)
    if hands is None or pace is None or layout.sizes.batches[row] < 0:
        return None
    try:
        return plan_batches(
            layout.sizes.batches[row],
            layout.hands.minutes_at(row),
            hands,
            pace=pace,
            opening_min=opening,
            second_wait_min=layout.limits.earliest[row],
        )
    except OverflowError:
        return None


def _times(line: BatchLine) -> Row:
    return {
        "trowel_free": line.last_trowelled,
        "last_placed": line.last_placed,
        "last_trowelled": line.last_trowelled,
        "second_done": float(line.second_end.max(initial=line.opening)),
        "end": line.end,
        "length": sixth(line.end - line.opening),
        "ends_clock": clock_of(line.end),
        "end_day": day_of(line.end),
    }


def _mark_longest(rows: list[Row]) -> None:
    """Mark the longest pour, the first of equals, where any has a length."""
    lengths = [row.get("length", MISSING) for row in rows]
    longest = max((length for length in lengths if known(length)), default=MISSING)
    for number, (row, length) in enumerate(zip(rows, lengths, strict=True)):
        if known(length):
            row["is_longest"] = flag(holds=lengths.index(longest) == number)
