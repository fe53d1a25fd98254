"""How fast pours are planned, as ratios to one plain NumPy pass over the same table in the same run.

Run with ``pytest -m benchmark -s tests/benchmarks``: prints a table. Nothing here fails because a machine is slow.
"""

from __future__ import annotations

import gc
import statistics
import time
from collections.abc import Callable, Iterator, Mapping

import attrs
import numpy as np
import numpy.typing as npt
import pytest

from sheetgen.engine import pour_checks
from sheetgen.engine.batch_line import BatchLine, plan_batches
from sheetgen.engine.crew import PourToStaff, steady_crew
from sheetgen.engine.hands import BatchMinutes, Hands
from sheetgen.engine.splits import SPLITS
from sheetgen.engine.trowel_hands import peak_trowel_hands, presence_h

pytestmark = pytest.mark.benchmark
POURS, BATCHES = 12, 25
MINUTES = BatchMinutes(mix=5, place=8, trowel=10, second=9)
HANDS = Hands(grouping="separate", mixers=1, placers=1, trowellers=2)
WAIT_MIN = 60.0
REPEATS, RUNS = 15, 20


@pytest.fixture(scope="module")
def table() -> Iterator[list[str]]:
    """Return the lines of the table; printed when all is measured."""
    lines: list[str] = []
    yield lines
    print("\n\n" + f"{'what':<58}{'ours':>12}{'bare':>12}{'ratio':>8}{'target':>9}")
    print(*lines, sep="\n")


def plan() -> list[BatchLine]:
    """Plan one pour after the other: each opens when the trowel hands of the one before are free."""
    lines: list[BatchLine] = []
    opening = 480.0
    for _ in range(POURS):
        lines.append(plan_batches(BATCHES, MINUTES, HANDS, opening_min=opening, second_wait_min=WAIT_MIN))
        opening = lines[-1].last_trowelled
    return lines


def bare() -> list[npt.NDArray[np.float64]]:
    """Fill the same eight columns of the same rows, each from the one before, with the batches simply in step."""
    at = 480.0 + 8.0 * np.arange(POURS * BATCHES)
    columns = []
    for minutes in (0.0, MINUTES.mix, 0.0, MINUTES.place, 0.0, MINUTES.trowel, WAIT_MIN, MINUTES.second):
        at = np.round(at + minutes, 6)
        columns.append(at)
    return columns


def checked(lines: list[BatchLine]) -> list[tuple[float, ...]]:
    """Check every pour and count its hands."""
    return [
        (
            pour_checks.first_past_working_time(line, 30),
            pour_checks.first_waiting_for_trowel(line, 3),
            pour_checks.first_dry_edge(line, 10),
            pour_checks.first_dry_end(line, 10, 6),
            peak_trowel_hands(line, lines),
            presence_h(line),
        )
        for line in lines
    ]


def test_planning_twelve_pours(table: list[str]) -> None:
    """Twelve pours of 25 batches, one after the other."""
    assert sum(line.second_end.size for line in plan()) == bare()[-1].size == POURS * BATCHES
    taken = _interleaved({"ours": plan, "bare": bare})
    table.append(_line(f"plan {POURS} pours of {BATCHES} batches", taken["ours"], taken["bare"], "20"))


def test_planning_and_checking_twelve_pours(table: list[str]) -> None:
    taken = _interleaved({"ours": lambda: checked(plan()), "bare": bare})
    table.append(_line("the same, checks and trowel hands counted too", taken["ours"], taken["bare"], "-"))


def test_all_splits_of_one_pour(table: list[str]) -> None:
    pour = PourToStaff(batches=25, minutes=MINUTES, width_ft=3, bay_across_ft=18, strips=5, earliest_min=60, latest_min=120)
    pour = attrs.evolve(pour, working_time_min=30, open_time_min=10)
    taken = _interleaved({"ours": lambda: [steady_crew(pour, split) for split in SPLITS], "bare": bare})
    table.append(_line(f"{len(SPLITS)} splits in the steady form", taken["ours"], taken["bare"], "-"))


def _interleaved(runs: Mapping[str, Callable[[], object]]) -> dict[str, float]:
    """Return the median time of each [s]; taken in turn, so that a slow spell of the machine falls on all."""
    taken: dict[str, list[float]] = {name: [] for name in runs}
    for _ in range(REPEATS):
        for name, run in runs.items():
            run()
            gc.collect()
            began = time.perf_counter()
            for _ in range(RUNS):
                run()
            taken[name].append((time.perf_counter() - began) / RUNS)
    return {name: statistics.median(times) for name, times in taken.items()}


def _line(name: str, ours: float, bare_s: float, target: str) -> str:
    return f"{name:<58}{ours * 1e6:>9.0f} µs{bare_s * 1e6:>9.0f} µs{ours / bare_s:>8.2f}{target:>9}"
