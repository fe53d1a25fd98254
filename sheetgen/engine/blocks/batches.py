"""Pour plan: every batch of every pour, in the rows prepared for them."""
# ruff: noqa: RUF009 - figure() returns an attrs field, which is no default that records would share

from __future__ import annotations

from typing import TYPE_CHECKING, ClassVar, Final

import attrs
import numpy as np

from sheetgen.engine.blocks.job_clock import MINUTES_PER_DAY
from sheetgen.engine.hands import SEPARATE
from sheetgen.engine.missing import MISSING, known, sixth
from sheetgen.engine.totals import Column
from sheetgen.engine.trowel_hands import hands_at
from sheetgen.engine.values import figure

if TYPE_CHECKING:
    from sheetgen.engine.batch_line import BatchLine, Times
    from sheetgen.engine.blocks.pour_times import Layout, PouredBatches
    from sheetgen.engine.inputs import Job

_PARTS: Final = ("mix", "place", "trowel", "second")
_STAGES: Final = _PARTS[:3]
_BOUNDS: Final = tuple(f"{part}_{edge}" for part in _PARTS for edge in ("start", "end"))
_PLACES: Final = 6


@attrs.frozen(kw_only=True)
class Batches:
    """The batches: what they share with their pour, their times from its opening on, and by the clock of the job."""

    block: ClassVar[str] = "batches"
    over: ClassVar[str | None] = "batches"
    scenario: ClassVar[bool] = False

    row: Column = figure("no")
    started: Column = figure("count")
    pour_no: Column = figure("no")
    batch: Column = figure("count")
    d_mix: Column = figure("minute")
    d_place: Column = figure("minute")
    d_trowel: Column = figure("minute")
    turn_mix: Column = figure("count")
    turn_place: Column = figure("count")
    turn_trowel: Column = figure("count")
    held: Column = figure("count")
    joined: Column = figure("no")
    mix_free: Column = figure("minute")
    place_free: Column = figure("minute")
    trowel_free: Column = figure("minute")
    mix_on: Column = figure("minute")
    mix_off: Column = figure("minute")
    place_on: Column = figure("minute")
    place_off: Column = figure("minute")
    trowel_on: Column = figure("minute")
    trowel_off: Column = figure("minute")
    mix_lead: Column = figure("minute")
    mix_start: Column = figure("minute")
    mix_end: Column = figure("minute")
    place_start: Column = figure("minute")
    place_end: Column = figure("minute")
    trowel_start: Column = figure("minute")
    trowel_end: Column = figure("minute")
    second_start: Column = figure("minute")
    second_end: Column = figure("minute")
    busy_from: Column = figure("minute")
    busy_to: Column = figure("minute")
    ribbon: Column = figure("count")
    strip: Column = figure("count")
    edge_before: Column = figure("minute")
    end_before: Column = figure("minute")
    ok_working: Column = figure("count")
    ok_wait: Column = figure("count")
    ok_edge: Column = figure("count")
    ok_ends: Column = figure("count")
    at: Column = figure("minute")
    again: Column = figure("minute")
    need_first: Column = figure("count")
    need_second: Column = figure("count")
    need_second_or_0: Column = figure("count")
    most_before: Column = figure("count")
    most: Column = figure("count")
    mix_clock: Column = figure("clock")
    place_clock: Column = figure("clock")
    trowel_clock: Column = figure("clock")
    second_clock: Column = figure("clock")


def make_batches(job: Job, layout: Layout, poured: PouredBatches) -> Batches:
    """List the batches of all pours one after the other; a pour without a clock has batches counted from its opening."""
    names = [one.name for one in attrs.fields(Batches)]
    columns: dict[str, list[Times]] = {name: [] for name in names}
    lines = [line for line in poured.lines if line]
    for row, batches in enumerate(layout.sizes.batches):
        if not known(batches) or batches < 0:
            continue
        own = _shared(layout, row, int(batches)) | _from_opening(layout, row, poured.runs[row])
        own |= _by_the_clock(layout, row, poured.lines[row], lines)
        for name in names:
            columns[name].append(own.get(name, np.full(int(batches), MISSING)))
    found = {name: _padded(parts, len(job.batches)) for name, parts in columns.items()}
    return Batches(**found | {"row": tuple(map(float, range(1, len(job.batches) + 1)))})


def _shared(layout: Layout, row: int, batches: int) -> dict[str, Times]:
    """Return what every batch of a pour has in common, and its place in it."""
    hands, ribbons = layout.hands, layout.sizes.ribbons[row]
    before = np.arange(batches, dtype=np.float64)
    pace = hands.pace_at(row)
    same = {"started": 1.0, "pour_no": row + 1.0, "joined": hands.grouping_no[row]}
    same |= {name: getattr(hands, name)[row] for name in ("d_mix", "d_place", "d_trowel", "turn_mix", "turn_place", "turn_trowel")}
    same["held"] = MISSING if pace is None else float(pace == "held")
    found = {name: np.full(batches, figure) for name, figure in same.items()}
    return found | {"batch": before + 1, "ribbon": before % ribbons + 1, "strip": before // ribbons + 1}


def _from_opening(layout: Layout, row: int, run: BatchLine | None) -> dict[str, Times]:
    """Return the times of the stages, joined as the hands are, from the opening of the pour on."""
    hands = layout.hands
    if run is None:
        unknown = np.full(int(layout.sizes.batches[row]), MISSING)
        return {f"{stage}_free": _turn_before(unknown, getattr(hands, f"turn_{stage}")[row]) for stage in _STAGES}
    apart = run.hands.grouping == SEPARATE
    place_on = run.place_start if apart else run.mix_start
    mix_on = run.mix_start
    if not apart and hands.pace_at(row) == "fast":
        mix_on = np.zeros_like(place_on)  # nobody mixes alone, and nothing holds the mix
    found = {"mix_on": mix_on, "place_on": place_on}
    found["mix_off"] = np.round(mix_on + hands.d_mix[row], _PLACES)
    found["place_off"] = np.round(place_on + hands.d_place[row], _PLACES)
    found["trowel_on"] = run.trowel_start if hands.d_trowel[row] != 0 else found["place_off"]
    found["trowel_off"] = np.round(found["trowel_on"] + hands.d_trowel[row], _PLACES)
    for stage in _STAGES:
        found[f"{stage}_free"] = _turn_before(found[f"{stage}_off"], getattr(hands, f"turn_{stage}")[row])
    return found | {"mix_lead": run.mix_start}


def _turn_before(ends: Times, turn: float) -> Times:
    """Return when the hand is free that takes each batch, 0 where it had none before."""
    if not known(turn):
        return np.full_like(ends, MISSING)
    free = np.zeros_like(ends)
    back = int(turn)
    if 0 < back < ends.size:
        free[back:] = ends[:-back]
    return free


def _by_the_clock(layout: Layout, row: int, line: BatchLine | None, lines: list[BatchLine]) -> dict[str, Times]:
    """Return the times of the batches by the clock of the job, how long their limits are kept, and the hands needed."""
    if line is None:
        return {}
    found = {name: getattr(line, name) for name in _BOUNDS} | {"busy_from": line.busy_from, "busy_to": line.busy_to}
    found |= {"at": line.busy_from, "again": line.second_start}
    for part in _PARTS:
        found[f"{part}_clock"] = found[f"{part}_start"] % MINUTES_PER_DAY / MINUTES_PER_DAY
    found["edge_before"] = _back(line, 1)
    found["end_before"] = _back(line, layout.sizes.ribbons[row])
    return found | _kept(layout, row, found) | _needed(layout, row, line, lines)


def _back(line: BatchLine, batches: float) -> Times:
    """Return when the batch was placed that lies so many before; for the first ones their own start, as nothing waits."""
    if not known(batches):
        return np.full_like(line.place_start, MISSING)
    before, back = line.place_start.copy(), int(batches)
    before[back:] = line.place_end[:-back]
    return before


def _kept(layout: Layout, row: int, found: dict[str, Times]) -> dict[str, Times]:
    """Tell for each batch whether it and all before it keep each limit."""
    limits = layout.limits
    waits = {
        "working": (found["place_end"] - found["mix_start"], limits.working_limit[row]),
        "wait": (found["trowel_start"] - found["place_end"], limits.trowel_limit[row]),
        "edge": (found["place_start"] - found["edge_before"], limits.open_limit[row]),
        "ends": (found["place_start"] - found["end_before"], limits.open_limit[row]),
    }
    kept = {}
    for name, (wait, limit) in waits.items():
        in_time = np.logical_and.accumulate(np.round(wait, _PLACES) <= sixth(limit)).astype(np.float64)
        in_time[np.isnan(wait)] = MISSING
        kept[f"ok_{name}"] = in_time if known(limit) else np.full_like(wait, MISSING)
    return kept


def _needed(layout: Layout, row: int, line: BatchLine, lines: list[BatchLine]) -> dict[str, Times]:
    """Count the trowel hands needed at the moments when a trowelling of each batch begins."""
    first, second = hands_at(line.busy_from, lines), hands_at(line.second_start, lines)
    again = first * 0 if layout.hands.second_used[row] == 0 else second
    most = np.maximum.accumulate(np.maximum(first, again))
    before = most * 0
    before[1:] = most[:-1]
    return {"need_first": first, "need_second": second, "need_second_or_0": again, "most_before": before, "most": most}


def _padded(parts: list[Times], rows: int) -> Column:
    """Join the parts of a column, missing in the rows that no batch needs."""
    joined = np.concatenate(parts).tolist() if parts else []
    return (*joined, *[MISSING] * (rows - len(joined)))
