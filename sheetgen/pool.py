"""Work on many files with a worker process per core; the answers come in the order of the files."""

from __future__ import annotations

import multiprocessing
import os
import signal
import threading
from concurrent.futures import ProcessPoolExecutor
from concurrent.futures.process import BrokenProcessPool
from typing import TYPE_CHECKING, Final, TypeVar

from sheetgen.findings import Finding, Refused, Severity

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator, Sequence

Item = TypeVar("Item")
Answer = TypeVar("Answer")
# Below this, starting the workers takes longer than they save.
FEW: Final = 12
# Each worker holds the libraries and one compiled template, about 110 MiB.
_MOST: Final = 8


def cores() -> int:
    """Return how many processes may work at once on this machine [count]."""
    if hasattr(os, "sched_getaffinity"):
        return min(len(os.sched_getaffinity(0)), _MOST)
    return min(os.cpu_count() or 1, _MOST)


def in_order(work: Callable[[Item], Answer], items: Sequence[Item], processes: int) -> Iterator[Answer]:
    """Yield the answer to each item, in order, as they come.

    Parameters
    ----------
    work : callable
        A function of a module: workers find it by its name.
    items : sequence
        What it is asked.
    processes : int
        How many may work at once; few items are worked on in this process [count].

    Yields
    ------
    Answer
        What `work` returns for the item.

    Raises
    ------
    Refused
        A worker was ended from outside.
    """
    if processes < 2 or len(items) < FEW:
        yield from map(work, items)
        return
    # Started anew instead of forked: the same on every system, and no lock of this process is copied held.
    context = multiprocessing.get_context("spawn")
    pool = ProcessPoolExecutor(processes, mp_context=context, initializer=_attend)
    try:
        yield from pool.map(work, items)
    except BrokenProcessPool as error:
        raise Refused(
            [Finding("worker-ended", Severity.ERROR, "sheetgen", "a worker process was ended from outside, perhaps for want of memory",
                     "close other programs, or name fewer files at a time")]
        ) from error  # fmt: skip
    finally:
        pool.shutdown(cancel_futures=True)


def _attend() -> None:
    """Leave an interrupt to the process that started this one, and do not outlive it."""
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    threading.Thread(target=_leave_with_parent, daemon=True).start()


def _leave_with_parent() -> None:
    parent = multiprocessing.parent_process()
    assert parent is not None
    parent.join()
    os._exit(1)
