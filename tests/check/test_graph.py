from __future__ import annotations

import time

from hypothesis import given, settings
from hypothesis import strategies as st

from sheetgen.check.forms import Forms
from sheetgen.check.graph import CellGraph, FormulaCell
from sheetgen.check.place import cell_name


def graph(formulas, sheet="S"):
    """Make the graph of {(row, column): formula} on one sheet."""
    forms = Forms({}, {"s": "S", "t": "T"})
    return CellGraph(
        FormulaCell(sheet, column, row, forms.form(formula, row)) for (row, column), formula in formulas.items()
    )


def circle(formulas):
    return [cell_name(cell.row, cell.column) for cell in graph(formulas).circle()]


def test_a_chain_is_no_circle():
    assert circle({(1, 1): "A2", (2, 1): "A3", (3, 1): "B1"}) == []


def test_a_circle_is_a_path_of_cells():
    assert sorted(circle({(1, 1): "B1", (1, 2): "C1", (1, 3): "A1", (2, 1): "A1"})) == ["A1", "B1", "C1"]


def test_each_cell_of_a_circle_refers_to_the_next():
    found = graph({(1, 1): "B1+C1", (1, 2): "C1", (1, 3): "A1"}).circle()

    for cell, following in zip(found, found[1:] + found[:1], strict=True):
        assert (following.row, following.column) in {
            (reference.rows(cell.row)[0], reference.left) for reference in cell.form.references
        }


def test_a_cell_that_refers_to_itself_is_a_circle():
    assert circle({(5, 5): "E5+1"}) == ["E5"]


def test_a_circle_through_a_range_is_found():
    # IronCalc and LibreOffice forgive it where the summed cell is not needed; Excel does not.
    assert sorted(circle({(1, 1): "SUM(B1:B9)", (7, 2): "A1"})) == ["A1", "B7"]


def test_a_circle_through_a_block_of_columns_is_found():
    assert sorted(circle({(1, 1): "SUM(B1:D9)", (9, 4): "A1", (3, 3): "B3"})) == ["A1", "D9"]


def test_a_range_that_holds_its_own_row_is_a_circle():
    assert circle({(4, 7): "SUM(G$3:G4)"}) == ["G4"]


def test_a_range_that_ends_on_the_row_above_is_none():
    assert circle({(row, 7): f"SUM(G$3:G{row - 1})" for row in range(4, 40)}) == []


def test_a_range_written_upside_down_is_read_as_it_lies():
    # In row 4, G$4:G3 is G3:G4.
    assert circle({(4, 7): "SUM(G$4:G3)"}) == ["G4"]


def test_a_condition_that_is_never_true_still_counts():
    assert sorted(circle({(1, 1): "IF(1=0,B1,0)", (1, 2): "A1"})) == ["A1", "B1"]


def test_another_sheet_is_another_cell():
    assert circle({(1, 1): "T!A1", (2, 1): "SUM(T!A1:A9)"}) == []


def test_a_long_look_back_is_quick():
    # 3,000 rows that each read all above are 4.5 million edges; they must not be written out.
    formulas = {(row, 1): f"SUM(A$3:A{row - 1})" for row in range(4, 3004)}
    began = time.perf_counter()

    assert circle(formulas) == []
    assert time.perf_counter() - began < 2


def test_a_long_chain_is_not_too_deep():
    assert circle({(row, 1): f"A{row + 1}" for row in range(1, 5000)}) == []


cells = st.tuples(st.integers(1, 5), st.integers(1, 3))


@st.composite
def ranges(draw):
    (top, left), (bottom, right) = draw(cells), draw(cells)
    return (min(top, bottom), min(left, right), max(top, bottom), max(left, right))


@settings(max_examples=200, deadline=None)
@given(st.dictionaries(cells, st.lists(ranges(), max_size=2), max_size=10))
def test_a_circle_is_found_exactly_where_following_every_edge_finds_one(blocks):
    # Rule 7: every cell of every range is an edge.
    formulas = {
        at: "SUM(" + ",".join(["0", *(f"{cell_name(a, b)}:{cell_name(c, d)}" for a, b, c, d in found)]) + ")"
        for at, found in blocks.items()
    }
    edges = {
        at: {to for to in blocks if any(a <= to[0] <= c and b <= to[1] <= d for a, b, c, d in found)}
        for at, found in blocks.items()
    }
    while free := [at for at, targets in edges.items() if not targets]:
        edges = {at: targets - set(free) for at, targets in edges.items() if at not in free}

    assert bool(circle(formulas)) == bool(edges)
