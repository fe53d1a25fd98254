"""Workbooks with odd parts are recalculated as the plain one is."""

from __future__ import annotations

from pathlib import Path

import pytest
from hosts import ODD, by_openpyxl, made

from sheetgen.check.recalculate import recalculate
from sheetgen.check.usual import usual

CELLS = {"Summary": [(1, 2), (2, 2), (3, 2), (5, 2), (6, 2)], "Customers": [(6, 2)]}
FIGURES = {"Summary": dict(zip(CELLS["Summary"], (20.0, 41.0, 60.0, 121.0, "good"), strict=True)), "Customers": {(6, 2): 0.25}}


@pytest.mark.parametrize("name", [name for name in ODD if name != "no_shared_strings"])
def test_odd_parts_do_not_change_a_sum(name: str, tmp_path: Path) -> None:
    assert recalculate(made(name, tmp_path / "host.xlsx"), "ironcalc", CELLS) == FIGURES


def test_a_workbook_with_the_usual_names_is_given_as_it_is(tmp_path: Path) -> None:
    path = by_openpyxl(tmp_path / "host.xlsx")
    with usual(path) as given:
        assert given == path


def test_a_copy_is_gone_when_it_is_not_needed_any_more(tmp_path: Path) -> None:
    with usual(made("no_styles", tmp_path / "host.xlsx")) as given:
        assert given.exists()
        assert given.parent != tmp_path
    assert not given.exists()
