"""Where each field stands, and which names are defined."""

from __future__ import annotations

import re

import pytest
from minibook import Mini, block

from sheetgen.book import compile as compiler
from sheetgen.book.compile import compiled, shipped
from sheetgen.book.defined import defined_names
from sheetgen.book.plan import Place, Plan, column_name
from sheetgen.book.states import state_formula
from sheetgen.book.template import SCENARIOS


def lay(mini: Mini, *blocks: str, system: str = "us", **rows: int) -> Plan:
    return mini.sums(*blocks).plan(system, **rows)


def test_column_letters() -> None:
    assert [column_name(number) for number in (0, 25, 26, 51, 52, 701, 702, 16383)] == ["A", "Z", "AA", "AZ", "BA", "ZZ", "AAA", "XFD"]


def test_each_kind_of_block_has_its_layout(mini: Mini) -> None:
    plan = lay(
        mini,
        block("f", "fields", "a: length", "b: length", title="Fields", note="A note."),
        block("t", "rows", "a: length", "b: length", rows=3, numbered=True),
        block("w", "across", "a: length", "b: length", rows=4, numbered=True),
        block("l", "list", 'word: text; kind = "note"', record=[{"code": "p", "word": "P"}, {"code": "q", "word": "Q"}]),
        block("s", "scenario", "a: length = 0", "b: length = 0"),
        block("o", "scenario", "a: length = 0", "b: length = 0", over="t"),
    )  # fmt: skip

    first = {name: plan.spot(*name.split(".")).cell().a1 for name in ("f.a", "f.b", "t.a", "t.b", "w.a", "w.b", "l.code", "l.word", "s.a", "s.b", "o.a", "o.b")}
    assert first == {
        # Title, line, state and a blank row stand above; a title and a note above the fields.
        "f.a": "Sums!B7", "f.b": "Sums!B8",
        "t.a": "Sums!B11", "t.b": "Sums!C11",
        "w.a": "Sums!C16", "w.b": "Sums!C17",
        "l.code": "Sums!A20", "l.word": "Sums!B20",
        "s.a": "Sums!C24", "s.b": "Sums!C25",
        "o.a": "Sums!A29", "o.b": "Sums!B29",
    }  # fmt: skip
    assert plan.spot("t", "a").cell(2).a1 == "Sums!B13"
    assert plan.spot("w", "b").cell(3).a1 == "Sums!F17"
    assert plan.spot("s", "b").cell(0, 1).a1 == "Sums!D25"
    assert plan.spot("o", "b").cell(2, 1).a1 == "Sums!D31"
    assert (plan.numbers["t"].cell(1).a1, plan.numbers["w"].cell(1).a1) == ("Sums!A12", "Sums!D15")
    assert len(list(plan.places(plan.book.blocks["o"], plan.book.blocks["o"].fields[0]))) == 3 * len(SCENARIOS)


def test_no_two_fields_share_a_cell() -> None:
    for kind in ("bid", "cost", "rates"):
        for system in ("us", "metric"):
            plan = Plan(shipped(kind), system)
            seen: dict[tuple[str, int, int], str] = {}
            for owner, field in plan.book.fields():
                if field.stands_in(system):
                    for place, cell in plan.places(owner, field):
                        key = (cell.sheet, cell.row, cell.column)
                        assert key not in seen, (place.name, seen.get(key))
                        seen[key] = place.name


def test_more_rows_push_down_what_follows(mini: Mini) -> None:
    blocks = (block("t", "rows", "a: length", rows=3), block("f", "fields", "sum: length = sum_known(t.a)", "b: length"))
    small, large = lay(mini, *blocks), lay(mini, *blocks, t=10)

    assert small.spot("f", "b").row + 7 == large.spot("f", "b").row
    assert small.spot("t", "a").cell() == large.spot("t", "a").cell()
    assert large.spot("t", "a").records == 10
    assert mini.compile(t=10).text(Place("f", "sum", 0, None)) == "=SUM($A$6:$A$15)"
    assert (defined_names(small)["f_b"][0].a1, defined_names(large)["f_b"][0].a1) == ("Sums!B11", "Sums!B18")


def test_defined_names(mini: Mini) -> None:
    plan = mini.sums(
        block("f", "fields", "a: length", "kind: text in states", 'told: text; kind = "note"', "other: text in t.name", 'us_only: length; only = "us"'),
        block("t", "rows", "name: text", rows=3),
        block("s", "scenario", "a: length = 0"),
        block("o", "scenario", "a: length = 0", over="t"),
        block("ch", "checks", "a: count = 0"),
    ).plan("metric")  # fmt: skip

    assert sorted(defined_names(plan)) == ["ch_a", "f_a", "f_kind", "f_other", "list_states", "list_t_name", "master_looks", "s_a", "s_a_as_bid"]
    assert [cell.a1 for cell in defined_names(plan)["list_t_name"]] == ["Sums!A11", "Sums!A13"]
    assert [cell.a1 for cell in defined_names(plan)["list_states"]] == ["Lists and units!B6", "Lists and units!B7"]


@pytest.mark.parametrize("kind", ["bid", "cost", "rates"])
@pytest.mark.parametrize("system", ["us", "metric"])
def test_no_shipped_name_reads_as_a_cell(kind: str, system: str) -> None:
    names = defined_names(Plan(shipped(kind), system))

    assert names
    assert not [name for name in names if re.fullmatch(r"[A-Za-z]{1,3}\d+|[RrCc]\d*|[RrCc]\d+[RrCc]\d+", name) or not re.fullmatch(r"[a-z_][a-z0-9_]{0,254}", name)]


@pytest.mark.parametrize("kind", ["bid", "cost", "rates"])
def test_no_two_shipped_fields_share_a_defined_name(kind: str) -> None:
    plan = Plan(shipped(kind), "us")
    wanted = [
        f"{owner.name}_{field.name}"
        for owner, field in plan.book.fields()
        if owner.kind in {"fields", "checks"} and field.kind != "note" and field.stands_in("us")
    ]

    assert len(wanted) == len(set(wanted))
    assert set(wanted) <= set(defined_names(plan))


def test_defined_names_are_absolute_and_of_the_workbook(mini: Mini) -> None:
    book = mini.sums(block("f", "fields", "a: length"), block("t", "rows", "kind: text in states", rows=2)).recalculated({})
    import openpyxl

    read = openpyxl.load_workbook(book.path)
    said = {name: one.attr_text for name, one in read.defined_names.items()}

    assert said == {"f_a": "'Sums'!$B$5", "list_states": "'Lists and units'!$B$6:$B$7", "master_looks": "'Checks'!$B$5"}
    # Excel's own names of the print areas and titles belong to their sheets.
    assert {name for one in read.worksheets for name in one.defined_names} <= {"Print_Area", "Print_Titles"}


def test_a_prefix_stands_before_each_sheet(mini: Mini) -> None:
    mini.sums(block("f", "fields", "a: length"))
    plan = Plan(mini.plan().book, "us", prefix="SG ")

    assert plan.spot("f", "a").sheet == "SG Sums"
    assert state_formula(plan).startswith("=IF('SG Checks'!$B$5>0,'SG Lists and units'!")


def test_one_table_row_is_allowed() -> None:
    """--rows areas=1 is a size that the command accepts."""
    assert compiled("bid", "us", {"areas": 1}).plan.records(shipped("bid").blocks["areas"]) == 1


@pytest.mark.parametrize("system", ["us", "metric"])
def test_the_shipped_templates_compile_in_larger_sizes(system: str) -> None:
    made = compiled("bid", system, {"areas": 400})

    longest = max(
        (made.text(Place(owner.name, field.name, made.plan.spot(owner.name, field.name).records - 1, 0 if owner.kind == "scenario" else None)) for owner, field in made.formulas()),
        key=len,
    )
    assert len(longest) <= 520


def test_sizes_that_were_compiled_do_not_pile_up() -> None:
    """Memory stays flat over a folder of books of which no two have the same rows."""
    for count in range(1, 19):
        compiler.compiled("cost", "us", {"jobs": count})

    assert compiler._compiled.cache_info().currsize < 18


@pytest.mark.parametrize("kind", ["bid", "rates", "cost"])
def test_a_blank_of_a_list_that_is_looked_up_is_made_a_text(kind: str) -> None:
    """INDEX of an empty cell is 0 in a spreadsheet program, and a page would show it."""
    book = shipped(kind)
    lists = [block for block in book.blocks.values() if block.kind == "list"]
    blank = [
        f"{block.name}.{field.name}" for block in lists for field in block.fields if any(row.get(field.name) == "" for row in block.records)
    ]
    formulas = [formula for _, field in book.fields() for formula, _ in field.formulas.values()]
    found = [formula for formula in formulas for name in blank if re.search(rf'INDEX\({re.escape(name)}, *\w+\)(?! & "")', formula)]

    assert found == []
    assert kind != "bid" or blank
