"""Charts of the chosen pour: its batches as bars, and who is busy when."""
# ruff: noqa: RUF009 - figure() returns an attrs field, which is no default that records would share

from __future__ import annotations

from itertools import pairwise
from typing import TYPE_CHECKING, ClassVar, Final

import attrs

from sheetgen.engine.blocks.table import Row, table
from sheetgen.engine.missing import MISSING, known, sixth
from sheetgen.engine.totals import Column
from sheetgen.engine.values import figure

if TYPE_CHECKING:
    from sheetgen.engine.batch_line import BatchLine
    from sheetgen.engine.blocks.chosen import Chosen

BARS: Final = 40
MOMENTS: Final = 60
_BARS: Final = ("lead", "mix", "hold_1", "place", "hold_2", "trowel", "hold_3", "second")
_BOUNDS: Final = tuple(f"{part}_{edge}" for part in ("mix", "place", "trowel", "second") for edge in ("start", "end"))
_STAGES: Final = {"mixing": "mix", "placing": "place", "trowelling": "trowel", "second": "second"}


@attrs.frozen(kw_only=True)
class Schedule:
    """The first batches of the chosen pour, part after part."""

    block: ClassVar[str] = "schedule"
    over: ClassVar[str | None] = "schedule"
    scenario: ClassVar[bool] = False

    batch: Column = figure("no")
    row: Column = figure("no")
    lead: Column = figure("minute")
    mix: Column = figure("minute")
    hold_1: Column = figure("minute")
    place: Column = figure("minute")
    hold_2: Column = figure("minute")
    trowel: Column = figure("minute")
    hold_3: Column = figure("minute")
    second: Column = figure("minute")


@attrs.frozen(kw_only=True)
class BusyHands:
    """How many batches are in each stage, moment by moment."""

    block: ClassVar[str] = "hands"
    over: ClassVar[str | None] = "hands"
    scenario: ClassVar[bool] = False

    point: Column = figure("no")
    elapsed: Column = figure("minute")
    at: Column = figure("minute")
    mixing: Column = figure("count")
    placing: Column = figure("count")
    trowelling: Column = figure("count")
    second: Column = figure("count")


def make_schedule(chosen: Chosen, line: BatchLine | None) -> Schedule:
    """Cut each batch into the parts of its bar; beyond the last batch they have no length."""
    batches = chosen.batches if known(chosen.first_row) else 0.0
    rows: list[Row] = []
    for batch in range(BARS):
        row: Row = {"batch": batch + 1.0}
        if batch >= batches:
            row |= dict.fromkeys(_BARS, 0.0)
        else:
            row |= {"row": chosen.first_row + batch} | (_bar(line, batch) if line else {})
        rows.append(row)
    return table(Schedule, rows)


def _bar(line: BatchLine, batch: int) -> Row:
    at = [line.opening, *(float(getattr(line, bound)[batch]) for bound in _BOUNDS)]
    parts = [sixth(until - since) for since, until in pairwise(at)]
    if line.minutes.second == 0:
        parts[-2:] = [0.0, 0.0]
    return dict(zip(_BARS, parts, strict=True))


def make_busy_hands(line: BatchLine | None) -> BusyHands:
    """Count the batches in each stage at equal steps from the opening of the pour to its end."""
    length = MISSING if line is None else sixth(line.end - line.opening)
    rows: list[Row] = []
    for step in range(MOMENTS):
        row: Row = {"point": step + 1.0}
        if line is not None and known(length):
            elapsed = sixth(length * step / (MOMENTS - 1))
            moment = sixth(line.opening + elapsed)
            row |= {"elapsed": elapsed, "at": moment} | {name: _busy(line, part, moment) for name, part in _STAGES.items()}
        rows.append(row)
    return table(BusyHands, rows)


def _busy(line: BatchLine, part: str, moment: float) -> float:
    """Count the batches in one stage at a moment [count]."""
    return float(((getattr(line, f"{part}_start") <= moment) & (moment < getattr(line, f"{part}_end"))).sum())
