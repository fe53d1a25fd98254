"""What a long run is doing just now: each step says it, and whoever listens shows it; nobody need listen."""

from __future__ import annotations

import contextlib
from contextvars import ContextVar
from typing import TYPE_CHECKING, Final

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator

_LISTENER: Final[ContextVar[Callable[[str], None] | None]] = ContextVar("listener", default=None)


def say(step: str) -> None:
    """Say what is being done from now on; nothing where it is done."""
    if (listener := _LISTENER.get()) is not None:
        listener(step)


@contextlib.contextmanager
def during(step: str) -> Iterator[None]:
    """Say what is being done, and at the end that it is done, however it ends."""
    say(step)
    try:
        yield
    finally:
        say("")


@contextlib.contextmanager
def of_books(total: int, doing: str) -> Iterator[Callable[[object], None]]:
    """Say at which of many books a step is.

    Parameters
    ----------
    total : int
        Books to come [count].
    doing : str
        What is being done with them: ``reading``.

    Yields
    ------
    callable
        To be told each book that is done.
    """
    finished = 0

    def say_next() -> None:
        which = "the book" if total == 1 else f"book {finished + 1:,} of {total:,}"
        say("" if finished == total else f"{doing} {which} …")

    def done(_: object) -> None:
        nonlocal finished
        finished += 1
        say_next()

    with during(""):
        say_next()
        yield done


@contextlib.contextmanager
def heard(listener: Callable[[str], None] | None) -> Iterator[None]:
    """Let a listener hear every step that is said meanwhile."""
    token = _LISTENER.set(listener)
    try:
        yield
    finally:
        _LISTENER.reset(token)
