"""What the compiler writes means in IronCalc what the template says; show fields made in Python agree with it."""

from __future__ import annotations

import datetime as dt

import pytest
from minibook import Mini, block, factors

from sheetgen.book.contents import serial
from sheetgen.book.defined import defined_names
from sheetgen.book.states import check_state_formula
from sheetgen.book.template import SCENARIOS

TYPED = ["=SUM(A1)", "+1", "@home", ">5", "a*", "what?", "a~b", "abc", "Main Hall", "5", "~", "*", "''quoted", "-x", "a\\b", "<>", 'say "hi"']


def test_typed_names_are_matched_exactly(mini: Mini) -> None:
    """No typed name is read as a formula, a criterion or a pattern: ``a*`` does not find ``abc``."""
    count = len(TYPED)
    mini.sums(block("x", "rows", "name: text", "asked: text", "found: no = match(asked, x.name)", rows=count + 4))
    asked = {("x.asked", number): text for number, text in enumerate(reversed(TYPED))}
    asked |= {("x.asked", count): "  main hall ", ("x.asked", count + 1): "A?C", ("x.asked", count + 2): "abcd"}

    book = mini.recalculated(asked | {("x.name", number): text for number, text in enumerate(TYPED)})

    assert book.column("x.found") == [*(float(count - n) for n in range(count)), float(TYPED.index("Main Hall") + 1), None, None, None]


def test_rows_that_are_not_blank_are_counted(mini: Mini) -> None:
    """A blank of a formula is no value, nor is a cell that nobody filled."""
    mini.sums(
        block("x", "rows", "kind: count", "a: money", "twice: money = a + a", rows=4),
        block("t", "fields", 'typed: count = SUMPRODUCT((x.kind = 1) * (x.a <> ""))', 'sum: money = SUMPRODUCT((x.twice <> "") * 1, x.a)'),
    )
    book = mini.recalculated({("x.kind", 0): 1.0, ("x.a", 0): 5.0, ("x.kind", 1): 1.0, ("x.kind", 2): 2.0, ("x.a", 2): 7.0})

    assert (book.value("t.typed"), book.value("t.sum")) == (1, 12)


def test_looking_back_agrees_with_a_series_by_hand(mini: Mini) -> None:
    mini.sums(
        block(
            "x", "rows", "add: count", "gain: count = add", "before: count = SUM(above(gain))", "total: count = before + gain",
            "last: count = back(gain, 1)", rows=6, numbered=True,
        )
    )  # fmt: skip
    book = mini.recalculated({("x.add", n): value for n, value in enumerate([3, 1, 4, None, 5])})

    assert book.column("x.before") == [0, 3, 4, 8, 8, 13]
    assert book.column("x.total") == [3, 4, 8, None, 13, None]
    assert book.column("x.last") == [None, 3, 1, 4, None, 5]
    assert mini.cell("x.before", 0) == "=SUM(C$5:C5)"
    assert mini.cell("x.before", 3) == "=SUM(C$5:C8)"


def test_looking_back_by_a_named_number_of_steps(mini: Mini) -> None:
    mini.sums(block("x", "rows", "add: count", "gain: count = add", "past: count = back(gain, k.lag)", rows=5, numbered=True), block("k", "fields", "lag: count := 2"))

    book = mini.recalculated({("x.add", n): value for n, value in enumerate([3, 1, 4, 1, 5])})

    assert book.column("x.past") == [None, None, 3, 1, 4]


def test_a_blank_input_above_is_blank_not_zero(mini: Mini) -> None:
    mini.sums(block("x", "rows", "add: count", "last: count = back(add, 1)", rows=3, numbered=True))

    assert mini.recalculated({("x.add", 0): 3.0}).column("x.last") == [None, 3, None]


def test_looking_back_by_no_steps_is_blank(mini: Mini) -> None:
    mini.sums(block("x", "rows", "add: count", "by: count", "past: count = back(add, by)", rows=3, numbered=True))
    typed = {("x.add", n): n + 1.0 for n in range(3)} | {("x.by", n): n % 2 for n in range(3)}

    assert mini.recalculated(typed).column("x.past") == [None, 1, None]


def test_the_place_of_a_look_up_keeps_its_guard_beside_blank(mini: Mini) -> None:
    mini.sums(block("x", "rows", "a: count", "at: count", "place: count = at + 0", 'q: count = IF(INDEX(x.a, place) = "", 0, 1)', rows=3))

    assert mini.recalculated({("x.a", 0): 5.0, ("x.at", 0): 1.0, ("x.at", 1): 2.0}).column("x.q") == [1, 0, None]


def test_missing_is_never_zero(mini: Mini) -> None:
    mini.sums(
        block(
            "x", "rows", "name: text", "a: count", "e: count", 'started: count = IF(name = "", "", 1)', "both: count = a + e",
            "asked: count = known(a)", "else_one: count = given(a, 1)", "some: count = sum_known(a, e)",
            "branch: count = IF(known(a) = 1, a + e, 0)", "found: count = INDEX(x.a, e)", "word: text = INDEX(x.name, e)", rows=4,
        ),
        block("t", "fields", "all: count = SUM(x.a)", "so_far: count = sum_known(x.a)", "most: count = MAX(x.e)", "held: count = COUNT(x.a)"),
    )  # fmt: skip
    typed = {("x.name", 0): "p", ("x.a", 0): 5.0, ("x.e", 0): 1.0, ("x.name", 1): "q", ("x.e", 1): 2.0, ("x.name", 2): "r", ("x.a", 2): 7.0}
    book = mini.recalculated(typed)

    assert book.column("x.both") == [6, None, None, None]
    assert book.column("x.asked") == [1, 0, 1, 0]
    assert book.column("x.else_one") == [5, 1, 7, 1]
    assert book.column("x.some") == [6, 2, 7, None]
    assert book.column("x.branch") == [6, 0, None, 0]
    assert book.column("x.found") == [5, None, None, None]
    assert book.column("x.word") == ["p", "q", None, None]
    # Record q is started and has no a; r has no e.
    assert [book.value(f"t.{name}") for name in ("all", "so_far", "most", "held")] == [None, 12, None, 2]

    book = mini.recalculated(typed | {("x.a", 1): 1.0, ("x.e", 2): 0.0})

    assert [book.value(f"t.{name}") for name in ("all", "so_far", "most", "held")] == [13, 13, 2, 3]


def test_comparing_a_look_up_or_a_sum_with_blank_is_no_error(mini: Mini) -> None:
    mini.sums(
        block("x", "rows", "a: count", "sum: count = a + a", 'q: count = IF(sum - a = "", 0, 1)', rows=2),
    )
    if mini.codes():
        return
    column = mini.recalculated({("x.a", 0): 2.0}).column("x.q")

    assert "#VALUE!" not in column


def test_units_are_converted_by_the_factors(mini: Mini) -> None:
    mini.sums(
        block(
            "x", "rows", "len: length", "thin: inch", "span: hour", "mins: minute", "from_: clock", "to_: clock", "day: date", "more: day",
            "all: length = len + thin", "less: inch = thin - len", "longer: count = IF(len > thin, 1, 0)", "hours: hour = to_ - from_",
            "ends: clock = from_ + span", "min_: minute = span + mins", "next: date = day + more", "between: day = next - day",
            "most: length = MAX(len, thin)", "cube: volume = len * len * thin", rows=2,
        )
    )  # fmt: skip
    typed = {"x.len": 2.0, "x.thin": 6.0, "x.span": 1.5, "x.mins": 45.0, "x.from_": 0.25, "x.to_": 0.75, "x.day": dt.date(2026, 2, 27), "x.more": 3.0}
    book = mini.recalculated(typed)

    expected = {
        "all": 2.5, "less": -18.0, "longer": 1.0, "hours": 12.0, "ends": 0.3125, "min_": 135.0, "next": serial(dt.date(2026, 3, 2)),
        "between": 3.0, "most": 2.0, "cube": 2.0,
    }  # fmt: skip
    assert {name: book.value(f"x.{name}") for name in expected} == pytest.approx(expected, abs=1e-9)
    assert [book.value(f"x.{name}", 1) for name in expected] == [None] * len(expected)


def test_metric_volume_needs_no_factor(mini: Mini) -> None:
    """One square metre, one millimetre deep, is one litre."""
    mini.sums(block("x", "rows", "area: area", "deep: depth", "wet: volume = area * deep", rows=2))

    assert mini.cell("x.wet", system="metric") == '=IF(COUNT(A6,B6)<2,"",A6*B6)'
    assert mini.cell("x.wet") == "=IF(COUNT(A6,B6)<2,\"\",A6*B6/'Lists and units'!$C$10)"
    assert mini.recalculated({"x.area": 20.0, "x.deep": 6.0}, "metric").value("x.wet") == pytest.approx(120.0, rel=1e-12)
    assert mini.recalculated({"x.area": 20.0, "x.deep": 6.0}, "us").value("x.wet") == pytest.approx(10.0, rel=1e-12)


def test_a_factor_may_be_needed_twice(mini: Mini) -> None:
    mini.sums(block("x", "fields", "thin: inch", "area: area = thin * thin"))

    assert mini.cell("x.area").count("$C$10") == 2
    assert mini.recalculated({"x.thin": 24.0}).value("x.area") == pytest.approx(4.0)


def test_rounding_happens_in_the_unit_that_is_shown(mini: Mini) -> None:
    mini.sums(block("x", "fields", "len: length", "whole: inch = up(len)", "cost: money", "paid: money = cents(cost)"))
    book = mini.recalculated({"x.len": 0.51, "x.cost": 2.345})

    assert book.value("x.whole") == 7.0
    assert book.value("x.paid") == 2.35


def test_rounding_ignores_noise(mini: Mini) -> None:
    mini.sums(block("x", "rows", "a: number", "more: number = up(a)", "less: number = down(a)", rows=4))
    book = mini.recalculated({("x.a", n): value for n, value in enumerate([24.0, 24.0000001, 23.9999999, 24.00001])})

    assert book.column("x.more") == [24, 24, 24, 25]
    assert book.column("x.less") == [24, 24, 24, 24]


def test_scenarios_stand_side_by_side(mini: Mini) -> None:
    mini.sums(
        block("x", "rows", "n: count", "from_case: number = INDEX(costs.twice.accepted, 1)", rows=2),
        block("costs", "scenario", "twice: number = n + n + bare.rate", "per: number = twice + x.n", over="x"),
        block("bare", "scenario", "rate: number = 1", "again: number = rate + 1"),
        block("out", "fields", "diff: number = SUM(costs.twice.accepted) - SUM(costs.twice.as_bid)"),
    )
    text = (mini.folder / "02-sums.toml").read_text(encoding="utf-8").replace("n + n + bare.rate", "x.n + x.n + bare.rate")
    mini.text("02-sums.toml", text)
    book = mini.recalculated({("x.n", 0): 4.0, ("x.n", 1): 5.0})

    for scenario in (0, 1):
        assert book.column("costs.twice", scenario) == [9, 11]
        assert book.column("costs.per", scenario) == [13, 16]
        assert book.value("bare.again", 0, scenario) == 2
    assert book.value("x.from_case") == 9
    assert book.value("out.diff") == 0
    assert mini.cell("costs.twice", 0, 0) != mini.cell("costs.twice", 0, 1)
    names = defined_names(mini.plan())
    assert names["bare_rate"][0].column == names["bare_rate_as_bid"][0].column + 1


def test_a_text_of_spaces_alone_is_blank(mini: Mini) -> None:
    mini.sums(
        block("t", "rows", "name: text", rows=3),
        block(
            "x", "rows", "name: text", "no_: no = match(name, t.name)", 'either: number = IF(name = "", 0, 1)', "there: count = known(name)",
            "said: text ~ name", rows=3,
        ),
    )  # fmt: skip
    book = mini.recalculated({("t.name", 0): "Hall", ("x.name", 0): "  ", ("x.name", 1): " hall "})

    assert book.column("x.no_") == [None, 1, None]
    assert book.column("x.either") == [0, 1, 0]
    assert book.column("x.there") == [0, 1, 0]
    assert [book.value("x.said", record) or None for record in range(3)] == [None, " hall ", None]


def test_a_scenario_reads_its_own_record(mini: Mini) -> None:
    # In a scenario block the list of scenarios stands for the record of the scenario itself.
    records = [{"code": code, "word": code, "steps": float(number)} for number, code in enumerate(SCENARIOS)]
    mini.sums(
        block("scenarios", "list", 'word: text; kind = "note"', 'steps: number; kind = "constant"', record=records),
        block("x", "rows", "n: number", rows=2),
        block("each", "scenario", "more: number = x.n + scenarios.steps", over="x"),
        block("all", "scenario", "sum: number = SUM(each.more)"),
        block("seen", "rows", "again: number = INDEX(scenarios_of(all.sum), no)", over="scenarios", numbered=True),
    )
    book = mini.recalculated({("x.n", 0): 4.0, ("x.n", 1): 5.0})

    for scenario in range(len(SCENARIOS)):
        assert book.value("all.sum", 0, scenario) == 9 + 2 * scenario
    assert book.column("seen.again") == [9 + 2 * scenario for scenario in range(len(SCENARIOS))]


def test_show_fields_agree_with_ironcalc(mini: Mini) -> None:
    mini.sums(
        block(
            "x", "rows", "name: text", "a: number", "day: date", "time: clock", "kind: text in states", "kind_no: no = match(kind, states.word)",
            'money_: text ~ TEXT(a, "#,##0.00")', 'percent: text ~ TEXT(a, "0.0%")', 'on: text ~ TEXT(day, "yyyy-mm-dd")',
            'joined: text ~ name & "" & TEXT(a, "0")', "picked: text ~ INDEX(states.word, kind_no)",
            "either: text ~ IF(a > 1, name, kind)", 'asked: text ~ IF(name = "", kind, name)', "same: number ~ a", "neat: text ~ TRIM(name)",
            "chosen: text ~ CHOOSE(kind_no, name, kind)", "some: text ~ given(name, kind)", rows=5, numbered=True,
        )
    )  # fmt: skip
    typed: dict[tuple[str, int], object] = {}
    rows = [(" Hall ", 1234.567, dt.date(2026, 2, 28), 0.4375, "ok"), ("=x", 0.25, dt.date(2000, 1, 1), 0.0, "look"), (None, 7.0, None, None, "ok"), ("b", None, None, 0.999, None)]
    for number, row in enumerate(rows):
        typed |= {(f"x.{name}", number): value for name, value in zip(("name", "a", "day", "time", "kind"), row, strict=True)}
    typed.pop(("x.time", 3))
    book = mini.recalculated(typed)

    shows = [one.name for _, one in book.compiled.formulas() if one.kind == "show"]
    python = {(name, n): book.shown(f"x.{name}", n) or None for name in shows for n in range(5)}
    assert python == {(name, n): book.value(f"x.{name}", n) for name in shows for n in range(5)}
    assert python["money_", 0] == "1,234.57"
    assert python["picked", 1] == "LOOK"


def test_show_of_a_name_with_two_spaces(mini: Mini) -> None:
    mini.sums(block("x", "fields", "name: text", "neat: text ~ TRIM(name)"))
    book = mini.recalculated({"x.name": "  North   hall "})

    assert (book.shown("x.neat"), book.value("x.neat")) == ("North hall", "North hall")


def test_the_words_of_checks(mini: Mini) -> None:
    mini.sums(block("k", "checks", "off: count = x.n; tolerance = 1", "fine: count = 0", good="states.ok", bad="states.look"), block("x", "fields", "n: count"))
    compiled = mini.compile()
    spot = compiled.plan.spot("k", "off")

    assert check_state_formula(compiled.plan, compiled.plan.book.blocks["k"], spot) == (
        "=IF(COUNT(C6)<1,\"\",IF(C6>D6,'Lists and units'!$B$7,'Lists and units'!$B$6))"
    )


def test_a_book_without_the_factor_is_refused(mini: Mini) -> None:
    mini.sums(block("x", "fields", "mins: minute", "days: day = mins"), lists=factors(("min_per_h", 60.0, "minute", "hour")))

    assert mini.codes() == ["formula-factor"]
