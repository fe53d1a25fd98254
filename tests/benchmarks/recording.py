"""Records every call that a build makes of XlsxWriter, and makes the calls again: the bare script of the same book."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

import attrs
import pytest
import xlsxwriter

from sheetgen.book import write


@attrs.frozen
class Made:
    """The number of an object that an earlier call returned: 0 is the workbook [count]."""

    number: int


@attrs.frozen
class Call:
    """One call: on which object, which method, with what, and the number of the object it makes."""

    on: int
    method: str
    args: tuple[Any, ...]
    keywords: dict[str, Any]
    makes: int | None


@attrs.define
class Recording:
    """All calls of one book, in order.

    Parameters
    ----------
    options : dict
        Options of the workbook.
    calls : list of Call
        Every call of the workbook and of what it made.
    objects : int
        How many objects there are [count].
    """

    options: dict[str, Any] = attrs.field(factory=dict)
    calls: list[Call] = attrs.field(factory=list)
    objects: int = 1

    def replay(self, path: Path) -> None:
        """Make the same calls of plain XlsxWriter in a plain loop."""
        made: list[Any] = [xlsxwriter.Workbook(str(path), self.options)] + [None] * (self.objects - 1)
        for call in self.calls:
            args = [made[one.number] if type(one) is Made else one for one in call.args]
            result = getattr(made[call.on], call.method)(*args, **call.keywords)
            if call.makes is not None:
                made[call.makes] = result


class _Recorder:
    def __init__(self, recording: Recording, number: int, real: Any) -> None:
        self._recording = recording
        self._number = number
        self._real = real

    def __getattr__(self, method: str) -> Any:
        attribute = getattr(self._real, method)
        if not callable(attribute):
            return attribute

        def call(*args: Any, **keywords: Any) -> Any:
            result = attribute(*(one._real if isinstance(one, _Recorder) else one for one in args), **keywords)
            recording = self._recording
            # Only add_worksheet, add_format and add_chart return something that is called again.
            makes = recording.objects if method.startswith("add_") and hasattr(result, "__dict__") else None
            kept = tuple(Made(one._number) if isinstance(one, _Recorder) else one for one in args)
            recording.calls.append(Call(self._number, method, kept, keywords, makes))
            if makes is None:
                return result
            recording.objects += 1
            return _Recorder(recording, makes, result)

        return call


@contextmanager
def recorded(patch: pytest.MonkeyPatch) -> Iterator[Recording]:
    """Record the one workbook that is written in this context."""
    recording = Recording()
    ours = write._Book

    def opened(path: str, options: dict[str, Any]) -> _Recorder:
        recording.options = dict(options)
        return _Recorder(recording, 0, ours(path, options))

    with patch.context() as patched:
        patched.setattr(write, "_Book", opened)
        yield recording
