"""Reconcile the books of a folder and print the peak of memory after each of some numbers of books [MiB].

Run in a process of its own, because a peak never falls: ``python memory.py FOLDER PROCESSES 20 200``. A line is
``books seconds MiB MiB``: the seconds since the start, the peak of this process, and that of its largest worker, which is 0
where there is none.
"""

from __future__ import annotations

import multiprocessing
import resource
import sys
import time
from pathlib import Path

from sheetgen.reconcile import reconcile
from sheetgen.sources import workbooks


def peak_mib(process: int | str = "self") -> float:
    """Return the largest resident set of a process so far [MiB]."""
    status = Path(f"/proc/{process}/status")
    if status.exists():
        # What getrusage says here on Linux includes the process that started this one.
        line = next(line for line in status.read_text().splitlines() if line.startswith("VmHWM:"))
        return float(line.split()[1]) / 1024
    size = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss
    return size / (1024**2 if sys.platform == "darwin" else 1024)


def main(folder: str, processes: str, *marks: str) -> None:
    """Print a line at each mark, and one before and one after all."""
    wanted = {int(mark) for mark in marks}
    began = time.perf_counter()
    done = 0

    def tell() -> None:
        workers = [peak_mib(one.pid) for one in multiprocessing.active_children() if one.pid is not None]
        print(done, time.perf_counter() - began, peak_mib(), max(workers, default=0.0), flush=True)

    def told(_: Path) -> None:
        nonlocal done
        done += 1
        if done in wanted:
            tell()

    tell()
    paths = workbooks([Path(folder)])
    compared = reconcile(paths, each=told, processes=int(processes))
    if compared.books != len(paths):
        sys.exit(f"{len(paths) - compared.books} of {len(paths)} books were not read: {compared.findings[0].line()}")


if __name__ == "__main__":
    main(*sys.argv[1:])
