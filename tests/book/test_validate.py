"""Each input has a rule with a message and stop bounds, in the units of the book."""

from __future__ import annotations

import datetime as dt

import pytest
from minibook import Mini, block

from sheetgen.book.compile import shipped
from sheetgen.book.plan import Plan
from sheetgen.book.validate import FIRST_DAY, LAST_DAY, MOST_NUMBER, MOST_TEXT, bounds, rule

LINES = (
    'free: length; message = "How long."', "near: length; least = 1; most = { us = 40, metric = 12 }", "part: share", "half: share; most = 0.5",
    "cold: temperature; least = { us = -40, metric = -30 }; most = { us = 140, metric = 60 }", "name: text", "day: date", "kind: text in states",
    "who: text in t.name",
)  # fmt: skip


def rule_of(mini: Mini, name: str, system: str = "us") -> dict[str, object]:
    plan = mini.sums(block("f", "fields", *LINES), block("t", "rows", "name: text", rows=2)).plan(system)
    field = plan.book.blocks["f"].field(name)
    assert field is not None
    return rule(field, plan, "C7")


@pytest.mark.parametrize(
    ("name", "system", "between", "words"),
    [
        ("free", "us", (0.0, MOST_NUMBER), "A number, 0 to 1,000,000,000 ft."),
        ("near", "us", (1.0, 40.0), "A number, 1 to 40 ft."),
        ("near", "metric", (1.0, 12.0), "A number, 1 to 12 m."),
        ("part", "us", (0.0, 1.0), "A number, 0 % to 100 %."),
        ("half", "us", (0.0, 0.5), "A number, 0 % to 50 %."),
        ("cold", "us", (-40.0, 140.0), "A number, -40 to 140 °F."),
        ("cold", "metric", (-30.0, 60.0), "A number, -30 to 60 °C."),
    ],
)
def test_numbers(mini: Mini, name: str, system: str, between: tuple[float, float], words: str) -> None:
    found = rule_of(mini, name, system)

    assert (found["validate"], found["criteria"], found["minimum"], found["maximum"]) == ("decimal", "between", *between)
    assert (found["error_message"], found["error_type"], found["ignore_blank"]) == (words, "stop", True)


def test_words_dates_and_choices(mini: Mini) -> None:
    assert [rule_of(mini, name)["validate"] for name in ("name", "day", "kind")] == ["length", "date", "list"]
    assert rule_of(mini, "name")["value"] == MOST_TEXT
    assert (rule_of(mini, "day")["minimum"], rule_of(mini, "day")["maximum"]) == (FIRST_DAY, LAST_DAY) == (dt.date(2000, 1, 1), dt.date(2099, 12, 31))
    assert (rule_of(mini, "kind")["source"], rule_of(mini, "who")["source"]) == ("=list_states", "=list_t_name")
    assert rule_of(mini, "free")["input_message"] == "How long."


@pytest.mark.parametrize("kind", ["bid", "cost", "rates"])
@pytest.mark.parametrize("system", ["us", "metric"])
def test_shipped_inputs_have_a_message_that_fits_and_bounds_in_order(kind: str, system: str) -> None:
    plan = Plan(shipped(kind), system)

    for owner, field in plan.entered():
        made = rule(field, plan, "C7")
        assert made["input_title"], field.name
        assert made["input_message"] == field.message, f"{owner.name}.{field.name} is cut off"
        assert len(made["error_message"]) <= 255
        if field.unit not in {"text", "code", "date"} and field.kind != "choice":
            least, most = bounds(field, plan)
            assert least < most, field.name
            default = field.default.get(system)
            assert default is None or least <= float(default) <= most, field.name


def test_a_choice_of_a_list_that_is_not_there_is_a_finding(mini: Mini) -> None:
    mini.sums(block("f", "fields", "kind: text in nothing"))

    assert len(mini.codes()) == 1
