"""TEXT in Python and in IronCalc: the closed set of formats, for numbers from 0 up with no more digits than the format.

IronCalc 0.9.1 rounds twice in TEXT (0.4445 with two digits is 0.45) and writes TEXT(-1, "0") as 1.
"""

from __future__ import annotations

import tempfile
from pathlib import Path

from hypothesis import given, settings
from hypothesis import strategies as st
from minibook import Mini, block

from sheetgen.book.functions import TEXT_FORMATS

WHOLE = sorted(TEXT_FORMATS - {"yyyy-mm-dd", "hh:mm"})
COUNT = 40


def compared(numbers: list[float], forms: list[str]) -> list[tuple[float, str, object, object]]:
    """Return (number, format, Python's text, IronCalc's text) where they differ."""
    with tempfile.TemporaryDirectory() as folder:
        columns = [f'form_{n}: text ~ TEXT(a, "{form}")' for n, form in enumerate(forms)]
        book = Mini(Path(folder)).sums(block("x", "rows", "a: number", *columns, rows=len(numbers))).recalculated(
            {("x.a", n): number for n, number in enumerate(numbers)}
        )
    pairs = [
        (number, form, book.shown(f"x.form_{n}", record), book.value(f"x.form_{n}", record))
        for record, number in enumerate(numbers)
        for n, form in enumerate(forms)
    ]
    return [pair for pair in pairs if pair[2] != pair[3]]


@settings(max_examples=5, deadline=None)
@given(st.lists(st.integers(0, 10_000_000), min_size=COUNT, max_size=COUNT), st.integers(0, 3))
def test_rounded_numbers_are_written_alike(counts: list[int], digits: int) -> None:
    forms = [form for form in WHOLE if len(form.rstrip("%").partition(".")[2]) + (2 if form.endswith("%") else 0) >= digits]

    assert compared([count / 10**digits for count in counts], forms) == []


def test_days_are_written_alike() -> None:
    assert compared([36526.0, 46082.0, 46082.75, 73050.0, 60.0, 61.0], ["yyyy-mm-dd"]) == []
