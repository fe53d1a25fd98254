from __future__ import annotations

import pytest

from sheetgen.check.forms import Forms
from sheetgen.check.tree import Reference
from sheetgen.check.whitelist import FUNCTIONS, Takes

CELL = Reference("Rates", 4, True, 2, 4, True, 2, is_range=False)
LIST = Reference("Rates", 4, True, 3, 9, True, 3, is_range=True)
SHEETS = {"rates": "Rates", "take off": "Take off"}


def forms():
    return Forms({"the_rate": CELL, "the_list": LIST}, SHEETS)


def codes(formula, row=10, *, show=False):
    form = forms().form(formula, row, show=show)
    return sorted({problem.code for problem in (*form.problems, *form.misfits(row))})


@pytest.mark.parametrize(
    "formula",
    [
        "B10*C10",
        "the_rate*B10",
        "-1*B10",
        "0-B10^C10",
        "(0-B10)^C10",
        "(B10^C10)^D10",
        'IF(COUNT(B10,C10,D10)<3,"",B10*C10*D10)',
        'IF(COUNT(INDEX($B$4:$B$9,C10))<1,"",INDEX($B$4:$B$9,C10))',
        'IF(COUNT($B$4:$B$9)<SUM($C$4:$C$9),"",SUM($B$4:$B$9))',
        "ROUND(ROUND(B10,6),2)",
        "ROUNDUP(ROUND(B10,6),-2)",
        "ROUNDDOWN(B10,C10)",
        "SUM(B10,C10,$B$4:$B$9)",
        "SUM(the_list)",
        "SUMIF($B$4:$B$9,C10,$D$4:$D$9)",
        "SUMIFS($B$4:$B$9,$C$4:$C$9,D10,$E$4:$E$9,1)",
        'SUMIFS($B$4:$B$9,$C$4:$C$9,"<="&D10)',
        'COUNTIF($B$4:$B$9,">"&0)',
        'COUNTIFS($B$4:$B$9,"",$C$4:$C$9,D10)',
        "SUMPRODUCT(($B$4:$B$9=C10)*$D$4:$D$9)",
        'SUMPRODUCT(($B$4:$B$9<>"")*1,the_list)',
        "SUMPRODUCT(($B$4:$B$9=the_rate)*($C$4:$C$9+1))",
        "SUMPRODUCT(($B$4:$B$9=C10)*1,INDEX($D$4:$F$9,0,C10))",
        "SUMPRODUCT(INDEX($D$4:$F$9,C10,0),INDEX($D$4:$F$9,D10,0))",
        "SUM(INDEX($D$4:$F$9,0,C10))",
        "INDEX($D$4:$F$9,C10,B10)",
        "INDEX(the_list,C10)",
        'IFERROR(MATCH(B10,the_list,0),"")',
        "IFERROR(INDEX(the_list,MATCH(B10,the_list,0)),0)",
        'IFERROR(MATCH(SUBSTITUTE(SUBSTITUTE(SUBSTITUTE(TRIM(B10),"~","~~"),"*","~*"),"?","~?"),the_list,0),"")',
        'IF(C10<=D10,"",INDEX(B$3:B9,C10-D10+1))',
        'B10&TEXT(C10,"0.00")',
        "CHOOSE(B10,the_rate,C10,D10)",
        "LARGE($B$4:$B$9,1)",
        "ROW(B10)-ROW(B$3)",
        "PI()*B10^C10",
        'AND(B10>0,NOT(C10=""),OR(TRUE,FALSE))',
        "WORKDAY(B10,-1,the_list)",
        "'Take off'!B10+Rates!$B$4",
        "'TAKE OFF'!B10",
    ],
)  # fmt: skip
def test_a_sound_formula_has_no_problem(formula):
    assert codes(formula) == []


@pytest.mark.parametrize(
    ("formula", "code"),
    [
        # functions
        ("VLOOKUP(B10,the_list,1,0)", "formula-function"),
        ("XLOOKUP(B10,the_list,the_list)", "formula-function"),
        ("_xlfn.IFS(B10,1)", "formula-function"),
        ("TODAY()", "formula-function"),
        ("INDIRECT(B10)", "formula-function"),
        ("OFFSET(B10,1,1)", "formula-function"),
        ("SUBTOTAL(109,$B$4:$B$9)", "formula-function"),
        # arguments
        ("IF(B10,1)", "formula-argument"),
        ("IF(B10,,1)", "formula-argument"),
        ("ROUND(B10)", "formula-argument"),
        ("SUMIFS($B$4:$B$9,$C$4:$C$9)", "formula-argument"),
        ("PI(B10)", "formula-argument"),
        ("ROW(B10+1)", "formula-argument"),
        # numbers and texts
        ("B10*2", "formula-number"),
        ("B10*0.5", "formula-number"),
        ("B10*1.0", "formula-number"),
        ("ROUND(2,1)", "formula-number"),
        ("ROUND(B10,1.5)", "formula-number"),
        ("IF(COUNT(B10,C10)<3,0,1)", "formula-number"),
        ("IF(SUM(B10,C10)<2,0,1)", "formula-number"),
        ("LARGE($B$4:$B$9,2)", "formula-number"),
        ("B10/12", "formula-number"),
        ("10%", "formula-percent"),
        ("B10%", "formula-percent"),
        ('IF(B10="floor",1,0)', "formula-text"),
        ('B10&" ft"', "formula-text"),
        ('COUNTIF($B$4:$B$9,"wall")', "formula-text"),
        ('TRIM("~")', "formula-text"),
        ('SUBSTITUTE(B10,"-","")', "formula-text"),
        ('"<="&B10', "formula-text"),
        ('TEXT(B10,"# ?/?")', "formula-format"),
        ("TEXT(B10,C10)", "formula-format"),
        # powers
        ("-B10^C10", "formula-power"),
        ("B10-(-C10^D10)", "formula-power"),
        ("B10^C10^D10", "formula-power"),
        ("SUMPRODUCT(-B10^$C$4:$C$9)", "formula-power"),
        # ranges where one value should stand
        ("$B$4:$B$9", "formula-range"),
        ("$B$4:$B$9*2", "formula-range"),
        ("the_list", "formula-range"),
        ("the_list+1", "formula-range"),
        ("IF($B$4:$B$9>0,1,0)", "formula-range"),
        ("ROUND($B$4:$B$9,0)", "formula-range"),
        ("COUNTIF($B$4:$B$9,$C$4:$C$9)", "formula-range"),
        ("MATCH($B$4:$B$9,the_list,0)", "formula-range"),
        ("INDEX(the_list,$B$4:$B$9)", "formula-range"),
        ("AND($B$4:$B$9)", "formula-range"),
        ("SUM($B$4:$B$9*$C$4:$C$9)", "formula-range"),
        ("SUM(B10,($B$4:$B$9>0))", "formula-range"),
        ("INDEX($D$4:$F$9,0,C10)", "formula-range"),
        ("INDEX(the_list,0)", "formula-range"),
        ("CHOOSE(B10,the_list,C10)", "formula-range"),
        ("ROW(the_list)", "formula-range"),
        # one value where a range should stand
        ("SUMIFS(B10+C10,$B$4:$B$9,1)", "formula-range"),
        ("COUNTIF(IF(B10,C10,D10),1)", "formula-range"),
        ("MATCH(B10,C10*D10,0)", "formula-range"),
        # arrays
        ("SUMPRODUCT(B10*C10)", "formula-array"),
        ("SUMPRODUCT(ROUND($B$4:$B$9,0)*1)", "formula-array"),
        ("SUMPRODUCT(IF($B$4:$B$9>0,1,0))", "formula-array"),
        ("SUMPRODUCT(ISNUMBER($B$4:$B$9)*1)", "formula-array"),
        ("SUMPRODUCT(EXP(B10)*$B$4:$B$9)", "formula-array"),
        ("SUMPRODUCT(--($B$4:$B$9>0))", "formula-array"),
        ("SUMPRODUCT($B$4:$B$9&$C$4:$C$9)", "formula-array"),
        ("SUMPRODUCT(($B$4:$B$9=1)*INDEX($D$4:$F$9,0,C10))", "formula-array"),
        ("{1,0}", "formula-array"),
        # shapes
        ("SUMPRODUCT(($B$4:$B$9=1)*$C$4:$C$8)", "formula-shape"),
        ("SUMPRODUCT($B$4:$B$9,$C$4:$D$9)", "formula-shape"),
        ("SUMPRODUCT($B$4:$B$9,INDEX($D$4:$F$9,1,0))", "formula-shape"),
        ("SUMIFS($B$4:$B$9,$C$4:$C$10,1)", "formula-shape"),
        ("SUMIFS($B$4:$B$9,$C$4:$C$9,1,$D$5:$D$9,1)", "formula-shape"),
        ("SUMIF($B$4:$B$9,1,$C$4:$C$5)", "formula-shape"),
        ("COUNTIFS($B$4:$B$9,1,$C$4:$D$9,1)", "formula-shape"),
        ("INDEX($B$4:$C$9,D10)", "formula-shape"),
        ("MATCH(D10,$B$4:$C$9,0)", "formula-shape"),
        # look-ups
        ("MATCH(B10,the_list,1)", "formula-match"),
        ("MATCH(B10,the_list,C10)", "formula-match"),
        ("IFERROR(B10/C10,0)", "formula-iferror"),
        ("IFERROR(SUM(the_list),0)", "formula-iferror"),
        # what is not there
        ("no_such_name", "formula-name"),
        ("'Gone'!B10", "formula-lost"),
        ("#REF!", "formula-lost"),
        # what no program but Excel knows
        ("SUM(B:B)", "formula-whole"),
        ("Table1[Area]", "formula-structured"),
        ("'[x.xlsx]S'!A1", "formula-external"),
    ],
)
def test_what_stands_where_it_may_not_is_found(formula, code):
    assert code in codes(formula)


def test_match_needs_its_third_argument():
    assert codes("MATCH(B10,the_list)") == ["formula-argument"]


def test_a_show_cell_may_sum_what_a_filter_leaves():
    for number in ("109", "102", "103"):
        assert codes(f"SUBTOTAL({number},$B$4:$B$9)", show=True) == []
    assert codes("SUBTOTAL(9,$B$4:$B$9)", show=True) == ["formula-number"]


def test_nesting_beyond_the_limit_is_found():
    assert codes("ABS(" * 12 + "B10" + ")" * 12) == []
    assert codes("ABS(" * 13 + "B10" + ")" * 13) == ["formula-depth"]


def test_a_formula_of_more_than_twice_the_length_is_not_even_parsed():
    assert codes("B10" + "+B10" * 300) == ["formula-length"]


def test_ranges_that_grow_from_row_to_row_are_measured_in_each():
    form = forms().form("SUMPRODUCT(B$4:B9,$C$4:$C$9)", 10)

    assert not form.steady
    assert list(form.misfits(10)) == []
    assert [problem.code for problem in form.misfits(11)] == ["formula-shape"]


def test_names_are_resolved_whatever_their_case():
    form = forms().form("THE_RATE*SUM(the_list)", 10)

    assert form.references == (CELL, LIST)
    assert form.names == {"THE_RATE", "the_list"}


def test_a_form_is_read_once():
    made = forms()

    assert made.form("B10*C10", 10) is made.form("B11*C11", 11)
    assert made.form("B10*C10", 10) is not made.form("B10*C10", 11)


def test_a_reference_is_spelt_like_the_tab():
    (reference,) = forms().form("'TAKE OFF'!B10", 10).references

    assert reference.sheet == "Take off"


@pytest.mark.parametrize("name", sorted(FUNCTIONS))
def test_each_listed_function_takes_what_it_says(name):
    # A call made by the signature itself passes; one argument fewer than the least does not.
    sample = {
        Takes.RANGE: "$B$4:$B$9", Takes.ARRAY: "$B$4:$B$9", Takes.DIGITS: "2", Takes.FORMAT: '"0.00"', Takes.EXACT: "0",
        Takes.LOOKUP: "INDEX(the_list,B10)",
    }  # fmt: skip
    signature = FUNCTIONS[name]
    arguments = [sample.get(signature.takes(index), "B10") for index in range(signature.least)]

    assert codes(f"{name}({','.join(arguments)})") == []
    if arguments:
        assert codes(f"{name}({','.join(arguments[:-1])})") == ["formula-argument"]
