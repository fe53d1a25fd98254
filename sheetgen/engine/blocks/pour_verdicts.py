"""Pour plan: the checks that the batches of each pour must pass."""
# ruff: noqa: RUF009 - figure() returns an attrs field, which is no default that records would share

from __future__ import annotations

from typing import TYPE_CHECKING, ClassVar

import attrs

from sheetgen.engine import pour_checks
from sheetgen.engine.blocks.table import Row, flag, table
from sheetgen.engine.missing import MISSING, known
from sheetgen.engine.totals import Column
from sheetgen.engine.trowel_hands import hands_short, peak_trowel_hands
from sheetgen.engine.values import figure

if TYPE_CHECKING:
    from sheetgen.engine.batch_line import BatchLine
    from sheetgen.engine.blocks.pour_times import Layout, PouredBatches

# What is looked at first and last; one that is not known is nothing to look at.
_FIRST = ("first_working", "first_wait", "first_edge")
# What is mended first, by number, and the steps in which the sheet looks for it.
_MENDS = ("first_working", "first_wait", "first_edge", "first_ends", "short", "window", "late", "mixing_short")
_MENDS_FROM = {"mend_last": "late", "mend_hands": "short", "mend_edges": "first_edge", "mend_times": "first_wait"}
_LAST = ("first_ends", "short", "window", "late", "mixing_short")


@attrs.frozen(kw_only=True)
class PourVerdicts:
    """What each pour fails by: 0 for nothing, else the first batch or how many."""

    block: ClassVar[str] = "pours"
    over: ClassVar[str | None] = "pours"
    scenario: ClassVar[bool] = False

    good_working: Column = figure("count")
    good_wait: Column = figure("count")
    good_edge: Column = figure("count")
    good_ends: Column = figure("count")
    first_working: Column = figure("no")
    first_wait: Column = figure("no")
    first_edge: Column = figure("no")
    ends_met: Column = figure("no")
    first_ends: Column = figure("no")
    peak: Column = figure("count")
    short: Column = figure("count")
    late: Column = figure("count")
    looks_first: Column = figure("count")
    looks_last: Column = figure("count")
    looks: Column = figure("count")
    looking: Column = figure("count")
    mend_last: Column = figure("no")
    mend_hands: Column = figure("no")
    mend_edges: Column = figure("no")
    mend_times: Column = figure("no")
    mend_no: Column = figure("no")


def make_pour_verdicts(layout: Layout, poured: PouredBatches) -> PourVerdicts:
    """Check each pour against its limits, its hands and the daylight."""
    rows: list[Row] = []
    for row, (begun, line) in enumerate(zip(layout.zones.started, poured.lines, strict=True)):
        found: Row = {f"good_{check}": 0.0 for check in ("working", "wait", "edge", "ends")} if known(begun) else {}
        if line is not None:
            found |= _checked(layout, row, line, poured)
        seen = found | {"window": layout.limits.window[row], "mixing_short": layout.limits.mixing_short[row]}
        for name, checks in (("looks_first", _FIRST), ("looks_last", _LAST)):
            found[name] = float(sum(seen.get(check, MISSING) > 0 for check in checks))
        if known(begun):
            found |= {name: _mend(seen, first) for name, first in _MENDS_FROM.items()}
        if poured.times.fault[row] == 0:
            looks = found["looks_first"] + found["looks_last"]
            found |= {"looks": looks, "looking": flag(holds=looks > 0), "mend_no": _mend(seen, _MENDS[0])}
        rows.append(found)
    return table(PourVerdicts, rows)


def _mend(seen: Row, first: str) -> float:
    """Return the number of the first check that fails, from one of them on, 0 for none [no]."""
    numbers = range(_MENDS.index(first) + 1, len(_MENDS) + 1)
    return next((float(number) for number in numbers if seen.get(_MENDS[number - 1], MISSING) > 0), 0.0)


def _checked(layout: Layout, row: int, line: BatchLine, poured: PouredBatches) -> Row:
    limits, sizes = layout.limits, layout.sizes
    open_limit, strips = limits.open_limit[row], sizes.strips[row]
    firsts = {
        "working": pour_checks.first_past_working_time(line, limits.working_limit[row]),
        "wait": pour_checks.first_waiting_for_trowel(line, limits.trowel_limit[row]),
        "edge": pour_checks.first_dry_edge(line, open_limit),
        "ends": pour_checks.first_dry_end(line, open_limit, sizes.ribbons[row]),
    }
    peak = peak_trowel_hands(line, [one for one in poured.lines if one])
    batches = float(line.mix_start.size)
    good = {f"good_{check}": (first - 1 if first > 0 else batches) if known(first) else 0.0 for check, first in firsts.items()}
    return good | {
        "first_working": firsts["working"],
        "first_wait": firsts["wait"],
        "first_edge": firsts["edge"],
        "ends_met": firsts["ends"],
        # One strip meets no other.
        "first_ends": (firsts["ends"] if strips > 1 else 0.0) if known(strips + line.last_placed) else MISSING,
        "peak": peak,
        "short": hands_short(peak, layout.hands.trowel_hands[row]),
        "late": pour_checks.ends_late(line.end, poured.times.light_ends[row]),
    }
