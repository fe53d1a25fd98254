"""Blocks that share the records of another, pairs of two blocks, limits in words, and list numbers by units."""

from __future__ import annotations

import math
from typing import Final

import openpyxl
from minibook import Mini, block

_RULES: Final = [{"code": "damp", "word": "damp", "weight": 2}, {"code": "soft", "word": "soft", "weight": 5}]


def _rules() -> str:
    return block("rules", "list", 'word: text; kind = "note"', 'weight: number; kind = "constant"', record=_RULES)


def test_a_block_over_another_has_its_records(mini: Mini) -> None:
    mini.sums(
        block("x", "rows", "a: count", "twice: count = y.got + y.got", rows=3, numbered=True),
        block("y", "rows", "got: count = x.a + no", over="x"),
    )
    book = mini.recalculated({("x.a", 0): 4.0, ("x.a", 2): 1.0})

    assert book.column("y.got") == [5, None, 4]
    assert book.column("x.twice") == [10, None, 8]
    assert mini.plan("us", x=7).records(mini.plan().book.blocks["y"]) == 7


def test_a_cross_block_has_a_record_for_each_pair(mini: Mini) -> None:
    pair = ('over_no: no; kind = "constant"; label = "Zone"', 'with_no: no; kind = "constant"; label = "Rule"')
    mini.sums(
        block("x", "rows", "a: count", "all: count = SUMIFS(z.score, z.over_no, no)", rows=3, numbered=True),
        block("z", "cross", *pair, "seen: count", "score: count = INDEX(x.a, over_no) * INDEX(rules.weight, with_no) + given(seen, 0)", over="x", **{"with": "rules"}),
        _rules(),
    )  # fmt: skip
    book = mini.recalculated({("x.a", 0): 1.0, ("x.a", 1): 3.0, ("x.a", 2): 0.0, ("z.seen", 3): 100.0})

    assert [book.contents.value(book.plan.book.blocks["z"], field, 3, None) for field in book.plan.book.blocks["z"].fields[:2]] == [2, 2]
    assert book.column("z.score") == [2, 5, 6, 115, 0, 0]
    assert book.column("x.all") == [7, 121, 0]


def test_a_cross_block_lacks_nothing(mini: Mini) -> None:
    mini.sums(block("x", "rows", "a: count", rows=2), block("z", "cross", "b: count", over="x", **{"with": "rules"}), _rules())

    assert mini.codes() == ["template-cross"]


def test_a_limit_is_a_number_or_no_limit_or_not_stated(mini: Mini) -> None:
    mini.sums(
        block("x", "rows", "most: count; no_limit = true; most = 9", "said: count = known(most)", "number: count = COUNT(most)",
              "twice: count = most + most", rows=3)
    )  # fmt: skip
    book = mini.recalculated({("x.most", 0): 3.0, ("x.most", 1): math.inf})

    assert book.column("x.said") == [1, 1, 0]
    assert book.column("x.number") == [1, 0, 0]
    assert book.column("x.twice") == [6, None, None]
    sheet = openpyxl.load_workbook(book.path)["Sums"]
    first = book.plan.spot("x", "most").cell().a1.rpartition("!")[2]
    below = book.plan.spot("x", "most").cell(1).a1.rpartition("!")[2]
    assert sheet[below].value == "no_limit"
    rule = next(one for one in sheet.data_validations.dataValidation if first in one.sqref)
    assert (rule.type, rule.formula1) == ("custom", f'OR(AND(ISNUMBER({first}),{first}>=0.0,{first}<=9.0),{first}="no_limit")')


def test_a_list_may_hold_a_number_for_each_system_of_units(mini: Mini) -> None:
    limits = [{"code": "bond", "word": "bond", "least": {"us": 200, "metric": 1.38}}]
    mini.sums(block("x", "fields", "a: number = limits.least.bond"), block("limits", "list", 'word: text; kind = "note"', 'least: number; kind = "constant"', record=limits))

    assert mini.recalculated({}).value("x.a") == 200
    assert mini.recalculated({}, "metric").value("x.a") == 1.38


def test_short_forms_stand_for_what_is_written_out(mini: Mini) -> None:
    """``only(column, x)`` takes all rows where x is 0; ``column(block, n)`` is one column of a table."""
    mini.sums(
        block("x", "rows", "kind: count", "a: count", "weight: count", rows=3),
        block("y", "rows", "one: count = given(x.a, 0)", "two: count = given(x.weight, 0)", over="x"),
        block("t", "fields", "which: count", "at: count", "n: count = SUMPRODUCT(only(x.kind, which), column(y, at))"),
    )
    typed = {("x.kind", n): float(n % 2 + 1) for n in range(3)} | {("x.a", n): float(10**n) for n in range(3)} | {("x.weight", n): 1.0 for n in range(3)}
    del typed["x.weight", 0]

    assert mini.cell("t.n").startswith("=IF(COUNT(")
    for which, at, expected in ((1.0, 1.0, 101), (2.0, 1.0, 10), (0.0, 1.0, 111), (1.0, 2.0, 1)):
        book = mini.recalculated(typed | {"t.which": which, "t.at": at})
        assert book.value("t.n") == expected


def test_records_over_a_list_are_numbered(mini: Mini) -> None:
    mini.sums(block("z", "across", "a: count", "n: count = given(a, 0) + no", over="rules", numbered=True), _rules())

    book = mini.recalculated({("z.a", 1): 5.0})

    assert book.column("z.n") == [1, 7]
    header = openpyxl.load_workbook(book.path)["Sums"].cell(book.plan.numbers["z"].row + 1, 4)
    assert (header.value, header.number_format) == (2, '"soft"')
