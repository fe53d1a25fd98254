"""How long the proofs of one book take, without reading it and without recalculating it."""

from __future__ import annotations

import time

import pytest
from saved import column, read

from sheetgen.check.compare import Expected, compare
from sheetgen.check.structure import structure

FORMULA = (
    '=IF(COUNT(B{row},C{row},A{row})<3,"",ROUND(B{row}*C{row}+SUMIFS($D$10:$D$400,$E$10:$E$400,F{row})/the_rate,6)'
    '+IF(H$5="","",SUM(H$9:H{above})))'
)


@pytest.mark.benchmark
def test_eight_thousand_formulas_take_a_third_of_a_second(tmp_path):
    sheets = {"Rates": {"A1": 1.0}}
    for number in range(8):
        cells = {f"{letter}{row}": 1.5 for letter in "ABCDEF" for row in range(10, 410)}
        for letter in "HIJ":
            cells |= column(letter, 10, FORMULA, 334)
        sheets[f"Sums {number}"] = cells
    book = read(tmp_path / "a.xlsx", sheets, {"the_rate": "=Rates!$A$1"})
    types = {"Rates": "reference"} | {name: "calculation" for name in sheets if name != "Rates"}
    places = {sheet.name: [at for at, cell in sheet.cells.items() if cell.formula] for sheet in book.sheets}
    expected = {name: {at: Expected(0.0) for at in found} for name, found in places.items()}
    recalculated = {name: dict.fromkeys(found, 0.0) for name, found in places.items()}
    began = time.perf_counter()
    found = structure(book, types)
    counts, differing = compare(book, recalculated, expected)

    assert time.perf_counter() - began < 0.35
    assert found == ()
    assert differing == ()
    assert counts.compared == 8 * 3 * 334
