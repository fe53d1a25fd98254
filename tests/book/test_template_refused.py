"""Everything that is wrong with a template's TOML is a finding with file and line, all at once."""

from __future__ import annotations

import pytest
from minibook import Mini, block, sheet

from sheetgen.book.load import load
from sheetgen.findings import Refused

GOOD = block("x", "rows", "a: length", rows=3)


def refused(mini: Mini, text: str) -> list[tuple[str, str]]:
    """Return (code, place) of the findings of a template with one sheet."""
    mini.text("01-one.toml", text)
    with pytest.raises(Refused) as caught:
        load(mini.folder)
    assert all(finding.mend for finding in caught.value.findings)
    return [(finding.code, finding.place) for finding in caught.value.findings]


def test_a_good_template_is_read(mini: Mini) -> None:
    mini.text("01-one.toml", sheet("One", GOOD))

    book = load(mini.folder)

    assert (book.kind, book.version, book.title) == ("mini", "7", "Mini")
    assert [one.code for one in book.sheets] == ["one"]
    assert book.blocks["x"].field("a").where.at() == "01-one.toml:10:1"
    assert book.words["language"] == "en-US"


@pytest.mark.parametrize(
    ("lines", "code", "line"),
    [
        (["a: length; colour = 1"], "template-key", 9),
        (['a: length; kind = "typed"'], "template-kind", 9),
        (['a: length; kind = "formula"'], "template-formula", 9),
        (['a: length; kind = "show"'], "template-formula", 9),
        (['a: text; kind = "choice"; message = "Choose."'], "template-choices", 9),
        (['a: length; message = ""'], "template-message", 9),
        (["a: furlong"], "template-unit", 9),
        (['a: ; label = "A"'], "template-unit", 9),
        (["tax1: length"], "template-name", 9),
        (["R: length"], "template-name", 9),
        (["r: length"], "template-name", 9),
        (["c7: length"], "template-name", 9),
        (["opt6: length"], "template-name", 9),
        (["Area: length"], "template-name", 9),
        ([": length"], "template-name", 9),
        (['a: length; only = "imperial"'], "template-only", 9),
        (['a: length; link = "nowhere"'], "template-link", 9),
        (["a: text in nothing"], "template-choices", 9),
    ],
)
def test_a_field_that_is_wrong(mini: Mini, lines: list[str], code: str, line: int) -> None:
    found = refused(mini, sheet("One", block("x", "rows", *lines)))

    assert found == [(code, f"01-one.toml:{line}:1")]


@pytest.mark.parametrize("name", ["tax_1", "option6", "abcd1", "row", "rate", "columns"])
def test_names_that_only_resemble_cells_are_allowed(mini: Mini, name: str) -> None:
    mini.text("01-one.toml", sheet("One", block("x", "rows", f"{name}: length")))

    assert load(mini.folder).blocks["x"].field(name) is not None


@pytest.mark.parametrize(
    ("text", "code", "place"),
    [
        (sheet("One", block("tax1", "rows")), "template-name", "01-one.toml:5:1"),
        (sheet("One", block("x", "grid")), "template-kind", "01-one.toml:5:1"),
        (sheet("One", block("x", "rows", colour=1)), "template-key", "01-one.toml:5:1"),
        (sheet("One", GOOD, block("x", "rows")), "template-twice", "01-one.toml:16:1"),
        (sheet("One", GOOD, block("x", "part", "a: inch")), "template-twice", "01-one.toml:20:1"),
        (sheet("One", block("x", "part", "a: inch")), "template-part", "01-one.toml"),
        (sheet("One", block("x", "scenario", over="nothing")), "template-over", "01-one.toml"),
        (sheet("One", block("x", "list", record=[{"word": "no code"}])), "template-code", "01-one.toml:5:1"),
        (sheet("One", block("x", "list", record=[{"code": "a"}, {"code": "a"}])), "template-code", "01-one.toml:5:1"),
        (sheet("One", GOOD, kind="poster"), "template-type", "01-one.toml:1:1"),
        ("colour = 1\n" + sheet("One", GOOD), "template-key", "01-one.toml:1:1"),
    ],
)
def test_a_block_or_sheet_that_is_wrong(mini: Mini, text: str, code: str, place: str) -> None:
    assert (code, place) in refused(mini, text)


def test_toml_that_cannot_be_read(mini: Mini) -> None:
    ((code, place),) = refused(mini, 'title = "no end\n')

    assert code == "template-toml"
    assert place.endswith("01-one.toml")


def test_a_folder_without_sheets_and_one_without_book(mini: Mini) -> None:
    (mini.folder / "book.toml").unlink()

    with pytest.raises(Refused) as caught:
        load(mini.folder)

    assert {finding.code for finding in caught.value.findings} == {"template-missing", "template-empty"}


def test_everything_is_said_at_once(mini: Mini) -> None:
    text = sheet("One", block("tax1", "grid", "R: furlong; colour = 1", 'b: length; message = ""'), kind="poster")

    codes = [code for code, _ in refused(mini, text)]

    assert sorted(codes) == [
        "template-key", "template-kind", "template-message", "template-name", "template-name", "template-type", "template-unit",
    ]  # fmt: skip


def test_a_part_may_stand_before_its_block(mini: Mini) -> None:
    mini.text("01-one.toml", sheet("One", block("x", "part", "b: inch")))
    mini.text("02-two.toml", sheet("Two", GOOD))

    assert [field.name for field in load(mini.folder).blocks["x"].fields] == ["a", "b"]


def test_one_field_name_twice_in_one_block(mini: Mini) -> None:
    assert refused(mini, sheet("One", block("x", "rows", "a: length", "a: inch"))) == [("template-twice", "01-one.toml:15:1")]


def test_formula_of_one_system_and_value_by_system(mini: Mini) -> None:
    mini.sums(
        block(
            "x", "fields", "k: number := { us = 3, metric = 4 }",
            "a: number; kind = \"formula\"; formula_us = 'k'; formula_metric = 'k + 1'",
            'b: number = a; only = "metric"', "e: number; kind = \"formula\"; formula_us = 'k'; only = \"us\"",
        )
    )  # fmt: skip
    us, metric = mini.compile("us"), mini.compile("metric")

    assert [field.name for _, field in us.formulas()] == ["a", "e", "looks"]
    assert [field.name for _, field in metric.formulas()] == ["a", "b", "looks"]
    assert (mini.cell("x.a"), mini.cell("x.a", system="metric")) == ("=$B$5", "=$B$5+1")
    assert ("x", "b") not in us.plan.spots


def test_no_formula_in_one_system(mini: Mini) -> None:
    mini.sums(block("x", "fields", "a: number; kind = \"formula\"; formula_us = '0'"))

    assert mini.codes("us") == []
    assert mini.codes("metric") == ["formula-none"]


def test_two_cells_with_one_name(mini: Mini) -> None:
    mini.sums(block("day", "fields", "log_x: number"), block("day_log", "fields", "x: number"))

    assert mini.codes() == ["template-name"]


def test_the_column_of_a_finding_counts_escapes(mini: Mini) -> None:
    mini.sums(block("x", "fields", "n: number", 'a: number; kind = "formula"; formula = "IF(n = \\"\\", 0, nothing)"'))

    (finding,) = mini.findings()

    line = (mini.folder / "02-sums.toml").read_text(encoding="utf-8").splitlines()[int(finding.place.split(":")[1]) - 1]
    assert line[int(finding.place.split(":")[2]) - 1 :].startswith("nothing")


def test_a_formula_that_is_no_text(mini: Mini) -> None:
    assert refused(mini, sheet("One", block("x", "rows", 'a: length; formula = 3; kind = "formula"')))[0] == ("template-formula", "01-one.toml:12:11")
