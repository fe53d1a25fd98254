"""Work on files of other people in worker processes: each file has so much time and memory, and none can end the run."""

from __future__ import annotations

import heapq
import multiprocessing
import os
import pickle
import signal
import sys
import threading
import time
from multiprocessing.connection import Connection, wait
from pathlib import Path
from typing import TYPE_CHECKING, Any, Final, Generic, TypeVar

import attrs

from sheetgen.findings import Finding, Refused, Severity
from sheetgen.terminal import place_of

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator, Sequence

Answer = TypeVar("Answer")
# Below this one worker reads them all: starting more takes longer than they save.
FEW: Final = 12
# Each worker holds the libraries and one compiled template, about 110 MiB.
_MOST: Final = 8
# How long a worker may take to start on a machine that is busy [s].
_START_S: Final = 120.0
_KIBIBYTE: Final = 1024


@attrs.frozen
class Allowance:
    """What reading one file may take.

    Parameters
    ----------
    seconds : float
        Time; the largest book that the gate lets through takes a tenth of it [s].
    memory : int
        Memory above what the worker holds before it reads the file; watched on Linux only [byte].
    """

    seconds: float = 120.0
    memory: int = 1024 * _KIBIBYTE * _KIBIBYTE


ALLOWANCE: Final = Allowance()


def cores() -> int:
    """Return how many processes may work at once on this machine [count]."""
    if hasattr(os, "sched_getaffinity"):
        return min(len(os.sched_getaffinity(0)), _MOST)
    return min(os.cpu_count() or 1, _MOST)


def in_order(
    work: Callable[[Path], Answer],
    paths: Sequence[Path],
    processes: int,
    lost: Callable[[Path, Finding], Answer],
    allowance: Allowance = ALLOWANCE,
) -> Iterator[Answer]:
    """Yield the answer to each file, in order, as they come.

    Parameters
    ----------
    work : callable
        A function of a module: workers find it by its name.
    paths : sequence of Path
        What it is asked.
    processes : int
        How many may work at once; with 0 this process does the work itself, and nothing watches over it [count].
    lost : callable
        Returns the answer for a file whose worker had to be ended, from the file and the finding that says why.
    allowance : Allowance
        What one file may take.

    Yields
    ------
    Answer
        What `work` returns for the file.

    Raises
    ------
    Refused
        No worker can be started.
    """
    if processes < 1:
        yield from map(work, paths)
        return
    crew = _Crew(work, allowance, lost)
    try:
        yield from crew.answers(paths, processes if len(paths) >= FEW else 1)
    finally:
        crew.end()


@attrs.define(eq=False)
class _Worker:
    """One process, and the file that it has in hand."""

    process: Any
    line: Connection
    deadline: float
    at: int | None = None
    ready: bool = False

    def end(self) -> int | None:
        """End the process, whatever it does; return how it ended."""
        self.process.kill()
        self.process.join()
        self.line.close()
        code: int | None = self.process.exitcode
        return code


class _Crew(Generic[Answer]):
    """The workers of one run."""

    def __init__(self, work: Callable[[Path], Answer], allowance: Allowance, lost: Callable[[Path, Finding], Answer]) -> None:
        self._work = work
        self._allowance = allowance
        self._lost = lost
        self._workers: list[_Worker] = []
        # Started anew instead of forked: the same on every system, and no lock of this process is copied held.
        self._context = multiprocessing.get_context("spawn")

    def answers(self, paths: Sequence[Path], processes: int) -> Iterator[Answer]:
        """Yield the answers in the order of the files."""
        waiting = list(range(len(paths)))[::-1]
        done: list[tuple[int, Answer]] = []
        due = 0
        while due < len(paths):
            while len(self._workers) < processes and sum(worker.at is None for worker in self._workers) < len(waiting):
                self._start()
            for worker in self._workers:
                if worker.ready and worker.at is None and waiting:
                    self._hand(worker, waiting.pop(), paths)
            for at, answer in self._heard(paths):
                heapq.heappush(done, (at, answer))
            while done and done[0][0] == due:
                yield heapq.heappop(done)[1]
                due += 1

    def end(self) -> None:
        """End every worker."""
        while self._workers:
            self._workers.pop().end()

    def _start(self) -> None:
        ours, theirs = self._context.Pipe()
        process = self._context.Process(target=_serve, args=(theirs, self._work, self._allowance.memory), daemon=True)
        process.start()
        theirs.close()
        self._workers.append(_Worker(process, ours, time.monotonic() + _START_S))

    def _hand(self, worker: _Worker, at: int, paths: Sequence[Path]) -> None:
        worker.at = at
        worker.deadline = time.monotonic() + self._allowance.seconds
        try:
            worker.line.send(paths[at])
        except OSError:
            return  # it has ended: what it says next is nothing, and that is heard

    def _heard(self, paths: Sequence[Path]) -> Iterator[tuple[int, Answer]]:
        """Wait until something happens, and yield what is answered."""
        watched = [worker for worker in self._workers if worker.at is not None or not worker.ready]
        patience = max(0.0, min(worker.deadline for worker in watched) - time.monotonic())
        speaking = set(wait([worker.line for worker in watched], patience))
        for worker in watched:
            if worker.line in speaking:
                yield from self._hear(worker, paths)
            elif worker.deadline <= time.monotonic():
                seconds = self._allowance.seconds
                yield from self._dismiss(worker, paths, "worker-time", f"took longer than {seconds:g} s and was given up")

    def _hear(self, worker: _Worker, paths: Sequence[Path]) -> Iterator[tuple[int, Answer]]:
        try:
            word, said = worker.line.recv()
        except (EOFError, OSError):
            yield from self._dismiss(worker, paths, "worker-ended", "the process that read it was ended")
            return
        at = worker.at
        if word == "fault":
            raise said
        if word == "memory":
            what = f"needs more than {self._allowance.memory // _KIBIBYTE // _KIBIBYTE:,} MiB of memory"
            yield from self._dismiss(worker, paths, "worker-memory", what)
            return
        worker.at = None
        if word == "ready":
            worker.ready = True
        elif at is not None:
            yield at, said

    def _dismiss(self, worker: _Worker, paths: Sequence[Path], code: str, what: str) -> Iterator[tuple[int, Answer]]:
        self._workers.remove(worker)
        ended = worker.end()
        if worker.at is None:
            raise Refused(
                [Finding("worker-start", Severity.ERROR, "sheetgen", "a worker process could not be started",
                         'in a script, keep your own work under if __name__ == "__main__":, or ask for 0 processes')]
            )  # fmt: skip
        path = paths[worker.at]
        if code == "worker-ended":
            what += f", perhaps for want of memory (exit code {ended})"
        mend = "leave it out, or open it in a spreadsheet program and save it again"
        yield worker.at, self._lost(path, Finding(code, Severity.ERROR, path.name, what, mend))


def _serve(line: Connection, work: Callable[[Path], Any], memory: int) -> None:
    """Answer one file after the other, in a process of its own."""
    # What a library prints while it breaks down helps nobody; a fault of ours is sent.
    os.dup2(os.open(os.devnull, os.O_WRONLY), 2)
    # An interrupt is left to the process that started this one; when that is gone, so is this one.
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    threading.Thread(target=_leave_with_parent, daemon=True).start()
    line.send(("ready", None))
    while True:
        try:
            path = line.recv()
        except EOFError:
            return
        try:
            _bound(memory)
            answer = ("answer", work(path))
        except MemoryError:
            answer = ("memory", None)
        except BaseException as error:  # noqa: BLE001 - told to the process that asked, which raises it
            answer = ("fault", _told(error))
        finally:
            _bound(0)
        line.send(answer)


def _bound(memory: int) -> None:
    """Let this process take so much more memory than it has [byte]; with 0, as much as the system gives."""
    if sys.platform != "linux":
        return
    import resource

    _, most = resource.getrlimit(resource.RLIMIT_AS)
    limit = most
    if memory:
        held = int(Path("/proc/self/statm").read_text(encoding="ascii").split()[0]) * resource.getpagesize()
        limit = held + memory if most == resource.RLIM_INFINITY else min(held + memory, most)
    resource.setrlimit(resource.RLIMIT_AS, (limit, most))


def _told(error: BaseException) -> BaseException:
    """Return an error that can be sent to another process, with the place in which it arose."""
    error.add_note(place_of(error))
    try:
        pickle.loads(pickle.dumps(error))  # noqa: S301 - our own
    except Exception:  # noqa: BLE001 - whatever it is, its text can be sent
        plain = RuntimeError(f"{type(error).__name__}: {error}")
        plain.add_note(place_of(error))
        return plain
    return error


def _leave_with_parent() -> None:
    parent = multiprocessing.parent_process()
    assert parent is not None
    parent.join()
    os._exit(1)
