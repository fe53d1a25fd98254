"""A time of day is read as people type it."""

from __future__ import annotations

import pytest

from sheetgen.reader.cell_text import as_clock
from sheetgen.reader.raw import RawCell
from sheetgen.reader.typed_clock import read_clock


@pytest.mark.parametrize(
    ("text", "hours"),
    [("7:30", 7.5), ("07:30", 7.5), ("7.30", 7.5), ("14:00", 14), ("7 am", 7), ("7AM", 7), ("12 am", 0), ("12:15 p.m.", 12.25), ("2:15 PM", 14.25), ("00:00:30", 1 / 120)],
)
def test_times_of_day(text: str, hours: float) -> None:
    assert read_clock(text) == pytest.approx(hours / 24, abs=1e-12)


@pytest.mark.parametrize("text", ["7", "24:00", "7:60", "13 pm", "0 am", "noon", "7:3", "-1:00", "7:30 xm", "٧:30"])
def test_what_is_no_time_of_day(text: str) -> None:
    assert read_clock(text) is None


def test_a_cell_holds_a_fraction_of_a_day_or_words() -> None:
    assert as_clock(RawCell(0.3125, "number")).value == 0.3125
    assert as_clock(RawCell(" 7:30  am ", "text")).value == pytest.approx(0.3125)
    assert as_clock(RawCell(7.5, "number")).problem == "7.5 is no time of day"
    assert as_clock(RawCell("early", "text")).problem == "'early' is no time of day"
    assert as_clock(RawCell("true", "boolean")).problem == "TRUE stands where a time of day should"
