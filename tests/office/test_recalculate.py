from __future__ import annotations

import pytest
import xlsxwriter

from sheetgen.check.office import resave
from sheetgen.check.recalculate import formula_cells, recalculate, recalculate_all
from sheetgen.check.values import CellError, agree
from sheetgen.findings import Refused
from sheetgen.reader.raw import read_raw


def made(path, factor):
    book = xlsxwriter.Workbook(str(path))
    sheet = book.add_worksheet("Sums")
    sheet.write_number(0, 0, factor)
    # stored values that are wrong on purpose: only a real recalculation mends them
    for row, formula in enumerate(("=A1*3", '=IF(A1>1,"more","")', "=A1>1", "=A1/0", "=ROUND(ROUND(A1/3,6),2)"), 1):
        sheet.write_formula(row, 0, formula, None, 99)
    book.close()
    return path


@pytest.mark.office
def test_both_programs_recalculate_from_the_formulas_alone(tmp_path):
    (tmp_path / "other").mkdir()
    paths = [made(tmp_path / "a.xlsx", 2.0), made(tmp_path / "other" / "a.xlsx", 1.0)]

    office, other = recalculate_all(paths, "libreoffice")
    mine = recalculate(paths[0], "ironcalc", formula_cells(read_raw(paths[0])))

    assert mine["Sums"][2, 1] == 6.0
    assert office["Sums"][3, 1] == "more"
    assert other["Sums"][3, 1] is None
    for at in ((2, 1), (3, 1), (4, 1), (6, 1)):
        assert agree(mine["Sums"][at], office["Sums"][at])
    assert isinstance(mine["Sums"][5, 1], CellError)
    assert isinstance(office["Sums"][5, 1], CellError)


def test_a_program_that_is_not_there_is_named(tmp_path):
    with pytest.raises(Refused, match="office-missing"):
        resave([made(tmp_path / "a.xlsx", 1.0)], tmp_path, program="no-such-office")


@pytest.mark.office
def test_a_run_that_takes_too_long_is_ended(tmp_path):
    (tmp_path / "out").mkdir()
    with pytest.raises(Refused, match="office-slow"):
        resave([made(tmp_path / "a.xlsx", 1.0)], tmp_path / "out", timeout_s=0.05)
