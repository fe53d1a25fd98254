from __future__ import annotations

import time

import pytest
from books import INPUT, TYPES, VALIDATION, Sound

from sheetgen.check.look import contrast
from sheetgen.check.rules import rules
from sheetgen.check.rules.widths import number_text
from sheetgen.reader.raw import read_raw


def found(path, **options):
    return {(finding.code, finding.place.partition(" ")[2]) for finding in rules(read_raw(path), TYPES, **options)}


def codes(path, **options):
    return {code for code, _ in found(path, **options)}


def test_a_sound_book_has_no_finding(tmp_path):
    assert list(rules(read_raw(Sound(tmp_path / "a.xlsx").save()), TYPES)) == []


@pytest.mark.parametrize(
    ("without", "code"),
    [
        ("title", "rule-15-title"),
        ("description", "rule-15-description"),
        ("protect", "rule-13-protection"),
        ("freeze", "rule-20-freeze"),
        ("cursor", "rule-20-cursor"),
        ("active", "rule-20-active"),
        ("properties", "rule-20-properties"),
        ("repeat", "rule-19-titles"),
        ("fit", "rule-19-fit"),
        ("paper", "rule-19-paper"),
        ("footer", "rule-19-footer"),
        ("links", "rule-2-link"),
        ("chart title", "rule-18-title"),
        ("axis title", "rule-18-title"),
        ("alt", "rule-18-alt"),
        ("state", "rule-10-state"),
    ],
)
def test_what_is_left_out_is_found(tmp_path, without, code):
    assert codes(Sound(tmp_path / "a.xlsx", without=without).save()) == {code}


def test_a_missing_print_area_is_found(tmp_path):
    assert codes(Sound(tmp_path / "a.xlsx", print_area=False).save()) == {"rule-19-area"}


def test_a_person_may_move_the_cursor(tmp_path):
    assert codes(Sound(tmp_path / "a.xlsx", without="cursor").save(), fresh=False) == set()


@pytest.mark.parametrize(
    ("changes", "code"),
    [
        ({"input_title": ""}, "rule-16-message"),
        ({"input_message": ""}, "rule-16-message"),
        ({"error_message": ""}, "rule-16-message"),
        ({"error_type": "warning"}, "rule-16-stop"),
        ({"validate": "list", "source": ["a", "b"]}, "rule-16-list"),
    ],
)
def test_a_weak_validation_is_found(tmp_path, changes, code):
    assert codes(Sound(tmp_path / "a.xlsx", validation={**VALIDATION, **changes}).save()) == {code}


def test_a_list_may_refer_to_a_name(tmp_path):
    said = {name: text for name, text in VALIDATION.items() if name.endswith(("title", "message"))}
    validation = {**said, "validate": "list", "source": "=numbers"}

    assert codes(Sound(tmp_path / "a.xlsx", validation=validation).save()) == set()


def _table(sound):
    sound.sheets["Sums"].add_table("A20:B22", {"columns": [{"header": "Row"}, {"header": "Sum"}]})


def _headless_table(sound):
    sound.sheets["Sums"].add_table("A20:B22", {"name": "sums_by_row", "header_row": False})


def _good_table(sound):
    sound.sheets["Sums"].add_table("A20:B22", {"name": "sums_by_row", "columns": [{"header": "Row"}, {"header": "Sum"}]})


def _general_number(sound):
    sound.sheets["Inputs"].write_number("D6", 1.5)


def _error_value(sound):
    sound.sheets["Sums"].write_formula("D6", "=1/0", sound.form(num_format="0.0"), "#DIV/0!")


def _hidden_sheet(sound):
    sound.book.add_worksheet("Other").hide()


def _hidden_column(sound):
    sound.sheets["Sums"].set_column("E:E", 10, None, {"hidden": True})


def _hidden_row(sound):
    sound.sheets["Sums"].set_row(20, None, None, {"hidden": True})


def _unlocked(sound):
    sound.sheets["Inputs"].write_blank("D6", None, sound.form(num_format="0.00", **INPUT))


def _unlocked_formula(sound):
    sound.sheets["Sums"].write_formula("D6", "=B4", sound.form(num_format="0.00", **INPUT), 2.0)


def _other_look(sound):
    sound.sheets["Inputs"].write_number("B5", 2.0, sound.form(num_format="0.00", locked=False))


def _look_of_an_input(sound):
    sound.sheets["Sums"].write_string("D6", "x", sound.form(**{**INPUT, "locked": True}))


def _locked_input(sound):
    sound.sheets["Inputs"].write_number("B5", 2.0, sound.form(num_format="0.00"))


def _unlocked_column(sound):
    sound.sheets["Inputs"].set_column("H:H", 10, sound.form(locked=False))


def _second_validation(sound):
    # XlsxWriter itself lets two rules meet
    sound.sheets["Inputs"].data_validation("B4", VALIDATION)


def _pale(sound):
    sound.sheets["Sums"].write_string("D6", "pale", sound.form(font_color="#BBBBBB"))


def _pale_rule(sound):
    look = sound.form(font_color="#FFFF00", bg_color="#FFFFFF")
    sound.sheets["Sums"].conditional_format("B4:B8", {"type": "cell", "criteria": ">", "value": 0, "format": look})


def _red_only(sound):
    sound.sheets["Sums"].write_number("D6", 1.0, sound.form(num_format="0.00;[Red]0.00"))


def _merged(sound):
    sound.sheets["Sums"].merge_range("D6:E6", "x", sound.form())


def _narrow_number(sound):
    sound.sheets["Sums"].write_number("D6", 1234567.0, sound.form(num_format="#,##0.00"))


def _narrow_text(sound):
    sound.sheets["Sums"].write_string("D6", "A text that runs over")
    sound.sheets["Sums"].write_string("E6", "x")


def _narrow_word(sound):
    sound.sheets["Sums"].write_string("D6", "Extraordinarily wide", sound.form(text_wrap=True))


@pytest.mark.parametrize(
    ("breaks", "expected"),
    [
        (_table, {("rule-17-name", "Sums")}),
        (_headless_table, {("rule-17-header", "Sums")}),
        (_good_table, set()),
        (_general_number, {("rule-8-format", "Inputs!D6")}),
        (_error_value, {("rule-11-error", "Sums!D6")}),
        (_hidden_column, {("rule-12-hidden", "Sums!E1")}),
        (_hidden_row, {("rule-12-hidden", "Sums!A21")}),
        (_unlocked, {("rule-13-validation", "Inputs!D6")}),
        (_unlocked_formula, {("rule-13-lock", "Sums!D6"), ("rule-20-cursor", "Sums")}),
        (_other_look, {("rule-13-look", "Inputs!B5")}),
        (_look_of_an_input, {("rule-13-look", "Sums!D6")}),
        (_locked_input, {("rule-13-lock", "Inputs!B5")}),
        (_unlocked_column, {("rule-13-lock", "Inputs!H1")}),
        (_second_validation, {("rule-16-double", "Inputs!B4")}),
        (_pale, {("rule-14-contrast", "Sums!D6")}),
        (_pale_rule, {("rule-14-contrast", "Sums!B4")}),
        (_red_only, {("rule-14-negative", "Sums!D6")}),
        (_merged, {("rule-15-merge", "Sums")}),
        (_narrow_number, {("rule-15-width", "Sums!D6")}),
        (_narrow_text, {("rule-15-cut", "Sums!D6")}),
        (_narrow_word, {("rule-15-cut", "Sums!D6")}),
    ],
)
def test_a_broken_rule_is_found_at_its_cell(tmp_path, breaks, expected):
    sound = Sound(tmp_path / "a.xlsx")
    breaks(sound)

    assert found(sound.save()) == expected


def test_a_hidden_sheet_is_found_unless_start_names_it(tmp_path):
    types = {**TYPES, "Other": "reference"}
    for told, expected in ((False, True), (True, False)):
        sound = Sound(tmp_path / f"{told}.xlsx")
        _hidden_sheet(sound)
        if told:
            sound.sheets["Start"].write_string("A12", "Other")

        hidden = [finding for finding in rules(read_raw(sound.save()), types) if finding.code == "rule-12-hidden"]
        assert bool(hidden) is expected


def test_a_book_without_checks_is_found(tmp_path):
    book = read_raw(Sound(tmp_path / "a.xlsx").save())
    types = {name: "output" if kind == "checks" else kind for name, kind in TYPES.items()}

    assert {finding.code for finding in rules(book, types)} == {"rule-10-checks"}


def test_start_must_come_first(tmp_path):
    types = {**TYPES, "Start": "reference", "Inputs": "start"}
    book = read_raw(Sound(tmp_path / "a.xlsx").save())

    assert "rule-2-start" in {finding.code for finding in rules(book, types)}


def test_a_hosts_sheets_are_left_alone(tmp_path):
    book = read_raw(Sound(tmp_path / "a.xlsx", without="properties").save())

    assert list(rules(book, {"Sums": "calculation"})) == []


def test_contrast_runs_from_1_to_21():
    # WCAG 2.1: black on white is 21 to 1; #767676 on white is the lightest grey that passes 4.5
    assert contrast((0, 0, 0), (255, 255, 255)) == pytest.approx(21)
    assert contrast((0x76,) * 3, (255,) * 3) > 4.5 > contrast((0x77,) * 3, (255,) * 3)


@pytest.mark.parametrize(
    ("value", "code", "expected"),
    [
        (1234.5, "#,##0.00", "1,234.50"),
        (-2.0, "0.0###", "-2.0"),
        (0.125, "0.0%", "12.5%"),
        (46000.0, "yyyy-mm-dd", "yyyy-mm-dd"),
        (-3.0, "0;(0)", "()3"),
    ],
)
def test_a_number_is_measured_as_it_is_shown(value, code, expected):
    assert sorted(number_text(value, code)) == sorted(expected)


def test_thirty_thousand_cells_take_less_than_a_second(tmp_path):
    sound = Sound(tmp_path / "a.xlsx")
    number = sound.form(num_format="0.00")
    for row in range(30, 6030):
        for column in range(5):
            sound.sheets["Sums"].write_number(row, column, row * 1.5, number)
    book = read_raw(sound.save())
    start = time.perf_counter()

    assert list(rules(book, TYPES)) == []
    assert time.perf_counter() - start < 1.0  # about 0.1 on an idle machine; the margin is for a busy one
