"""Days as spreadsheets count them, with the leap day of 1900 that never was."""

import datetime as dt

import pytest
from hypothesis import given
from hypothesis import strategies as st

from sheetgen.reader.serial import from_serial, to_serial


@pytest.mark.parametrize(
    ("serial", "date1904", "day"),
    [
        (1, False, (1900, 1, 1)),
        (59, False, (1900, 2, 28)),
        (61, False, (1900, 3, 1)),
        (46112, False, (2026, 3, 31)),
        (2_958_465, False, (9999, 12, 31)),
        (0, True, (1904, 1, 1)),
        (44650, True, (2026, 3, 31)),
        (2_957_003, True, (9999, 12, 31)),
    ],
)
def test_days_as_excel_counts_them(serial, date1904, day):
    moment = dt.datetime(*day)  # noqa: DTZ001 - sheets know no zone

    assert from_serial(serial, date1904=date1904) == moment
    assert to_serial(moment, date1904=date1904) == serial


@pytest.mark.parametrize(
    ("serial", "date1904"),
    [(0, False), (0.5, False), (-1, False), (60, False), (60.5, False), (2_958_466, False), (2_958_465.999999, False), (1e300, False),
     (-1, True), (2_957_004, True), (float("nan"), False), (float("inf"), True)],
)  # fmt: skip
def test_numbers_that_are_no_day(serial, date1904):
    assert from_serial(serial, date1904=date1904) is None


@given(st.datetimes(min_value=dt.datetime(1900, 1, 1)), st.booleans())  # noqa: DTZ001 - sheets know no zone
def test_a_moment_survives_its_serial(moment, date1904):
    if date1904 and moment.year < 1904:
        return
    moment = moment.replace(microsecond=0)
    assert from_serial(to_serial(moment, date1904=date1904), date1904=date1904) == moment
