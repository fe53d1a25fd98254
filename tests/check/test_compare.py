from __future__ import annotations

import math

import numpy as np
import pytest
from books import Sound

from sheetgen.check.calculator import Calculator
from sheetgen.check.compare import Counts, Expected, compare
from sheetgen.check.recalculate import formula_cells, recalculate
from sheetgen.check.values import CellError, agree, plain
from sheetgen.findings import Refused
from sheetgen.reader.raw import read_raw


@pytest.fixture
def book(tmp_path):
    return read_raw(Sound(tmp_path / "a.xlsx", chart=False).save())


@pytest.fixture
def recalculated(book):
    return recalculate(book.path, "ironcalc", formula_cells(book))


def expected(**changes):
    cells = {(row, 2): Expected(2.0 * (row - 3), name=f"sum {row - 3}") for row in range(4, 9)}
    cells.update(changes.pop("cells", {}))
    return {"Sums": cells}


def codes(*arguments):
    return [finding.code for finding in compare(*arguments)[1]]


def test_three_witnesses_agree(book, recalculated):
    assert compare(book, recalculated, expected()) == (Counts(found=5, recalculated=5, compared=5), ())


def test_another_engine_value_is_found(book, recalculated):
    assert codes(book, recalculated, expected(cells={(5, 2): Expected(4.1)})) == ["formula-differs"]


def test_a_stale_stored_value_is_found(book):
    fresh = {"Sums": {(row, 2): 3.0 for row in range(4, 9)}}
    wanted = {"Sums": {(row, 2): Expected(3.0) for row in range(4, 9)}}

    assert codes(book, fresh, wanted) == ["stored-stale"] * 5


def test_a_formula_that_nobody_expects_is_found(book, recalculated):
    wanted = expected()
    del wanted["Sums"][5, 2]

    assert codes(book, recalculated, wanted) == ["formula-unknown"]


def test_a_formula_typed_over_is_found(book, recalculated):
    assert codes(book, recalculated, expected(cells={(9, 2): Expected(1.0)})) == ["formula-missing"]


def test_a_cell_that_was_not_recalculated_is_found(book, recalculated):
    del recalculated["Sums"][5, 2]

    assert codes(book, recalculated, expected()) == ["recalculated-none"]


def test_an_error_value_is_found_even_in_a_filtered_cell(book, recalculated):
    recalculated["Sums"][5, 2] = CellError("#DIV/0!")

    assert codes(book, recalculated, expected(cells={(5, 2): Expected(None, "filtered")})) == ["formula-error"]


def test_a_linked_cell_has_no_engine_value(book, recalculated):
    counts, found = compare(book, recalculated, expected(cells={(5, 2): Expected(None, "linked")}))

    assert (counts.compared, counts.others, found) == (4, 1, ())


def test_a_missing_sheet_and_nothing_compared_are_found(book):
    assert codes(book, {}, {"Gone": {}}) == ["sheet-missing", "compared-none"]


@pytest.mark.parametrize(
    ("first", "second", "same"),
    [
        (1.0, 1.0 + 1e-10, True),
        (1e9, 1e9 + 0.5, True),
        (1.0, 1.00001, False),
        (math.nan, math.nan, False),
        (math.inf, math.inf, False),
        (None, 0.0, False),
        (None, None, True),
        (True, 1.0, False),
        ("a", "A", False),
        (CellError("#N/A"), CellError("#N/A"), False),
    ],
)
def test_agreement(first, second, same):
    assert agree(first, second) is same
    assert agree(second, first) is same


def test_numpy_and_empty_text_become_plain():
    assert (plain(np.float64(2)), plain(np.bool_(1)), plain(""), plain(3)) == (2.0, True, None, 3.0)
    with pytest.raises(TypeError):
        plain([1])


def test_the_calculator_follows_what_is_typed(book):
    calculator = Calculator(book.path)
    calculator.set_all({calculator.place("factor"): 10.0, calculator.place("numbers", 2): 7.0})
    calculator.evaluate()

    assert calculator.get(("Sums", 5, 2)) == 70.0

    calculator.set(("Inputs", 5, 2), "=A1")
    calculator.evaluate()

    assert isinstance(calculator.get(("Sums", 5, 2)), CellError)


def test_the_calculator_refuses_what_no_cell_can_hold(book):
    calculator = Calculator(book.path)
    with pytest.raises(ValueError, match="cannot stand"):
        calculator.set(("Inputs", 4, 2), math.nan)
    with pytest.raises(KeyError):
        calculator.place("nothing")
    with pytest.raises(KeyError):
        calculator.place("numbers", 6)


def test_a_file_that_is_no_workbook_is_refused(tmp_path):
    path = tmp_path / "a.xlsx"
    path.write_bytes(b"PK\x03\x04 no")
    with pytest.raises(Refused):
        recalculate(path, "ironcalc", {})
