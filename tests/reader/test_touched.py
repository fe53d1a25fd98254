"""What a person changed besides the inputs is named with sheet and cell; what they typed is still read where that is safe."""

from __future__ import annotations

from typing import Any

import attrs
import pytest
from filled_books import ROWS, done_job, put
from touching import in_order, shifted, styled, typed, with_root, with_sheet

from sheetgen.book.compile import compiled
from sheetgen.book.plan import column_name
from sheetgen.findings import Finding, Severity
from sheetgen.reader import listing
from sheetgen.reader.filled import Filled, filled_of, read_filled
from sheetgen.reader.raw import RawBook
from sheetgen.reader.touched import touched

PLAN = compiled("bid", "us", ROWS).plan


@pytest.fixture(scope="module")
def before(tmp_path_factory: pytest.TempPathFactory) -> Filled:
    return read_filled(put(done_job(), tmp_path_factory.mktemp("touched") / "job.xlsx", "touched"))


@pytest.fixture(scope="module")
def raw(before: Filled) -> RawBook:
    return before.raw


def cell(name: str, record: int = 0) -> tuple[str, tuple[int, int]]:
    block, field = name.split(".")
    found = PLAN.spot(block, field).cell(record)
    return found.sheet, (found.row + 1, found.column + 1)


def a1(at: tuple[int, int]) -> str:
    return f"{column_name(at[1] - 1)}{at[0]}"


def looked(filled: Filled) -> list[Finding]:
    found = (*filled.findings, *touched(filled).findings)
    return [one for one in found if one.severity > Severity.NOTE]


def said(raw: RawBook) -> list[tuple[str, str]]:
    return [(one.code, one.place) for one in looked(filled_of(raw))]


def only(raw: RawBook) -> Finding:
    (found,) = looked(filled_of(raw))
    return found


def test_a_book_as_it_was_made_is_not_touched(before: Filled) -> None:
    assert looked(before) == []
    assert touched(before).formulas == frozenset()


def test_typing_into_inputs_is_no_change(raw: RawBook) -> None:
    assert said(typed(raw, *cell("zones.name", 2), "Another name")) == []


# Formulas


def test_a_formula_replaced_by_a_number_is_named(raw: RawBook, before: Filled) -> None:
    sheet, at = cell("price.total")

    filled = filled_of(typed(raw, sheet, at, 1234.5))

    (found,) = looked(filled)
    label = PLAN.book.blocks["price"].field("total").label
    assert (found.code, found.severity, found.place) == ("formula-replaced", Severity.ERROR, f"job.xlsx {sheet}!{a1(at)}")
    assert f"'{label}'" in found.what
    assert "1234.5" in found.what
    assert touched(filled).formulas == {(sheet, *at)}
    assert filled.entries == before.entries


def test_a_column_typed_over_is_one_finding(raw: RawBook) -> None:
    sheet, at = cell("areas.area")
    for record in (0, 1, 2, 5):
        raw = typed(raw, *cell("areas.area", record), 99.0)

    first, third, sixth = (a1((at[0] + record, at[1])) for record in (0, 2, 5))
    assert said(raw) == [("formula-replaced", f"job.xlsx {sheet}!{first}:{third}"), ("formula-replaced", f"job.xlsx {sheet}!{sixth}")]


def test_a_formula_that_is_gone_is_named(raw: RawBook) -> None:
    assert only(typed(raw, *cell("price.total"), None)).code == "formula-deleted"


def test_a_changed_formula_is_named_though_it_gives_the_same(raw: RawBook) -> None:
    sheet, at = cell("price.total")
    held = raw.cell(sheet, *at)
    assert held is not None
    assert isinstance(held.value, float)

    found = only(typed(raw, sheet, at, held.value, f"({held.formula})*1"))

    assert (found.code, found.severity, found.place) == ("formula-changed", Severity.ERROR, f"job.xlsx {sheet}!{a1(at)}")


# Fixed text, locks, validations, protection


def test_changed_locked_text_is_named_and_the_field_is_still_read(raw: RawBook, before: Filled) -> None:
    sheet, (row, column) = cell("areas.first")

    filled = filled_of(typed(raw, sheet, (row - 1, column), "Side"))

    assert {(one.code, one.place) for one in looked(filled)} == {("text-changed", f"job.xlsx {sheet}!{a1((row - 1, column))}")}
    assert filled.entries == before.entries


def test_a_changed_constant_is_named(raw: RawBook) -> None:
    block = PLAN.book.blocks["factors"]
    field = next(field for field in block.fields if isinstance(block.records[0].get(field.name), float))
    sheet, at = cell(f"factors.{field.name}")

    found = only(typed(raw, sheet, at, 9.99))

    assert (found.code, found.place) == ("text-changed", f"job.xlsx {sheet}!{a1(at)}")
    assert "9.99" in found.what


def test_an_unprotected_sheet_is_named(raw: RawBook) -> None:
    found = only(with_sheet(raw, "Takeoff", lambda sheet: attrs.evolve(sheet, protected=False)))

    assert (found.code, found.place) == ("sheet-unprotected", "job.xlsx Takeoff")


def test_locks_that_were_pasted_over_are_named(raw: RawBook) -> None:
    (sheet, entered), (_, computed) = cell("areas.first"), cell("areas.area")

    found = looked(filled_of(styled(styled(raw, sheet, entered, computed), sheet, (computed[0] + 1, computed[1]), (entered[0] + 1, entered[1]))))

    assert [one.code for one in found] == ["lock-changed", "lock-changed"]
    assert {one.place for one in found} == {f"job.xlsx {sheet}!{a1(entered)}", f"job.xlsx {sheet}!{a1((computed[0] + 1, computed[1]))}"}


@pytest.mark.parametrize(("act", "code"), [("clear", "validation-gone"), ("change", "validation-changed")])
def test_a_validation_pasted_over_is_named(raw: RawBook, act: str, code: str) -> None:
    sheet, at = cell("takeoff.waste")

    def paste(root: Any) -> None:
        (rule,) = [one for one in root.iter("{*}dataValidation") if one.get("sqref") == a1(at)]
        if act == "clear":
            rule.getparent().remove(rule)
        else:
            rule.find("{*}formula2").text = "50"

    found = only(with_root(raw, sheet, paste))
    assert (found.code, found.place) == (code, f"job.xlsx {sheet}!{a1(at)}")


def test_a_validation_of_many_cells_that_is_gone_is_one_finding(raw: RawBook) -> None:
    sheet, at = cell("areas.first")

    def clear(root: Any) -> None:
        for rule in list(root.iter("{*}dataValidation")):
            if rule.get("sqref").startswith(a1(at) + ":"):
                rule.getparent().remove(rule)

    last = a1((at[0] + ROWS["areas"] - 1, at[1]))
    assert said(with_root(raw, sheet, clear)) == [("validation-gone", f"job.xlsx {sheet}!{a1(at)}:{last}")]


def test_more_validations_than_anybody_makes_are_not_looked_at(raw: RawBook) -> None:
    def many(root: Any) -> None:
        rule = next(root.iter("{*}dataValidation"))
        rule.set("sqref", " ".join(["A1:IV20000"] * 100_000))

    assert ("validation-many", "job.xlsx Takeoff") in said(with_root(raw, "Takeoff", many))


def test_notes_beside_the_tables_are_named(raw: RawBook, before: Filled) -> None:
    noted = typed(raw, "Takeoff", (3, 52), "ask the customer")

    assert said(noted) == [("cell-added", "job.xlsx Takeoff!AZ3")]
    assert filled_of(noted).entries == before.entries


def test_notes_below_everything_do_not_move_it(raw: RawBook, before: Filled) -> None:
    noted = typed(raw, "Takeoff", (900, 1), "ask the customer")

    assert said(noted) == [("cell-added", "job.xlsx Takeoff!A900")]
    assert filled_of(noted).entries == before.entries


# Rows and columns


def test_an_inserted_row_is_named_and_everything_is_read(raw: RawBook, before: Filled) -> None:
    _, (row, _) = cell("areas.first", 2)

    filled = filled_of(shifted(raw, "Takeoff", row, 1))

    assert [(one.code, one.place, one.severity) for one in filled.findings] == [
        ("rows-inserted", f"job.xlsx Takeoff!{row}:{row}", Severity.LOOK)
    ]
    assert filled.entries == before.entries
    assert filled.located.astray == {"Takeoff"}


def test_rows_inserted_in_two_places_are_both_put_back(raw: RawBook, before: Filled) -> None:
    _, (row, _) = cell("areas.first", 2)

    filled = filled_of(shifted(shifted(raw, "Takeoff", row, 2), "Takeoff", 5, 1))

    assert [one.code for one in filled.findings] == ["rows-inserted"]
    assert "3 rows" in filled.findings[0].what
    assert filled.entries == before.entries


def test_places_are_told_where_they_are_now(raw: RawBook) -> None:
    """After a row was put in, a cell that cannot be read is named where the person finds it."""
    _, (row, column) = cell("areas.first", 2)

    moved = typed(shifted(raw, "Takeoff", row, 1), "Takeoff", (row + 1, column), "long")

    found = [one for one in filled_of(moved).findings if one.code == "input-unread"]
    assert [one.place for one in found] == [f"job.xlsx Takeoff!{a1((row + 1, column))}"]


def test_fields_are_listed_with_their_values_where_they_are_now(raw: RawBook, before: Filled, monkeypatch: pytest.MonkeyPatch) -> None:
    _, (row, column) = cell("areas.first", 2)
    moved = with_sheet(shifted(raw, "Takeoff", row, 1), "Takeoff", lambda sheet: attrs.evolve(sheet, name="Measured"))
    monkeypatch.setattr(listing, "read_each", lambda _: (filled_of(moved),))

    rows, _ = listing.listing(before.path)

    (found,) = [one for one in rows if one["name"] == "areas.first[3]"]
    assert (found["sheet"], found["cell"], found["value"]) == ("Measured", a1((row + 1, column)), before.entries["areas", "first"][2])


def test_an_inserted_row_that_is_filled_is_refused(raw: RawBook) -> None:
    _, (row, column) = cell("areas.first", 2)

    filled = filled_of(typed(shifted(raw, "Takeoff", row, 1), "Takeoff", (row, column), 12.0))

    assert [(one.code, one.severity) for one in filled.findings] == [("rows-inserted", Severity.ERROR)]
    assert a1((row, column)) in filled.findings[0].what
    assert filled.entries == {}


def test_a_deleted_row_of_the_log_is_named_and_the_rest_is_read(raw: RawBook, before: Filled) -> None:
    _, (row, _) = cell("hours_log.date", 1)

    filled = filled_of(shifted(raw, "Log", row, -1))

    assert [(one.code, one.severity) for one in filled.findings] == [("rows-deleted", Severity.LOOK)]
    hours, left = before.entries["hours_log", "hours_each"], filled.entries["hours_log", "hours_each"]
    assert left == (hours[0], *hours[2:], None)


@pytest.mark.parametrize("name", ["takeoff.waste", "zones.name"])
def test_a_deleted_row_that_others_go_by_is_refused(raw: RawBook, name: str) -> None:
    """A single field, and a zone: the tables by zone would then tell of another."""
    sheet, (row, _) = cell(name)

    filled = filled_of(shifted(raw, sheet, row, -1))

    assert [(one.code, one.severity) for one in filled.findings] == [("rows-deleted", Severity.ERROR)]
    assert filled.entries == {}


def test_a_deleted_row_of_sums_is_named_and_everything_is_read(raw: RawBook, before: Filled) -> None:
    sheet, (row, _) = cell("price.total")

    filled = filled_of(shifted(raw, sheet, row, -1))

    assert [(one.code, one.severity) for one in filled.findings] == [("rows-deleted", Severity.LOOK)]
    assert filled.entries == before.entries


def test_an_inserted_column_is_named_and_everything_is_read(raw: RawBook, before: Filled) -> None:
    _, (row, column) = cell("hours_log.hours_each")

    filled = filled_of(typed(shifted(raw, "Log", column, 1, "columns"), "Log", (row, column), "my own remark"))

    letter = column_name(column - 1)
    assert [(one.code, one.place, one.severity) for one in filled.findings] == [
        ("columns-inserted", f"job.xlsx Log!{letter}:{letter}", Severity.LOOK)
    ]
    assert f"{letter}{row}" in filled.findings[0].what
    assert filled.entries == before.entries


def test_a_deleted_column_of_inputs_is_refused(raw: RawBook) -> None:
    _, (_, column) = cell("hours_log.people")

    filled = filled_of(shifted(raw, "Log", column, -1, "columns"))

    assert [(one.code, one.severity) for one in filled.findings] == [("columns-deleted", Severity.ERROR)]
    assert "'People'" in filled.findings[0].what


def test_a_sheet_that_cannot_be_recognised_is_refused(raw: RawBook) -> None:
    _, (row, _) = cell("areas.first", 2)

    filled = filled_of(shifted(shifted(raw, "Takeoff", row, 1), "Takeoff", 3, 1, "columns"))

    assert [(one.code, one.severity) for one in filled.findings] == [("sheet-moved", Severity.ERROR)]
    assert filled.findings[0].place.startswith("job.xlsx Takeoff!")


# Sheets


def test_a_renamed_sheet_is_named_and_read(raw: RawBook, before: Filled) -> None:
    filled = filled_of(with_sheet(raw, "Takeoff", lambda sheet: attrs.evolve(sheet, name="My takeoff")))

    assert [(one.code, one.place) for one in filled.findings] == [("sheet-renamed", "job.xlsx Takeoff")]
    assert "My takeoff" in filled.findings[0].what
    assert filled.entries == before.entries


def test_a_copied_sheet_is_named_and_not_read(raw: RawBook, before: Filled) -> None:
    sheet = raw.sheet("Takeoff")
    assert sheet is not None

    filled = filled_of(attrs.evolve(raw, sheets=(*raw.sheets, attrs.evolve(sheet, name="Takeoff (2)"))))

    assert [(one.code, one.place) for one in filled.findings] == [("sheet-copied", "job.xlsx Takeoff (2)")]
    assert filled.entries == before.entries


def test_a_sheet_of_their_own_is_a_note(raw: RawBook, before: Filled) -> None:
    sheet = raw.sheet("Takeoff")
    assert sheet is not None

    filled = filled_of(attrs.evolve(raw, sheets=(*raw.sheets, attrs.evolve(sheet, name="Doodles", cells={}))))

    assert [(one.code, one.severity) for one in filled.findings] == [("sheet-own", Severity.NOTE)]
    assert filled.entries == before.entries


@pytest.mark.parametrize(("sheet", "severity"), [("Log", Severity.ERROR), ("Price", Severity.LOOK)])
def test_a_deleted_sheet_is_refused_only_where_something_is_typed_into_it(
    raw: RawBook, before: Filled, sheet: str, severity: Severity
) -> None:
    filled = filled_of(with_sheet(raw, sheet, lambda _: None))

    assert [(one.code, one.severity) for one in filled.findings] == [("sheet-missing", severity)]
    assert filled.entries == ({} if severity is Severity.ERROR else before.entries)


def test_a_moved_sheet_is_named(raw: RawBook, before: Filled) -> None:
    names = [sheet.name for sheet in raw.sheets]

    filled = filled_of(in_order(raw, [names[1], names[0], *names[2:]]))

    assert [one.code for one in looked(filled)] == ["sheet-order"]
    assert filled.entries == before.entries


def test_a_name_that_stands_for_something_else_is_named(raw: RawBook) -> None:
    names = {**raw.names, "list_zones_name": "Survey!$A$1:$A$2"}

    assert said(attrs.evolve(raw, names=names)) == [("name-changed", "job.xlsx name list_zones_name")]
