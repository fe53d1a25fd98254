"""The stamp is read back as it was written, and refused where it is not one."""

from __future__ import annotations

import datetime as dt

import pytest
from minibook import Mini, block

from sheetgen.book.stamp import FIELDS, Stamp, texts_of

MADE = Stamp("bid", "1", "us", "ab12", dt.date(2026, 3, 1), {"areas": 200, "zones": 40})


def test_there_and_back() -> None:
    texts = MADE.texts()

    assert tuple(texts) == FIELDS
    assert texts["rows"] == "areas=200 zones=40"
    assert Stamp.read(texts) == MADE


def test_no_row_counts() -> None:
    assert Stamp.read(MADE.texts() | {"rows": " "}).rows == {}


def test_of_a_plan(mini: Mini) -> None:
    plan = mini.sums(block("t", "rows", "a: length", rows=3)).plan("metric", t=9)

    assert Stamp.of(plan, "id", dt.date(2026, 3, 1)) == Stamp("mini", "7", "metric", "id", dt.date(2026, 3, 1), {"t": 9})


@pytest.mark.parametrize("name", FIELDS)
def test_each_text_is_needed(name: str) -> None:
    texts = MADE.texts()
    del texts[name]

    with pytest.raises(ValueError, match=f"lacks {name}"):
        Stamp.read(texts)


@pytest.mark.parametrize(
    ("name", "text", "words"),
    [
        ("units", "imperial", "neither us nor metric"), ("units", "", "neither us nor metric"), ("units", "US", "neither us nor metric"),
        ("rows", "areas", "not like"), ("rows", "areas=-1", "not like"), ("rows", "areas=1,zones=2", "not like"), ("rows", "areas=1000000", "not like"),
        ("rows", "areas=1.5", "not like"), ("rows", "Areas=1", "not like"), ("rows", "areas = 1", "not like"),
        ("made_on", "1 March 2026", "isoformat"), ("made_on", "2026-02-30", "day"), ("made_on", "", "isoformat"),
    ],
)  # fmt: skip
def test_what_is_not_a_stamp(name: str, text: str, words: str) -> None:
    with pytest.raises(ValueError, match=words):
        Stamp.read(MADE.texts() | {name: text})


def test_a_long_text_goes_on_in_further_properties() -> None:
    # A property of a document holds 255 characters; a book with many row counts has more of them.
    rows = {f"table_{number}": 1000 + number for number in range(40)}
    stamp = Stamp("mini", "7", "us", "x", dt.date(2026, 3, 1), rows)

    said = stamp.properties()

    assert max(map(len, said.values())) == 255
    assert len(said) == len(stamp.texts()) + 2
    assert texts_of({**said, "Language": "en-US"}) == stamp.texts()
    assert Stamp.read(texts_of(said)) == stamp
