from __future__ import annotations

import pytest
from lxml import etree
from saved import read

from sheetgen.check.compare import Counts, Expected, _same_words, compare
from sheetgen.check.values import CellError

# B1 = 6 and C1 = "x 6", stored as the engine says.
SHEETS = {"Sums": {"A1": 2.0, "B1": ("=A1*3", 6.0), "C1": ('="x "&B1', "x 6"), "D1": ('=IF(A1=0,1,"")', "")}}
AGAIN = {"Sums": {(1, 2): 6.0, (1, 3): "x 6", (1, 4): None}}
WANTED = {
    "Sums": {
        (1, 2): Expected(6.0, "formula", "areas.area"),
        (1, 3): Expected("x 6", "show", "areas.words"),
        (1, 4): Expected(None, "formula", "areas.fault"),
    }
}


def compared(tmp_path, cells=None, again=None, wanted=None):
    book = read(tmp_path / "a.xlsx", {"Sums": {**SHEETS["Sums"], **(cells or {})}})
    recalculated = {"Sums": {**AGAIN["Sums"], **(again or {})}}
    expected = {"Sums": {**WANTED["Sums"], **(wanted or {})}}
    return compare(book, recalculated, expected)


def codes(*arguments):
    return [(finding.code, finding.place) for finding in compared(*arguments)[1]]


def test_three_witnesses_that_agree(tmp_path):
    counts, findings = compared(tmp_path)

    assert findings == ()
    assert counts == Counts(found=3, recalculated=3, compared=2, shows=1)


def test_a_wrong_stored_value_is_found(tmp_path):
    assert codes(tmp_path, {"B1": ("=A1*3", 7.0)}) == [("stored-stale", "a.xlsx Sums!B1")]


def test_a_stored_zero_is_not_a_missing_value(tmp_path):
    # XlsxWriter stores 0 where nobody says otherwise.
    assert codes(tmp_path, {"D1": ('=IF(A1=0,1,"")', 0)}) == [("stored-stale", "a.xlsx Sums!D1")]


def test_a_changed_formula_is_found(tmp_path):
    # The person's program has stored what the changed formula gives.
    assert codes(tmp_path, {"B1": ("=A1*4", 8.0)}, {(1, 2): 8.0}) == [("formula-differs", "a.xlsx Sums!B1")]


def test_a_wrong_engine_is_found(tmp_path):
    _, (finding,) = compared(tmp_path, None, None, {(1, 2): Expected(6.1, "formula", "areas.area")})

    assert finding.code == "formula-differs"
    assert finding.what == "areas.area stores 6, recalculated 6, engine 6.1"


@pytest.mark.parametrize("value", [0.0, False, "0", float("nan")])
def test_missing_is_never_zero(tmp_path, value):
    assert codes(tmp_path, None, None, {(1, 4): Expected(value)}) == [("formula-differs", "a.xlsx Sums!D1")]


def test_a_wrong_word_is_found(tmp_path):
    assert codes(tmp_path, {"C1": ('="x "&B1', "x 7")}) == [("stored-stale", "a.xlsx Sums!C1")]
    assert codes(tmp_path, None, {(1, 3): "X 6"}) == [("formula-differs", "a.xlsx Sums!C1")]


def test_a_formula_that_does_not_belong_there_is_found(tmp_path):
    assert codes(tmp_path, {"F9": "=A1"}, {(9, 6): 2.0}) == [("formula-unknown", "a.xlsx Sums!F9")]


def test_a_formula_that_is_gone_is_found(tmp_path):
    assert codes(tmp_path, {"B1": 6.0}) == [("formula-missing", "a.xlsx Sums!B1")]
    assert codes(tmp_path, None, None, {(9, 9): Expected(1.0)}) == [("formula-missing", "a.xlsx Sums!I9")]


def test_a_cell_that_was_not_recalculated_is_found(tmp_path):
    book = read(tmp_path / "a.xlsx", SHEETS)
    counts, findings = compare(book, {"Sums": {(1, 2): 6.0, (1, 3): "x 6"}}, WANTED)

    assert [finding.code for finding in findings] == ["recalculated-none"]
    assert counts.recalculated == 2


def test_none_compared_is_an_error(tmp_path):
    book = read(tmp_path / "a.xlsx", {"Sums": {"A1": 2.0}})

    assert [finding.code for finding in compare(book, {}, {"Sums": {}})[1]] == ["compared-none"]
    assert [finding.code for finding in compare(book, {}, {})[1]] == ["compared-none"]


def test_shows_alone_are_nothing_compared(tmp_path):
    book = read(tmp_path / "a.xlsx", {"Sums": {"C1": ('="x"', "x")}})

    assert [f.code for f in compare(book, {"Sums": {(1, 3): "x"}}, {"Sums": {(1, 3): Expected("x", "show")}})[1]] == [
        "compared-none"
    ]


def test_a_missing_sheet_is_found(tmp_path):
    book = read(tmp_path / "a.xlsx", SHEETS)

    assert ("sheet-missing", "a.xlsx Gone") in [(f.code, f.place) for f in compare(book, AGAIN, {**WANTED, "Gone": {}})[1]]


def test_an_error_is_found_even_where_all_agree(tmp_path):
    error = CellError("#DIV/0!")

    assert codes(tmp_path, {"B1": ("=A1/0", "#DIV/0!")}, {(1, 2): error}, {(1, 2): Expected(error)}) == [
        ("formula-error", "a.xlsx Sums!B1")
    ]
    assert codes(tmp_path, None, {(1, 2): error}) == [("formula-error", "a.xlsx Sums!B1")]


def test_a_linked_cell_is_compared_with_its_own_store(tmp_path):
    linked = {(1, 2): Expected(None, "linked", "job.name")}

    assert codes(tmp_path, None, None, linked) == []
    assert codes(tmp_path, {"B1": ("=A1*3", 7.0)}, None, linked) == [("stored-stale", "a.xlsx Sums!B1")]


def test_a_filtered_total_is_compared_until_a_filter_is_set(tmp_path):
    wrong = {(1, 2): Expected(7.0, "filtered", "areas.shown")}
    _, (finding,) = compared(tmp_path, None, None, wrong)
    assert finding.code == "formula-differs"

    book = read(tmp_path / "b.xlsx", SHEETS)
    etree.SubElement(etree.SubElement(book.sheet("Sums").root, "autoFilter"), "filterColumn")
    counts, findings = compare(book, AGAIN, {"Sums": {**WANTED["Sums"], **wrong}})
    assert findings == ()
    assert (counts.compared, counts.others) == (1, 1)


def test_other_sheets_are_left_alone(tmp_path):
    book = read(tmp_path / "a.xlsx", {**SHEETS, "Host": {"A1": ("=1/0", 5)}})

    assert compare(book, AGAIN, WANTED)[1] == ()


def test_all_findings_are_collected(tmp_path):
    assert len(codes(tmp_path, {"B1": ("=A1*3", 7.0), "C1": ('="x "&B1', "y"), "F9": "=A1"})) == 3


@pytest.mark.parametrize(("first", "second", "same"), [("a  b", "a b", True), (" a b", "a b", True), ("ab", "a b", False), (1.0, "1", False)])
def test_shown_words_may_differ_in_spaces(first: object, second: object, same: bool) -> None:
    assert _same_words(first, second) is same
