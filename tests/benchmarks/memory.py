"""Reconcile the books of a folder and print the peak of memory after each of some numbers of books [MiB].

Run in a process of its own, because a peak never falls: ``python memory.py FOLDER 20 200``.
"""

from __future__ import annotations

import resource
import sys
from pathlib import Path

from sheetgen.reconcile import reconcile, workbooks


def peak_mib() -> float:
    """Return the largest resident set so far [MiB]."""
    status = Path("/proc/self/status")
    if status.exists():
        # What getrusage says here on Linux includes the process that started this one.
        line = next(line for line in status.read_text().splitlines() if line.startswith("VmHWM:"))
        return float(line.split()[1]) / 1024
    size = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss
    return size / (1024**2 if sys.platform == "darwin" else 1024)


def main(folder: str, *marks: str) -> None:
    """Print a line ``books MiB`` at each mark, and at 0 before anything is read."""
    wanted = {int(mark) for mark in marks}
    begun = 0

    def told(path: Path) -> None:
        nonlocal begun
        if begun in wanted | {0}:
            print(begun, peak_mib(), flush=True)
        begun += 1

    compared = reconcile(workbooks([Path(folder)]), each=told)
    if compared.books != begun:
        sys.exit(f"{begun - compared.books} of {begun} books were not read: {compared.findings[0].line()}")
    print(begun, peak_mib())


if __name__ == "__main__":
    main(*sys.argv[1:])
