"""How fast rates are tuned, as a ratio to one pandas groupby over the same table in the same run.

Run with ``pytest -m benchmark -s tests/benchmarks``: prints a table. Nothing here fails because a machine is slow.
"""

from __future__ import annotations

import gc
import statistics
import time
import tracemalloc
from collections.abc import Callable

import numpy as np
import pandas as pd
import pytest

from sheetgen.engine.tuning import tuned
from sheetgen.engine.tuning.past import Past

pytestmark = pytest.mark.benchmark
JOBS, TASKS = 10_000, 20
REPEATS = 9


@pytest.fixture(scope="module")
def frame() -> pd.DataFrame:
    """Return the table as ``sheetgen.read`` would: names of tasks, and figures."""
    dice = np.random.default_rng(7)
    job, task = np.repeat(np.arange(JOBS), TASKS), np.tile(np.arange(TASKS), JOBS)
    rest = 2.5 * np.exp(0.6 * dice.normal(size=len(job)))
    logs = 0.15 * dice.normal(size=JOBS)[job] + 0.25 * dice.normal(size=len(job))
    reckoned = rest + 0.5
    return pd.DataFrame(
        {
            "job": job, "task": pd.array([f"Task {number:02d}" for number in task], dtype="string"), "set_up": 0.5,
            "reckoned": reckoned, "actual": reckoned * np.exp(logs), "ratio": np.exp(logs),
        }
    )  # fmt: skip


def bare(frame: pd.DataFrame) -> pd.DataFrame:
    """What a script would do by hand: count, mean, scatter and middle of the ratio of each task."""
    return frame.groupby("task")["ratio"].agg(["count", "mean", "std", "median"])


def ours(frame: pd.DataFrame) -> tuned.Tuned:
    """Tune, names to numbers included; the back-test is not."""
    number, names = pd.factorize(frame["task"])
    return tuned.tune(
        Past(
            job=frame["job"], task=number, actual=frame["actual"], reckoned=frame["reckoned"], set_up=frame["set_up"], jobs=JOBS,
            tasks=len(names),
        )
    )  # fmt: skip


def test_tuning_ten_thousand_jobs(frame: pd.DataFrame, table: list[str]) -> None:
    taken = _interleaved({"ours": lambda: ours(frame), "bare": lambda: bare(frame)})
    label = f"tune {JOBS:,} jobs of {TASKS} tasks / one pandas groupby"
    table.append(f"{label:<72}{taken['ours'] * 1e3:>9.1f} ms{taken['bare'] * 1e3:>9.1f} ms{taken['ours'] / taken['bare']:>8.2f}{'10':>9}")

    assert ours(frame).jobs.sum() == bare(frame)["count"].sum() == JOBS * TASKS


def test_what_tuning_holds(frame: pd.DataFrame, table: list[str]) -> None:
    """Bytes held at the most for each row: the same for a tenth of the jobs."""
    most = {}
    for share in (10, 1):
        part = frame[frame["job"] < JOBS // share]
        tracemalloc.start()
        ours(part)
        most[share] = tracemalloc.get_traced_memory()[1] / len(part)
        tracemalloc.stop()
    table.append(f"{'bytes held for each row, 10,000 jobs / 1,000 jobs':<72}{most[1]:>10.0f} B{most[10]:>10.0f} B{most[1] / most[10]:>8.2f}{'-':>9}")


def _interleaved(runs: dict[str, Callable[[], object]]) -> dict[str, float]:
    """Return the median time of each [s]; taken in turn, so that a slow spell of the machine falls on all."""
    taken: dict[str, list[float]] = {name: [] for name in runs}
    for _ in range(REPEATS):
        for name, run in runs.items():
            gc.collect()
            began = time.perf_counter()
            run()
            taken[name].append(time.perf_counter() - began)
    return {name: statistics.median(times) for name, times in taken.items()}
