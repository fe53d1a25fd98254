"""Which number formats show a date."""

import pytest

from sheetgen.reader.formats import is_date_format


@pytest.mark.parametrize(
    "code", ["yyyy-mm-dd", "m/d/yy h:mm", "[h]:mm:ss", "[$-409]d mmm yyyy", "mm:ss.0", '"on" d', "[Red]dd/mm", "h AM/PM"]
)
def test_formats_of_dates(code):
    assert is_date_format(code)


@pytest.mark.parametrize(
    "code",
    [
        "General",
        "0.00",
        "# ?/?",
        '0.0 "days"',
        "0\\d",
        "[Red]0",
        '[$$-409]#,##0.00;[Red]"dry"',
        "@",
        "0.00E+00",
        "_d0",
        '"°F"0',
        "[$USD] 0",
        "",
    ],
)
def test_formats_of_numbers(code):
    assert not is_date_format(code)
